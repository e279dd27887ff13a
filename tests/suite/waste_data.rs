//! The data files of waste and ledger: every source is listed and used, every finding has words.

use std::collections::BTreeSet;

use serde_json::Value;
use wetside::catalogue::DataFiles;
use wetside::document::Wording;
use wetside::waste::{Drain, DrainKind, Holder, RulePack, WasteDescription, determine};

const DATA: [&str; 5] = [
    "hazards/rules/us.yaml",
    "hazards/rules/eu.yaml",
    "hazards/rules/uk.yaml",
    "hazards/waste-streams.yaml",
    "hazards/silver.yaml",
];

fn json(path: &str) -> Value {
    DataFiles::embedded().read(path).unwrap()
}

/// Every `ref` below a value, waste section only: the rest of a rule file is not this room's.
fn references(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields) => {
            found.extend(fields.get("ref").and_then(Value::as_str).map(str::to_owned));
            fields.values().for_each(|value| references(value, found));
        }
        Value::Array(items) => items.iter().for_each(|item| references(item, found)),
        _ => {}
    }
}

#[test]
fn every_waste_source_is_listed_and_used() {
    let mut used = BTreeSet::new();
    for path in DATA {
        let data = json(path);
        references(data.get("waste").unwrap_or(&data), &mut used);
    }
    let sources = json("hazards/sources/waste.yaml");
    let listed: BTreeSet<String> = sources
        .as_array()
        .unwrap()
        .iter()
        .map(|s| s["id"].as_str().unwrap().to_owned())
        .collect();
    assert_eq!(
        used.difference(&listed).collect::<Vec<_>>(),
        Vec::<&String>::new(),
        "used but not listed"
    );
    assert_eq!(
        listed.difference(&used).collect::<Vec<_>>(),
        Vec::<&String>::new(),
        "listed but not used"
    );
}

#[test]
fn every_finding_has_words_and_every_wording_a_finding() {
    for room in ["waste", "ledger"] {
        let mut emitted = BTreeSet::new();
        let folder = format!("{}/src/{room}", env!("CARGO_MANIFEST_DIR"));
        for file in std::fs::read_dir(folder).unwrap() {
            let path = file.unwrap().path();
            if path.extension().is_none_or(|ending| ending != "rs") {
                continue;
            }
            let text = std::fs::read_to_string(path).unwrap();
            let opening = format!("\"{room}/");
            let quoted = text.split(&opening).skip(1);
            let codes = quoted.filter_map(|rest| rest.split('"').next());
            emitted.extend(codes.map(|code| format!("{room}/{code}")));
        }
        let wording = format!("templates/findings/{room}.yaml");
        let words: BTreeSet<String> = json(&wording)
            .as_object()
            .unwrap()
            .keys()
            .cloned()
            .collect();
        assert_eq!(emitted, words, "{room}");
        // German has words for each of them.
        let german = json(&format!("templates/de/findings/{room}.yaml"));
        let german: BTreeSet<String> = german.as_object().unwrap().keys().cloned().collect();
        assert_eq!(german, words, "{room}");
    }
}

#[test]
fn rules_are_dated_and_say_when_they_are_stale() {
    for place in ["us", "eu", "uk"] {
        let pack = RulePack::load(&DataFiles::embedded(), place).unwrap();
        assert!(pack.review_due(pack.review_by).is_none());
        assert!(
            pack.review_due(pack.review_by.succ_opt().unwrap())
                .is_some()
        );
    }
}

#[test]
fn every_stream_with_a_title_has_its_waste_facts() {
    let titled = json("hazards/streams.yaml");
    let titled: BTreeSet<&str> = titled["streams"]
        .as_array()
        .unwrap()
        .iter()
        .map(|stream| stream["id"].as_str().unwrap())
        .collect();
    let pack = RulePack::load(&DataFiles::embedded(), "eu").unwrap();
    let known: BTreeSet<&str> = pack.streams.keys().map(String::as_str).collect();
    assert_eq!(titled, known);
}

/// In the European list every stream has an entry of its own or candidates for the collector.
#[test]
fn every_stream_has_an_entry_or_candidates() {
    let pack = RulePack::load(&DataFiles::embedded(), "eu").unwrap();
    for stream in pack.streams.keys() {
        let waste = WasteDescription {
            stream: stream.clone(),
            ..WasteDescription::default()
        };
        let found = determine(&waste, &pack);
        assert!(found.codes.len() + found.candidates.len() > 0, "{stream}");
    }
}

/// The words of every waste and ledger finding fill with the facts it carries.
#[test]
fn findings_are_told_without_a_gap() {
    let files = DataFiles::embedded();
    let wording = Wording::load(&files, "en").unwrap();
    for place in ["us", "eu", "uk"] {
        let pack = RulePack::load(&files, place).unwrap();
        for stream in pack.streams.keys() {
            for holder in [Holder::Business, Holder::Private] {
                let waste = WasteDescription {
                    stream: stream.clone(),
                    holder: Some(holder),
                    drain: Some(Drain {
                        to: Some(DrainKind::Septic),
                        local_mg_per_l: [("silver".to_owned(), 0.5)].into(),
                        ..Drain::default()
                    }),
                    ..WasteDescription::default()
                };
                for finding in determine(&waste, &pack).findings {
                    let told = wording.tell(&finding);
                    let text = format!("{} {} {}", told.message, told.why, told.advice.join(" "));
                    assert!(
                        !text.contains("{{") && !text.contains("undefined"),
                        "{text}"
                    );
                    assert!(!told.why.is_empty() && !told.advice.is_empty(), "{text}");
                }
            }
        }
    }
}

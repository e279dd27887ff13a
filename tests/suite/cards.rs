//! The card of a chemical: every one, on every medium, and the promises of its JSON.

use std::collections::BTreeMap;

use serde_json::{Value, json};
use wetside::assessment::Rules;
use wetside::catalogue::{Catalogue, DataFiles, Statements};
use wetside::classify::Profile;
use wetside::document::sheet::Material;
use wetside::document::{Card, Wording, fill};
use wetside::render::{self, Paper, Pictograms, Terminal};

use crate::harness::Bench;

fn each_card(language: &str, mut look: impl FnMut(&str, &Card, &DataFiles)) {
    let catalogue =
        Catalogue::load(DataFiles::embedded()).unwrap_or_else(|error| panic!("{error}"));
    let rules = Rules::load(catalogue.files(), Profile::Eu).expect("rules");
    let statements = Statements::load(catalogue.files(), language).expect("statements");
    let wording = Wording::load(catalogue.files(), language).expect("wording");
    let material = Material {
        catalogue: &catalogue,
        rules: &rules,
        statements: &statements,
        wording: &wording,
        language,
    };
    for chemical in catalogue.chemicals() {
        let card = Card::of(chemical, &material).unwrap_or_else(|e| panic!("{}: {e}", chemical.id));
        look(&chemical.id, &card, catalogue.files());
    }
}

fn pictograms(files: &DataFiles) -> Pictograms {
    const FOLDER: &str = "templates/pictograms/";
    let paths = files.below(FOLDER).into_iter();
    let drawings = paths.filter_map(|path| {
        Some((
            path.trim_start_matches(FOLDER).strip_suffix(".svg")?,
            files.text(path)?,
        ))
    });
    Pictograms::read(drawings).expect("drawings")
}

#[test]
fn every_card_renders_as_text_html_and_markdown() {
    each_card("en", |id, card, files| {
        for template in ["card.md", "card-short.md"] {
            let document =
                fill(files, "en", template, card).unwrap_or_else(|e| panic!("{id}: {e}"));
            for text in [
                render::text(
                    &document,
                    Terminal {
                        width: 80,
                        colour: false,
                    },
                ),
                render::html(&document, &pictograms(files)),
                render::markdown(&document),
            ] {
                assert!(text.len() > 400, "{id}: {text}");
            }
        }
    });
}

/// Fonts take most of the time; every seventh card is drawn, and all are laid out.
#[test]
fn every_card_is_laid_out_on_few_pages() {
    let mut number = 0;
    each_card("en", |id, card, files| {
        let document = fill(files, "en", "card.md", card).unwrap_or_else(|e| panic!("{id}: {e}"));
        let pages = render::layout::lay_out(&document, Paper::A4);
        let count = pages.pages.len();
        assert!((1..=5).contains(&count), "{id} takes {count} pages");
        if number % 7 == 0 {
            let pdf = render::pdf(&document, &pictograms(files), Paper::A4, 0)
                .unwrap_or_else(|e| panic!("{id}: {e}"));
            assert!(pdf.starts_with(b"%PDF"), "{id}");
        }
        number += 1;
    });
}

/// The short card is 30 lines at most, but for the few chemicals with more to warn of than fits: no
/// statement is left out.
#[test]
fn the_short_card_is_one_screen() {
    for language in ["en", "de"] {
        let mut longer = 0;
        each_card(language, |id, card, files| {
            let document = fill(files, language, "card-short.md", card).expect("a card");
            let width = 79;
            let text = render::text(
                &document,
                Terminal {
                    width,
                    colour: false,
                },
            );
            let lines = text.lines().count();
            assert!(lines <= 38, "{id}: {lines} lines\n{text}");
            longer += usize::from(lines > 30);
            let card = json!(card);
            for code in card["statements"].as_array().expect("statements") {
                let code = code.as_str().expect("a code");
                assert!(text.contains(code), "{id}: {code} is not on\n{text}");
            }
        });
        assert!(longer <= 12, "{longer} cards are longer than a screen");
    }
}

/// The shape that other programs rely on, for all.
#[test]
fn the_json_keeps_its_promise() {
    let fields = BTreeMap::from([
        ("id", "string"),
        ("name", "string"),
        ("names", "array"),
        ("classification", "array"),
        ("pictograms", "array"),
        ("statements", "array"),
        ("limits", "array"),
        ("restrictions", "array"),
        ("look_alikes", "array"),
        ("must_not_meet", "array"),
        ("sources", "array"),
    ]);
    each_card("en", |id, card, _| {
        let card = json!(card);
        for (field, kind) in &fields {
            let right = match *kind {
                "string" => card[field].is_string(),
                _ => card[field].is_array(),
            };
            assert!(right, "{id}: {field} is {}", card[field]);
        }
        for field in [
            "cas",
            "ec",
            "formula",
            "molar_mass_g_per_mol",
            "signal",
            "stream",
        ] {
            assert!(card.get(field).is_some(), "{id}: {field} is missing");
        }
        for class in card["classification"].as_array().expect("classes") {
            assert!(
                class["class"].is_string()
                    && class["statement"].is_string()
                    && class["source"].is_string(),
                "{id}: {class}"
            );
        }
        for limit in card["limits"].as_array().expect("limits") {
            assert!(
                ["TWA", "STEL", "ceiling"]
                    .iter()
                    .any(|kind| limit["kind"] == *kind),
                "{id}: {limit}"
            );
            assert!(
                limit["body"].is_string()
                    && limit["source"].is_string()
                    && limit.get("value").is_some()
                    && limit.get("unit").is_some(),
                "{id}: {limit}"
            );
        }
    });
}

/// CLP Annex VI, 604-005-00-4 (hydroquinone), and the EC inventory.
#[test]
fn hydroquinone() {
    let run = Bench::new().run(&["card", "hydroquinone", "--format", "json"]);
    let card: Value =
        serde_json::from_str(&run.stdout).unwrap_or_else(|e| panic!("{e}: {}", run.stderr));
    assert_eq!(card["cas"], "123-31-9");
    assert_eq!(card["ec"], "204-617-8");
    assert_eq!(card["formula"], "C6H6O2");
    assert_eq!(card["signal"], "Danger");
    assert_eq!(
        card["pictograms"],
        json!(["GHS05", "GHS07", "GHS08", "GHS09"])
    );
    let classes = card["classification"].as_array().expect("classes");
    let carc = classes
        .iter()
        .find(|class| class["class"] == "Carc. 2")
        .expect("Carc. 2");
    assert_eq!(carc["statement"], "H351");
    assert!(
        carc["source"]
            .as_str()
            .is_some_and(|source| source.contains("604-005-00-4"))
    );
    assert!(
        card["not_adopted"]
            .as_array()
            .is_some_and(|others| others.iter().any(|class| class["class"] == "Muta. 1B"))
    );
}

#[test]
fn a_name_that_leaves_the_jar_open_is_asked_back() {
    for (name, forms) in [
        (
            vec!["sodium", "carbonate"],
            [
                "sodium-carbonate-anhydrous",
                "sodium-carbonate-monohydrate",
                "sodium-carbonate-decahydrate",
            ],
        ),
        (
            vec!["acetic acid"],
            ["acetic-acid", "acetic-acid-28", "acetic-acid-80"],
        ),
    ] {
        let run = Bench::new().run(&[&["card"], name.as_slice()].concat());
        assert_eq!(run.status, Some(2), "{}", run.stdout);
        assert_eq!(run.stdout, "");
        for form in forms {
            assert!(run.stderr.contains(form), "{name:?}: {}", run.stderr);
        }
    }
    for id in [
        "acetic-acid",
        "sodium-carbonate-anhydrous",
        "50-00-0 37",
        "7732-18-5",
    ] {
        let run = Bench::new().run(&["card", id]);
        let expected = if id == "50-00-0 37" { 2 } else { 0 };
        assert_eq!(run.status, Some(expected), "{id}: {}", run.stderr);
    }
    let near = Bench::new().run(&["card", "hydrokinone"]);
    assert_eq!(near.status, Some(2));
    assert!(near.stderr.contains("did you mean"), "{}", near.stderr);
}

/// What is not known is said so, and never as safe: a chemical of a workspace that says little.
#[test]
fn what_is_unknown_is_said() {
    let bench = Bench::demo().file(
        "hazards/chemicals/unknown-salt.yaml",
        "id: unknown-salt\nname: unknown salt\nstate: powder\nfamilies: [low-hazard-salt]\n",
    );
    let card = bench.run(&["card", "unknown-salt", "--all"]);
    assert_eq!(card.status, Some(0), "{}", card.stderr);
    assert!(
        card.stdout.contains("No data: treat as harmful"),
        "{}",
        card.stdout
    );
    assert!(
        card.stdout.matches("no data").count() >= 8,
        "{}",
        card.stdout
    );
    let json: Value = serde_json::from_str(
        &bench
            .run(&["card", "unknown-salt", "--format", "json"])
            .stdout,
    )
    .expect("JSON");
    assert_eq!(json["no_classification"], true);
}

/// What nobody has checked carries its mark on the page.
#[test]
fn memory_and_practice_are_marked() {
    each_card("en", |id, card, files| {
        let value = json!(card);
        let page = render::markdown(&fill(files, "en", "card.md", card).expect("a card"));
        for (origin, mark) in [("memory", '‡'), ("practice", '†')] {
            let marked = page.matches(mark).count();
            let data = count_origin(&value, origin);
            // One more in the legend.
            assert!(
                marked > data.min(1),
                "{id}: {data} data from {origin}, {marked} marks"
            );
        }
    });
}

fn count_origin(value: &Value, origin: &str) -> usize {
    match value {
        Value::Object(map) => {
            let own = usize::from(map.get("origin").is_some_and(|found| found == origin));
            own + map
                .values()
                .map(|inner| count_origin(inner, origin))
                .sum::<usize>()
        }
        Value::Array(items) => items.iter().map(|item| count_origin(item, origin)).sum(),
        _ => 0,
    }
}

/// Of two names as near to what was written, that of the chemical comes before a synonym of it.
#[test]
fn a_mistyped_name_is_guessed_by_the_main_name() {
    let bench = Bench::new();
    for (mistyped, meant) in [
        ("hydroquinon", "hydroquinone"),
        ("metoll", "metol"),
        ("Kaliumbromit", "Kaliumbromid"),
    ] {
        let run = bench.run(&["card", mistyped]);
        assert_eq!(run.status, Some(2), "{mistyped}: {}", run.stdout);
        let guess = format!("did you mean `{meant}`?");
        assert!(run.stderr.contains(&guess), "{mistyped}: {}", run.stderr);
    }
}

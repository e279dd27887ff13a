//! `codes` as a person calls it: the published determinations through the program, local rule
//! files, and the findings that a waste file can bring.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::harness::{Bench, Run};
use crate::waste_cases::{broken, cases};

fn codes(bench: &Bench, arguments: &[&str]) -> Run {
    let mut all = vec!["codes", "--format", "json", "--on", "2026-12-03"];
    all.extend(arguments);
    bench.run(&all)
}

fn json(run: &Run) -> Value {
    serde_json::from_str(&run.stdout).unwrap_or_else(|_| panic!("{}{}", run.stdout, run.stderr))
}

fn findings(found: &Value) -> BTreeSet<&str> {
    let lines = found["findings"].as_array().expect("findings");
    lines
        .iter()
        .filter_map(|line| line["code"].as_str())
        .collect()
}

fn judged(rules: &str, waste: &str) -> Value {
    let bench = Bench::new().file("w.yaml", waste);
    json(&codes(&bench, &["w.yaml", "--rules", rules]))
}

/// tests/reference/waste-cases.yaml: each case cites its rule.
#[test]
fn published_determinations_through_the_program() {
    let mut bench = Bench::new();
    let cases = cases();
    for (at, (_, _, file)) in cases.iter().enumerate() {
        bench = bench.file(&format!("{at}.yaml"), file);
    }
    let mut wrong = Vec::new();
    for (at, (case, place, file)) in cases.iter().enumerate() {
        let run = codes(&bench, &[&format!("{at}.yaml"), "--rules", place]);
        let found = json(&run);
        wrong.extend(
            broken(case, &found)
                .into_iter()
                .map(|line| format!("{line}\n{file}")),
        );
        let stops = found["findings"].as_array().expect("findings");
        let stops = stops.iter().any(|finding| finding["severity"] == "stop");
        assert_eq!(run.status, Some(i32::from(stops)), "{file}{}", run.stdout);
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

/// tests/reference/waste-letters.yaml: published answers, and the rules at their very limits.
#[test]
fn answers_of_authorities_and_limits_to_the_last_digit() {
    let text = include_str!("../reference/waste-letters.yaml");
    let cases: Vec<Value> = serde_yaml::from_str(text).expect("cases");
    assert!(cases.len() > 60);
    for case in &cases {
        let word = |key: &str| case[key].as_str().unwrap_or_default();
        let found = judged(word("rules"), word("waste"));
        let list = |list: &str, key: &str| -> Vec<Value> {
            let lines = found[list].as_array().expect("a list").iter();
            lines.map(|line| line[key].clone()).collect()
        };
        for (key, wanted) in case["expect"].as_object().expect("what is expected") {
            let wanted_all = || wanted.as_array().cloned().unwrap_or_default();
            let codes = list("codes", "code");
            let holds = match key.as_str() {
                "codes" => codes == wanted_all(),
                "acute" => {
                    let lines = found["codes"].as_array().expect("codes").iter();
                    let acute = lines.filter(|line| line["acute"] == true);
                    acute.map(|line| line["code"].clone()).collect::<Vec<_>>() == wanted_all()
                }
                "not" => {
                    let possible = list("possible", "code");
                    let any = codes.iter().chain(&possible);
                    !any.into_iter().any(|code| wanted_all().contains(code))
                }
                "hazardous" => found["hazardous"] == *wanted,
                "generator" => found["generator"] == *wanted,
                "empty" => found["empty"]["empty"] == *wanted,
                "hp" => list("properties", "hp") == wanted_all(),
                "hp_with" => wanted_all()
                    .iter()
                    .all(|hp| list("properties", "hp").contains(hp)),
                other => panic!("nobody checks `{other}`"),
            };
            assert!(holds, "{}: {key} {wanted}: {found:#}", word("id"));
        }
    }
}

/// The month, the year and what is held come from the ledger where the file does not say.
#[test]
fn the_ledger_says_what_the_file_does_not() {
    let bench = Bench::new()
        .file("darkroom.yaml", "rules: us\nholder: business\n")
        .file(
            "new.yaml",
            "waste: another jug\nstream: spent-fixer\nvolume: 20 L\n",
        )
        .file(
            "drum.yaml",
            "waste: drum\nstream: spent-fixer\nvolume: 20 L\n",
        )
        .file("said.yaml", "stream: spent-fixer\nmade_this_month: 5 kg\n");
    let log = |words: &[&str]| {
        let mut all = vec!["log", "--on", "2026-12-02", "--who", "Ilse"];
        all.extend(words);
        let run = bench.run(&all);
        assert_eq!(run.status, Some(0), "{}{}", run.stdout, run.stderr);
    };
    log(&["add-container", "drum", "--stream", "spent-fixer"]);
    log(&[
        "add",
        "fixer",
        "70L",
        "--stream",
        "spent-fixer",
        "--into",
        "drum",
    ]);
    let of = |file: &str| json(&codes(&bench, &[file]));
    // 70 L at no more than 1.25 kg/L are 87.5 kg; 20 L more are 25 kg.
    assert_eq!(of("drum.yaml")["generator"], "VSQG");
    assert_eq!(of("new.yaml")["generator"], "SQG");
    assert_eq!(of("said.yaml")["generator"], "VSQG");
    let found = of("new.yaml");
    let lines = found["findings"].as_array().expect("findings").iter();
    let said = lines
        .filter(|line| line["code"] == "waste/month-from-ledger")
        .collect::<Vec<_>>();
    let message = said[0]["message"].as_str().expect("a message");
    assert!(
        message.contains("87.5 kg") && message.contains("25 kg of this"),
        "{message}"
    );
    assert!(!findings(&of("said.yaml")).contains("waste/month-from-ledger"));
}

/// Wales registers from 500 kg a year on, by the nation of the place; unsaid, it is asked.
#[test]
fn the_nation_is_the_place_s_or_is_asked() {
    let bench = |nation: &str| {
        Bench::new()
            .file(
                "darkroom.yaml",
                format!("rules: uk\nholder: business\n{nation}"),
            )
            .file("w.yaml", "stream: spent-fixer\nmade_this_year: 520 kg\n")
    };
    let duties = |bench: &Bench| -> Vec<String> {
        let found = json(&codes(bench, &["w.yaml"]));
        let lines = found["duties"].as_array().expect("duties").iter();
        lines
            .map(|line| line["id"].as_str().expect("an id").to_owned())
            .collect()
    };
    assert!(duties(&bench("nation: wales\n")).contains(&"uk-wales-registration".to_owned()));
    let unsaid = bench("");
    assert!(!duties(&unsaid).contains(&"uk-wales-registration".to_owned()));
    let found = json(&codes(&unsaid, &["w.yaml"]));
    assert!(findings(&found).contains("waste/nation-not-stated"));
    let wrong = bench("nation: cornwall\n");
    assert_eq!(codes(&wrong, &["w.yaml"]).status, Some(2));
}

/// Two limits on the same thing: the lowest is marked, both are named.
#[test]
fn of_several_limits_the_lowest_is_marked() {
    let bench = Bench::new().file(
        "w.yaml",
        "stream: spent-fixer\nholder: business\nmade_this_month: 300 kg\n",
    );
    let found = json(&codes(
        &bench,
        &["w.yaml", "--rules", "us", "--rules", "uk"],
    ));
    let limits = found["limits"].as_array().expect("limits").iter();
    let days: Vec<_> = limits
        .filter(|line| line["measure"] == "days")
        .map(|line| {
            (
                line["rules"].as_str(),
                line["value"].as_f64(),
                line["lowest"].as_bool(),
            )
        })
        .collect();
    assert_eq!(
        days,
        [
            (Some("us"), Some(180.0), Some(true)),
            (Some("uk"), Some(365.0), Some(false))
        ]
    );
}

/// The example of the contract, and its shape.
#[test]
fn the_shape_is_kept() {
    let waste = "waste: fixer drum\nstream: spent-fixer\nholder: business\nph: 4.9\nflash_point: 36 °C\n\
        water_percent: 75\nvolume: 20 L\nmg_per_l: {silver: 3000}\ncontains:\n  \
        - {chemical: potassium dichromate, g_per_l: 10}\n  - {chemical: ethanol, percent: 20}\n\
        made_this_month: 95 kg\nacute_this_month: 0 kg\n";
    let found = judged("us", waste);
    let silver = found["codes"].as_array().expect("codes");
    let silver = silver
        .iter()
        .find(|line| line["code"] == "D011")
        .expect("D011");
    assert_eq!(silver["because"], "silver 3000 mg/L >= 5.0 mg/L");
    assert!(
        silver["source"]
            .as_str()
            .is_some_and(|at| at.contains("40 CFR 261.24"))
    );
    assert_eq!(found["generator"], "VSQG");
    for (place, list, fields) in [
        ("us", "limits", ["what", "value", "unit", "source"]),
        ("us", "duties", ["id", "kind", "text", "source"]),
        ("us", "findings", ["code", "severity", "message", "why"]),
        ("eu", "properties", ["hp", "because", "certain", "source"]),
    ] {
        let found = judged(place, waste);
        let lines = found[list].as_array().expect("a list");
        assert!(!lines.is_empty(), "{list}");
        for (line, field) in lines
            .iter()
            .flat_map(|line| fields.map(|field| (line, field)))
        {
            assert!(!line[field].is_null(), "{list}.{field}");
        }
    }
}

/// Several places at once: every line says whose it is.
#[test]
fn several_places_stand_side_by_side() {
    let bench = Bench::new().file("w.yaml", "stream: spent-fixer\n");
    let found = json(&codes(
        &bench,
        &["w.yaml", "--rules", "us", "--rules", "eu"],
    ));
    let codes = found["codes"].as_array().expect("codes");
    let given: Vec<_> = codes
        .iter()
        .map(|line| (line["rules"].as_str(), line["code"].as_str()))
        .collect();
    assert_eq!(
        given,
        [(Some("us"), Some("D011")), (Some("eu"), Some("09 01 04*"))]
    );
}

const HARBOUR: &str = "place: harbour\ntitle: Harbour town\nwaste:\n  date: 2026-01-01\n  review_by: 2026-06-01\n  \
    like: us\n  limits:\n    - {id: harbour-held, what: hazardous waste on site, measure: held_kg, at_most: 50, \
    unit: kg, when: {}, from: {rule: rules/harbour.yaml}}\n";

/// A rule file of the workspace is found by name and by path, wins over the built-in rules, and
/// says so itself when it is due for review.
#[test]
fn a_rule_file_of_the_place_wins() {
    let bench = Bench::demo()
        .file("rules/harbour.yaml", HARBOUR)
        .file("w.yaml", "stream: spent-fixer\nheld: 60 kg\n");
    for name in ["harbour", "harbour.yaml", "rules/harbour.yaml"] {
        let run = codes(&bench, &["w.yaml", "--rules", name]);
        let found = json(&run);
        assert_eq!(found["rules"], "us", "{name}");
        let seen = findings(&found);
        assert!(
            seen.contains("waste/over-limit") && seen.contains("waste/review-due"),
            "{seen:?}"
        );
        assert_eq!(run.status, Some(1));
    }
    let run = codes(&bench, &["w.yaml", "--rules", "harbor"]);
    assert_eq!(run.status, Some(2));
    assert!(
        run.stderr.contains("harbor") && run.stderr.contains("harbour"),
        "{}",
        run.stderr
    );
    let broken = bench.file(
        "rules/harbour.yaml",
        "place: harbour\ntitle: x\nwaste: {limits: nine}\n",
    );
    let run = codes(&broken, &["w.yaml", "--rules", "harbour"]);
    assert_eq!(run.status, Some(2));
    assert!(run.stderr.contains("harbour.yaml"), "{}", run.stderr);
}

/// What a waste file leaves open is said, each in its own finding.
#[test]
fn what_is_left_open_is_said() {
    for (rules, waste, code) in [
        (
            "us",
            "stream: spent-fixer\nvolume: 20 L\n",
            "waste/month-not-stated",
        ),
        ("eu", "stream: spent-fixer\n", "waste/properties-unknown"),
        (
            "eu",
            "stream: spent-fixer\ncontains: [{chemical: sodium thiosulfate, percent: 20}]\n",
            "waste/composition-incomplete",
        ),
        (
            "us",
            "stream: fixer-wash\ndrain: {to: sewer, local_mg_per_l: {copper: 1.0}}\n",
            "waste/local-limit-not-measured",
        ),
        (
            "eu",
            "stream: unknown\ncontains: [{chemical: potassium permanganate, percent: 10}]\n",
            "waste/property-not-judged",
        ),
        (
            "us",
            "unused: glacial acetic acid\n",
            "waste/rule-from-memory",
        ),
        // Hydroquinone below 1 %: suppliers add long-term harm to water life.
        (
            "eu",
            "stream: unknown\ncontains: [{chemical: hydroquinone, percent: 0.9}]\n",
            "waste/stricter-reading",
        ),
    ] {
        let found = judged(rules, waste);
        assert!(
            findings(&found).contains(code),
            "{code}: {:?}",
            findings(&found)
        );
    }
}

/// The place says who holds the waste; a home is outside the rules of one country.
#[test]
fn the_workspace_says_who_holds_it() {
    let home = "rules: [us]\nholder: private\n";
    let bench = Bench::new()
        .file("darkroom.yaml", home)
        .file("w.yaml", "stream: spent-fixer\n")
        .file("firm.yaml", "stream: spent-fixer\nholder: business\n");
    let found = json(&codes(&bench, &["w.yaml"]));
    assert!(findings(&found).contains("waste/outside-the-rules"));
    let found = json(&codes(&bench, &["firm.yaml"]));
    assert!(!findings(&found).contains("waste/outside-the-rules"));
}

#[test]
fn text_fits_the_terminal_and_never_allows_a_drain() {
    let bench = Bench::new().file("w.yaml", "stream: spent-stop\nph: 3\ndrain: sewer\n");
    let run = bench.run(&["codes", "w.yaml", "--rules", "us"]);
    assert!(
        run.stdout.contains("does not allow a drain"),
        "{}",
        run.stdout
    );
    for line in run.stdout.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    let run = bench.run(&["codes", "w.yaml"]);
    assert!(
        run.stderr.contains("European Union"),
        "the default is stated: {}",
        run.stderr
    );
}

/// Every substance that a stricter reading rests on is named, in the language of the page.
#[test]
fn a_stricter_reading_names_every_substance_in_german() {
    let bench = Bench::demo().file(
        "waste.yaml",
        "waste: drum\nstream: spent-fixer\ncontains:\n  - {chemical: potassium dichromate, g_per_l: 10}\n  - {chemical: ethanol, percent: 20}\n",
    );
    let run = bench.run(&["codes", "waste.yaml", "--rules", "eu", "--language", "de"]);
    let text = run.stdout.replace("\n  ", " ");
    for words in [
        "Kaliumdichromat: Acute Tox. 2 H300, Acute Tox. 3 H311",
        "Ethanol",
        "gälte auch HP 4",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert!(!text.contains("potassium dichromate"), "{text}");
}

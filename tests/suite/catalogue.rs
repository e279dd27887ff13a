//! The catalogue as a whole: it audits clean, and its commands keep their shapes.

use serde_json::Value;

use crate::harness::Bench;

fn json(arguments: &[&str]) -> (Option<i32>, Value) {
    let run = Bench::new().run(arguments);
    let value = serde_json::from_str(&run.stdout)
        .unwrap_or_else(|e| panic!("{e}: {}{}", run.stdout, run.stderr));
    (run.status, value)
}

#[test]
fn the_catalogue_audits_clean() {
    let (status, audit) = json(&["catalogue", "audit", "--format", "json"]);
    assert_eq!(audit["faults"], Value::Array(Vec::new()));
    assert_eq!(status, Some(0));
    assert!(audit["chemicals"].as_u64() >= Some(98));
}

/// Faults put into a workspace's overlay are found, each with its file, and end with exit code 1.
#[test]
fn the_audit_finds_what_is_wrong() {
    for (name, datum, message) in [
        ("metol", "cas: 55-55-1", "check digit of CAS"),
        ("metol", "ec: 200-237-2", "check digit of EC"),
        (
            "metol",
            "sensitiser: {skin: false, breathing: false, from: memory}",
            "H317 is printed",
        ),
        (
            "metol",
            "disposal: {stream: unused-chemical, text: x, from: {ref: nowhere}}",
            "`nowhere` is not listed",
        ),
        (
            "ethanol",
            "groups: [alcohol, organic]",
            "no group flammable",
        ),
        (
            "hydroquinone",
            "look_alikes: []",
            "does not name it in turn",
        ),
        (
            "hydroquinone",
            "limits: [{body: X, region: eu, kind: mean, value: 1, unit: ppm, from: memory}]",
            "no kind of limit",
        ),
        (
            "sodium-carbonate-monohydrate",
            "formula: K2CO3.H2O",
            "not one substance",
        ),
        (
            "methanol",
            "skin_absorption: {value: false, from: memory}",
            "harmful through skin",
        ),
        ("boric-acid", "families: []", "no first aid"),
    ] {
        let bench = Bench::demo().file(
            &format!("hazards/chemicals/{name}.yaml"),
            format!("{datum}\n"),
        );
        let run = bench.run(&["catalogue", "audit", "--format", "json"]);
        assert_eq!(run.status, Some(1), "{datum}: {}{}", run.stdout, run.stderr);
        let audit: Value = serde_json::from_str(&run.stdout).expect("JSON");
        let faults = audit["faults"].as_array().expect("faults");
        let found = faults.iter().any(|fault| {
            fault["message"]
                .as_str()
                .is_some_and(|m| m.contains(message))
        });
        assert!(found, "{datum}: {faults:?}");
    }
}

#[test]
fn the_list_filters_and_fits_a_terminal() {
    let all = Bench::new().run(&["catalogue", "list", "--all"]);
    assert_eq!(all.status, Some(0));
    let widest = all.stdout.lines().map(|line| line.chars().count()).max();
    assert!(widest <= Some(80), "{widest:?} characters");

    for (what, most) in [("list", 60), ("sources", 30)] {
        let run = Bench::new().run(&["catalogue", what]);
        let lines = run.stdout.lines();
        assert!(
            lines.clone().all(|line| line.chars().count() <= 80),
            "{what}"
        );
        assert!(
            lines.count() <= most,
            "{what} is longer than a screen or two"
        );
    }

    let count = |arguments: &[&str]| {
        let mut words = vec!["catalogue", "list", "--format", "json"];
        words.extend(arguments);
        json(&words).1["chemicals"].as_array().map_or(0, Vec::len)
    };
    let everything = count(&[]);
    for filter in [
        ["--role", "developing agent"],
        ["--hazard", "H334"],
        ["--hazard", "Carc."],
        ["--hazard", "GHS06"],
        ["--stream", "unused-chemical"],
    ] {
        let some = count(&filter);
        assert!(
            some > 0 && some < everything,
            "{filter:?} gives {some} of {everything}"
        );
    }
    let resp = json(&["catalogue", "list", "--hazard", "H334", "--format", "json"]).1;
    for chemical in resp["chemicals"].as_array().expect("chemicals") {
        let statements = chemical["statements"].as_array().expect("statements");
        assert!(statements.iter().any(|code| code == "H334"), "{chemical}");
    }
    for wrong in [
        ["--role", "poet"],
        ["--hazard", "H999"],
        ["--stream", "the river"],
    ] {
        let run = Bench::new().run(&["catalogue", "list", wrong[0], wrong[1]]);
        assert_eq!(run.status, Some(2), "{wrong:?}");
        assert!(run.stderr.contains("help:"), "{}", run.stderr);
    }
}

#[test]
fn every_source_is_listed_with_its_uses() {
    let sources = json(&["catalogue", "sources", "--format", "json"]).1;
    let sources = sources["sources"].as_array().expect("sources");
    assert!(sources.len() > 50);
    for source in sources {
        assert!(source["uses"].as_u64() > Some(0), "{source}");
        assert!(
            source["title"]
                .as_str()
                .is_some_and(|title| !title.is_empty()),
            "{source}"
        );
    }
}

//! Every finding code is explained, and every explained code is reached by a session.

use std::collections::BTreeSet;
use std::fs;

use serde_json::Value;

use crate::harness::{Bench, files_below, repository, run_in};
use crate::sessions::{sessions, stated};

/// Codes whose checks are written but cannot be reached by a session of the built-in catalogue.
/// Each says why.
const UNREACHED: &[(&str, &str)] = &[
    (
        "people/not-briefed",
        "needs a ledger; `who_was_not_briefed_is_found` reaches it",
    ),
    (
        "people/briefed-long-ago",
        "needs a ledger; `who_was_not_briefed_is_found` reaches it",
    ),
    (
        "rules/forbidden",
        "needs a rule file; `local_rules` reaches it",
    ),
    (
        "rules/required",
        "needs a rule file; `local_rules` reaches it",
    ),
    ("rules/age", "needs a rule file; `local_rules` reaches it"),
    (
        "rules/loosens",
        "needs a rule file; `local_rules` reaches it",
    ),
    (
        "rules/past-review",
        "needs a date or rule file past its day; `local_rules` reaches it",
    ),
    (
        "chemical/unclassified",
        "every entry of the built-in catalogue has a classification or a reason for none; `a_chemical_without_data_is_a_finding` reaches it",
    ),
];

fn explained() -> BTreeSet<String> {
    let run = run_in(repository(), &["explain", "--format", "json"]);
    let json: Value = serde_json::from_str(&run.stdout).expect("JSON");
    let codes = json["codes"].as_array().expect("codes");
    for code in codes {
        for field in ["title", "explanation"] {
            let text = code[field].as_str().unwrap_or("");
            assert!(text.len() > 5, "{} has no {field}", code["code"]);
        }
    }
    codes
        .iter()
        .filter_map(|code| code["code"].as_str())
        .map(str::to_owned)
        .collect()
}

/// The literals after `Finding::new(` in the checks.
fn emitted() -> BTreeSet<String> {
    let mut codes = people_codes();
    for path in files_below(&repository().join("src/assessment"), ".rs") {
        let text = fs::read_to_string(&path).expect("a source file");
        for (at, _) in text.match_indices("Finding::new(") {
            let argument = text[at + "Finding::new(".len()..].trim_start();
            if let Some(literal) = argument.strip_prefix('"') {
                codes.extend(literal.split('"').next().map(str::to_owned));
            }
        }
    }
    codes
}

/// Groups of people and their codes are data.
fn people_codes() -> BTreeSet<String> {
    let text = fs::read_to_string(repository().join("hazards/people.yaml")).expect("a data file");
    let codes = text
        .lines()
        .filter_map(|line| line.trim().strip_prefix("- code: "));
    codes.map(str::to_owned).collect()
}

#[test]
fn every_code_that_can_be_emitted_is_explained() {
    let (emitted, explained) = (emitted(), explained());
    assert!(emitted.len() > 20, "{emitted:?}");
    let missing: Vec<_> = emitted.difference(&explained).collect();
    assert!(
        missing.is_empty(),
        "no entry in templates/findings.yaml: {missing:?}"
    );
}

/// Codes of the waste rules and the ledger are not those of a session: their own tests name them.
fn asserted() -> BTreeSet<String> {
    let suite = files_below(&repository().join("tests/suite"), "rs");
    let tests = suite.iter().filter(|path| !path.ends_with("codes.rs"));
    let text: String = tests
        .filter_map(|path| fs::read_to_string(path).ok())
        .collect();
    let quoted = text
        .split('"')
        .filter(|part| part.starts_with("waste/") || part.starts_with("ledger/"));
    quoted.map(str::to_owned).collect()
}

#[test]
fn every_explained_code_is_reached_by_a_session() {
    let reached: BTreeSet<String> = sessions()
        .iter()
        .flat_map(|path| stated(&fs::read_to_string(path).expect("a session")))
        .filter_map(|line| line.split(' ').nth(1).map(str::to_owned))
        .chain(asserted())
        .collect();
    let excused: BTreeSet<String> = UNREACHED
        .iter()
        .map(|(code, _)| (*code).to_owned())
        .collect();
    let explained = explained();
    // What waste and ledger say of single containers, their own tests reach.
    let emitted = emitted();
    let of_sessions = |code: &str| code.starts_with("order/") || emitted.contains(code);
    let unreached: Vec<_> = explained
        .iter()
        .filter(|code| of_sessions(code) && !reached.contains(*code) && !excused.contains(*code))
        .collect();
    assert!(
        unreached.is_empty(),
        "no session of tests/sessions reaches {unreached:?}"
    );
    let stale: Vec<_> = excused
        .iter()
        .filter(|code| reached.contains(*code) || !explained.contains(*code))
        .collect();
    assert!(stale.is_empty(), "no longer to be excused: {stale:?}");
    let unknown: Vec<_> = reached.difference(&explained).collect();
    assert!(
        unknown.is_empty(),
        "sessions expect codes that nobody explains: {unknown:?}"
    );
}

#[test]
fn explain_tells_title_and_explanation_and_the_nearest_code() {
    let run = run_in(repository(), &["explain", "order/water-onto-acid"]);
    assert!(
        run.stdout.contains("Water onto acid") && run.stdout.contains("thin"),
        "{}",
        run.stdout
    );
    for (mistyped, near) in [
        ("name/hydrate-not-statd", "name/hydrate-not-stated"),
        ("hydrate-not-stated", "name/hydrate-not-stated"),
    ] {
        let run = run_in(repository(), &["explain", mistyped]);
        assert_eq!(run.status, Some(2));
        assert!(run.stderr.contains(near), "{}", run.stderr);
    }
    let all = run_in(repository(), &["explain", "--all"]).stdout;
    let words: BTreeSet<&str> = all.split_whitespace().collect();
    let codes = explained();
    let parts = || codes.iter().filter_map(|code| code.split_once('/'));
    let rooms: BTreeSet<&str> = parts().map(|(room, _)| room).collect();
    let titles: String = rooms
        .iter()
        .map(|room| run_in(repository(), &["explain", room]).stdout)
        .collect();
    for (room, slug) in parts() {
        assert!(
            words.contains(room) && words.contains(slug),
            "{room}/{slug}"
        );
        assert!(titles.contains(&format!("{room}/{slug}")), "{titles}");
    }
}

#[test]
fn completions_know_the_commands() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let run = run_in(repository(), &["completions", shell]);
        assert_eq!(run.status, Some(0), "{}", run.stderr);
        assert!(
            run.stdout.contains("explain") && run.stdout.contains("demo"),
            "{shell}"
        );
    }
}

/// An entry that nothing can emit explains nothing.
#[test]
fn every_explained_code_stands_in_the_source() {
    let source: String = files_below(&repository().join("src"), ".rs")
        .iter()
        .map(|path| fs::read_to_string(path).expect("a source file"))
        .collect();
    let by_data = people_codes();
    let dead: Vec<String> = explained()
        .into_iter()
        .filter(|code| {
            !code.starts_with("order/")
                && !by_data.contains(code)
                && !source.contains(&format!("\"{code}\""))
        })
        .collect();
    assert!(dead.is_empty(), "explained and never emitted: {dead:?}");
}

/// A workspace's own chemical of which nothing is said: no data is not safe.
#[test]
fn a_chemical_without_data_is_a_finding() {
    let run = Bench::demo()
        .file(
            "hazards/chemicals/grey-powder.yaml",
            "id: grey-powder\nname: grey powder\nstate: powder\n",
        )
        .file(
            "recipes/r.yaml",
            "makes: 1 L\nkind: other\nstart: {water: 1 L}\nadd: [{grey powder: 5 g}]\n",
        )
        .file("sessions/s.yaml", "make: [{recipe: r}]\n")
        .run(&["check", "--format", "json", "sessions/s.yaml"]);
    let json: Value =
        serde_json::from_str(&run.stdout).unwrap_or_else(|_| panic!("{}", run.stderr));
    let findings = json["findings"].as_array().expect("findings");
    assert!(
        findings
            .iter()
            .any(|f| f["code"] == "chemical/unclassified" && f["severity"] == "attention"),
        "{}",
        run.stdout
    );
}

/// Whoever works in German reads what a finding means in German: each code has a title and an
/// explanation there, and no code is explained that is not one.
#[test]
fn explain_speaks_the_workspaces_language() {
    let bench = Bench::demo();
    let place = std::fs::read_to_string(bench.path("darkroom.yaml")).expect("the place");
    let place = place.replace("language: en", "language: de");
    let bench = bench.file("darkroom.yaml", place);
    let run = bench.run(&["explain", "order/water-onto-acid"]);
    assert!(run.stdout.contains("Wasser auf Säure"), "{}", run.stdout);
    let run = bench.run(&["explain", "order/water-onto-acid", "--language", "en"]);
    assert!(run.stdout.contains("Water onto acid"), "{}", run.stdout);
    let all = |language: &str| -> Vec<(String, String)> {
        let run = bench.run(&["explain", "--format", "json", "--language", language]);
        let json: serde_json::Value = serde_json::from_str(&run.stdout).expect("an object");
        let codes = json["codes"].as_array().expect("a list").iter();
        let word =
            |one: &serde_json::Value, name: &str| one[name].as_str().expect("a word").to_owned();
        codes
            .map(|one| {
                (
                    word(one, "code"),
                    word(one, "title") + &word(one, "explanation"),
                )
            })
            .collect()
    };
    let (english, german) = (all("en"), all("de"));
    assert_eq!(english.len(), german.len());
    for ((code, english), (_, german)) in english.iter().zip(&german) {
        assert!(
            english != german && !german.contains("(en)"),
            "{code}: {german}"
        );
    }
    let text = std::fs::read_to_string(repository().join("templates/de/explain.yaml"));
    let own: std::collections::BTreeMap<String, serde_json::Value> =
        serde_yaml::from_str(&text.expect("the explanations")).expect("a map");
    let known: BTreeSet<&String> = english.iter().map(|(code, _)| code).collect();
    assert_eq!(own.keys().collect::<BTreeSet<_>>(), known);
}

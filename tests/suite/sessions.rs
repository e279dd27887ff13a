//! Sessions with the findings they must have, written at the end of each file as comments:
//!
//! ```text
//! # expected:
//! # stop name/hydrate-not-stated recipes/borax.yaml:5:5
//! # attention place/unknown 1:1
//! ```
//!
//! Severity, code, and the place: line and column, after the file's name where it is another
//! file, `-` where a finding has no place. Compared exactly, as a set that may repeat; the order
//! on the page has its own test. `WETSIDE_ACCEPT=1` writes what is found into the files: read the
//! difference before it is committed, as a practitioner would.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::harness::{files_below, repository, run_in};

const EXPECTED: &str = "# expected:";

pub fn sessions() -> Vec<PathBuf> {
    let all = files_below(&repository().join("tests/sessions"), ".yaml");
    let is_session = |path: &PathBuf| {
        let beside = |name| path.parent().is_some_and(|p| p.ends_with(name));
        !path.ends_with("darkroom.yaml") && !beside("recipes") && !beside("sds")
    };
    all.into_iter().filter(is_session).collect()
}

#[test]
fn every_session_has_the_findings_it_states() {
    let accept = std::env::var_os("WETSIDE_ACCEPT").is_some();
    let sessions = sessions();
    assert!(sessions.len() >= 12);
    let faults: Vec<String> = sessions
        .iter()
        .filter_map(|path| fault(path, accept))
        .collect();
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
}

fn fault(path: &Path, accept: bool) -> Option<String> {
    let text = fs::read_to_string(path).expect("a session");
    let name = path
        .strip_prefix(repository())
        .expect("below")
        .display()
        .to_string();
    let run = run_in(repository(), &["check", "--format", "json", &name]);
    let Ok(json) = serde_json::from_str::<Value>(&run.stdout) else {
        return Some(format!("{name}: exit {:?}\n{}", run.status, run.stderr));
    };
    let found = found(&json, &name);
    if accept {
        write_expectation(path, &text, &found);
        return None;
    }
    let stated = stated(&text);
    let stops = stated.iter().any(|line| line.starts_with("stop "));
    if run.status != Some(i32::from(stops)) {
        return Some(format!(
            "{name}: exit {:?} with {} stop",
            run.status,
            if stops { "a" } else { "no" }
        ));
    }
    let missing = without(&stated, &found);
    let surplus = without(&found, &stated);
    (!missing.is_empty() || !surplus.is_empty()).then(|| {
        format!(
            "{name}\n  missing: {}\n  not expected: {}",
            missing.join("\n    "),
            surplus.join("\n    ")
        )
    })
}

/// `stop name/look-alike 5:5`, sorted.
fn found(json: &Value, session: &str) -> Vec<String> {
    let findings = json["findings"].as_array().expect("a list of findings");
    let mut lines: Vec<String> = findings
        .iter()
        .map(|finding| {
            let word = |name: &str| finding[name].as_str().unwrap_or("").to_owned();
            let place = place(&finding["places"], session);
            format!("{} {} {place}", word("severity"), word("code"))
        })
        .collect();
    lines.sort();
    lines
}

fn place(places: &Value, session: &str) -> String {
    let Some(first) = places.as_array().and_then(|list| list.first()) else {
        return "-".to_owned();
    };
    let at = format!("{}:{}", first["line"], first["column"]);
    let file = first["file"].as_str().unwrap_or("");
    let folder = Path::new(session).parent().expect("a folder");
    match Path::new(file).strip_prefix(folder) {
        _ if file == session => at,
        Ok(below) => format!("{}:{at}", below.display()),
        Err(_) => format!("{file}:{at}"),
    }
}

pub fn stated(text: &str) -> Vec<String> {
    let block = text.split_once(EXPECTED).map_or("", |(_, block)| block);
    let lines = block.lines().filter_map(|line| line.strip_prefix("# "));
    lines.map(|line| line.trim().to_owned()).collect()
}

fn write_expectation(path: &Path, text: &str, found: &[String]) {
    let own = text
        .split_once(EXPECTED)
        .map_or(text, |(own, _)| own)
        .trim_end();
    let lines: String = found.iter().map(|line| format!("# {line}\n")).collect();
    fs::write(path, format!("{own}\n\n{EXPECTED}\n{lines}")).expect("written");
}

/// What of one list is not in the other, counting repeats.
fn without(list: &[String], other: &[String]) -> Vec<String> {
    let mut rest = other.to_vec();
    let mut left = Vec::new();
    for line in list {
        match rest.iter().position(|candidate| candidate == line) {
            Some(at) => drop(rest.swap_remove(at)),
            None => left.push(line.clone()),
        }
    }
    left
}

/// Worst first, on every page: stops, then attentions, then notes.
#[test]
fn findings_come_worst_first() {
    for path in sessions() {
        let name = path
            .strip_prefix(repository())
            .expect("below")
            .display()
            .to_string();
        let run = run_in(repository(), &["check", "--format", "json", &name]);
        let json: Value = serde_json::from_str(&run.stdout).expect("JSON");
        let ranks: Vec<usize> = json["findings"]
            .as_array()
            .expect("a list")
            .iter()
            .map(|f| {
                ["stop", "attention", "note"]
                    .iter()
                    .position(|s| f["severity"] == *s)
                    .expect("a severity")
            })
            .collect();
        assert!(ranks.is_sorted(), "{name}: {ranks:?}");
    }
}

/// A template that fails says so in the message instead of hiding the finding: none may.
#[test]
fn no_wording_fails() {
    for path in sessions() {
        let name = path
            .strip_prefix(repository())
            .expect("below")
            .display()
            .to_string();
        let run = run_in(repository(), &["check", "--all", &name]);
        assert!(
            !run.stdout.contains("cannot be filled in"),
            "{name}: {}",
            run.stdout
        );
    }
}

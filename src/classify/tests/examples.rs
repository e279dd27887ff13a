//! The published worked examples of `tests/reference/mixture-examples.yaml`, read as a person's
//! file and classified through the entry that the command uses.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::super::{Classification, Profile, Route, classify, read_mixture};
use super::{no_catalogue, rules};
use crate::source::SourceFile;

#[derive(Deserialize)]
struct Examples {
    examples: Vec<Example>,
}

#[derive(Deserialize)]
struct Example {
    id: String,
    profile: Profile,
    mixture: serde_yaml::Value,
    expected: Expected,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Expected {
    family: String,
    class: String,
    statement: Option<String>,
    #[serde(default)]
    ate_mix: BTreeMap<Route, f64>,
    #[serde(default)]
    no_ate_mix: Vec<Route>,
    #[serde(default)]
    unknown_percent: BTreeMap<Route, f64>,
    #[serde(default)]
    sums: BTreeMap<String, f64>,
    supplemental: Option<String>,
}

fn classified(example: &Example) -> Classification {
    let text = serde_yaml::to_string(&example.mixture).unwrap();
    let file = SourceFile::new(&*example.id, text.into_bytes()).unwrap();
    let rules = rules();
    let mixture = read_mixture(&file, &rules.classes, &no_catalogue).unwrap();
    classify(&mixture, example.profile, &rules)
}

#[test]
fn worked_examples_come_out_as_published() {
    let text = include_str!("../../../tests/reference/mixture-examples.yaml");
    let list: Examples = serde_yaml::from_str(text).unwrap();
    let failed: Vec<String> = list.examples.iter().flat_map(differences).collect();
    assert_eq!(list.examples.len(), 51);
    assert!(failed.is_empty(), "\n{}", failed.join("\n"));
}

fn differences(example: &Example) -> Vec<String> {
    let got = classified(example);
    let expected = &example.expected;
    let mut wrong = Vec::new();
    let check = got
        .classes
        .iter()
        .find(|c| c.gives.family() == expected.family);
    let class = check.map_or("none", |c| c.gives.name());
    if class != expected.class {
        wrong.push(format!("class {class}, not {}", expected.class));
    }
    let statement = check.map(|c| c.gives.statement.clone());
    if statement != expected.statement {
        wrong.push(format!("statement {statement:?}"));
    }
    if let Some(check) = check
        && got.label.signal < check.gives.category.signal
    {
        wrong.push(format!("signal {:?}", got.label.signal));
    }
    let figures = [
        (&expected.ate_mix, &got.ate_mix),
        (&expected.unknown_percent, &got.unknown_percent),
    ];
    for (wanted, found) in figures {
        for (route, value) in wanted {
            compare(&mut wrong, route.word(), *value, found.get(route).copied());
        }
    }
    for route in expected
        .no_ate_mix
        .iter()
        .filter(|r| got.ate_mix.contains_key(r))
    {
        wrong.push(format!("an ATE for {}", route.word()));
    }
    for (class, value) in &expected.sums {
        let sum = got.trace.iter().find(|c| c.gives.to_string() == *class);
        compare(&mut wrong, class, *value, sum.map(|c| c.value));
    }
    if let Some(code) = &expected.supplemental
        && !got.label.supplemental.contains(code)
    {
        wrong.push(format!("no {code}"));
    }
    wrong
        .iter()
        .map(|w| format!("{}: {w}", example.id))
        .collect()
}

/// To 1 %, the accuracy to which the sources print.
fn compare(wrong: &mut Vec<String>, what: &str, wanted: f64, found: Option<f64>) {
    match found {
        Some(found) if (found - wanted).abs() <= 0.01 * wanted => {}
        other => wrong.push(format!("{what}: {other:?}, not {wanted}")),
    }
}

//! Each limit just below, at, and just above: the limits of CLP Annex I and of the North American
//! form, as `mixture-limits.yaml` cites them, written here once more by hand.

mod boundaries;
mod corrosion;
mod physical;
mod supplemental;

use super::{no_catalogue, rules};
use crate::classify::{Classification, Profile, classify, read_mixture};
use crate::source::SourceFile;

use Profile::{Eu, Ghs, Us};

fn classified(text: &str, profile: Profile) -> Classification {
    let file = SourceFile::new("mixture.yaml", text.as_bytes().to_vec()).unwrap();
    let rules = rules();
    let mixture = read_mixture(&file, &rules.classes, &no_catalogue);
    classify(
        &mixture.unwrap_or_else(|m| panic!("{text}: {m:?}")),
        profile,
        &rules,
    )
}

/// One ingredient in water.
fn alone(described: &str, percent: f64, profile: Profile) -> Classification {
    let text = format!("ingredients:\n- {{name: x, percent: {percent}, {described}}}\n");
    classified(&text, profile)
}

fn has(result: &Classification, class: &str) -> bool {
    result
        .classes
        .iter()
        .any(|check| check.gives.name() == class)
}

/// CLP Annex VI, Note 11: borates are counted together; others are not.
#[test]
fn borates_count_together() {
    let text = |group: &str| {
        format!(
            "ingredients:
- {{name: a, percent: 0.2, classification: [Repr. 1B H360FD]{group}}}
- {{name: b, percent: 0.2, classification: [Repr. 1B H360FD]{group}}}
"
        )
    };
    assert!(has(
        &classified(&text(", adds_with: borates"), Eu),
        "Repr. 1B"
    ));
    assert!(!has(&classified(&text(""), Eu), "Repr. 1B"));
}

/// UN GHS 3.1.3.6.2.3: corrected above 10 % unknown, not at it; an unknown rest counts as one.
#[test]
fn unknown_toxicity_is_counted_and_corrected_for() {
    let ate = |unknown: f64| {
        let text = format!(
            "ingredients:
- {{name: x, percent: 20, ate: {{oral: 400}}}}
- {{name: u, percent: {unknown}, unknown: [oral]}}
"
        );
        classified(&text, Eu).ate_mix.values().copied().next()
    };
    assert_eq!(ate(10.0), Some(100.0 / (20.0 / 400.0)));
    assert_eq!(ate(11.0), Some(89.0 / (20.0 / 400.0)));
    let rest = classified(
        "balance: unknown\ningredients: [{name: x, percent: 20, ate: {oral: 400}}]",
        Eu,
    );
    assert!(
        rest.unknown_percent
            .values()
            .all(|percent| *percent == 80.0)
    );
}

/// Two sources of one ingredient disagree: the more cautious is taken and said.
#[test]
fn an_estimate_milder_than_the_category_is_not_believed() {
    let result = alone(
        "classification: [Acute Tox. 3 H301], ate: {oral: 1500}",
        50.0,
        Eu,
    );
    assert_eq!(
        result.ate_mix.values().copied().collect::<Vec<_>>(),
        [200.0]
    );
    assert!(
        result
            .notes
            .iter()
            .any(|note| note.code == "estimate-milder")
    );
}

#[test]
fn environment_is_no_matter_of_the_us_form() {
    let result = alone(
        "classification: [Aquatic Acute 1 H400, Aquatic Chronic 1 H410], m: 10",
        50.0,
        Us,
    );
    assert!(result.classes.is_empty() && result.label.pictograms.is_empty());
}

#[test]
fn an_ingredient_of_which_nothing_is_given_is_said() {
    let result = classified(
        "ingredients: [{name: salt, percent: 5}, {name: Water, percent: 95}]",
        Eu,
    );
    let said: Vec<_> = result
        .notes
        .iter()
        .map(|note| (note.code, note.facts["name"].as_str()))
        .collect();
    assert_eq!(said, [("nothing-given", Some("salt"))]);
}

/// Organs named for the ingredient are named for the mixture, also in the milder category.
#[test]
fn organs_go_with_the_class() {
    let result = alone("classification: [STOT RE 1 H372 (thyroid)]", 2.0, Eu);
    let texts: Vec<String> = result.classes.iter().map(|c| c.gives.to_string()).collect();
    assert_eq!(texts, ["STOT RE 2 H373 (thyroid)"]);
}

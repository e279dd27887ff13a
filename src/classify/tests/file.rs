use std::sync::Arc;

use super::super::{Ingredient, Profile, Route, Signal, classify, read_mixture};
use super::{no_catalogue, rules};
use crate::source::SourceFile;
use crate::units::Percent;

fn file(text: &str) -> Arc<SourceFile> {
    SourceFile::new("mixture.yaml", text.as_bytes().to_vec()).unwrap()
}

/// The promised example, whole.
const EXAMPLE: &str = "mixture: example
form: liquid
ph: 13.2
flash_point: 36 °C
ingredients:
  - name: ingredient A
    percent: 8
    classification: [Acute Tox. 3 H301, Skin Corr. 1B H314]
    ate: {oral: 125}
    limits: [Skin Corr. 1B H314 >= 5, Eye Irrit. 2 H319 0.5..2]
    m: {acute: 10, chronic: 1}
    unknown: [oral]
    additive: false
  - {chemical: hydroquinone, percent: 0.5}
";

#[test]
fn the_promised_file_is_read_and_classified() {
    let rules = rules();
    let hydroquinone = |name: &str, percent: Percent| {
        assert_eq!(name, "hydroquinone");
        Ok(Ingredient::new(
            name,
            percent,
            vec![rules.classes.parse("Carc. 2 H351").unwrap()],
        ))
    };
    let mixture = read_mixture(&file(EXAMPLE), &rules.classes, &hydroquinone).unwrap();
    let result = classify(&mixture, Profile::Eu, &rules);
    let skin = result
        .classes
        .iter()
        .find(|c| c.gives.name() == "Skin Corr. 1B")
        .unwrap();
    assert_eq!(skin.gives.statement, "H314");
    assert_eq!(skin.rule, "CLP Annex I, Table 3.2.3");
    assert_eq!(result.label.signal, Some(Signal::Danger));
    assert_eq!(result.ate_mix[&Route::Oral], 1562.5);
    assert_eq!(result.unknown_percent[&Route::Oral], 0.0);
}

/// Every mistake, each at its line, in one run.
#[test]
fn all_mistakes_are_told_with_their_places() {
    let text = "mixture: bad
form: foam
ph: 20
ingredients:
  - {name: a, percent: 120}
  - {percent: 5}
  - {name: b, percent: 5, classification: [Acute Tox. 4, hot]}
  - {name: c, percent: 5, ate: {inhaled: 3, oral: -1}, unknown: [ear]}
  - {name: d, percent: 7..3, limits: [Skin Corr. 1B], m: 0.5, additive: maybe}
  - {chemical: nothing known, percent: 1}
  - {name: e, percent: 60, colour: red}
";
    let rules = rules();
    let mistakes = read_mixture(&file(text), &rules.classes, &no_catalogue).unwrap_err();
    let lines: Vec<usize> = mistakes
        .iter()
        .map(|m| m.place.as_ref().unwrap().line)
        .collect();
    assert_eq!(lines, [2, 3, 5, 6, 7, 7, 8, 8, 8, 9, 9, 9, 9, 10, 11]);
}

#[test]
fn more_than_the_whole_is_refused_and_ranges_count_with_their_upper_end() {
    let rules = rules();
    let read = |text: &str| read_mixture(&file(text), &rules.classes, &no_catalogue);
    assert!(read("ingredients: [{name: a, percent: 60}, {name: b, percent: 50}]").is_err());
    let ranges =
        read("ingredients: [{name: a, percent: 40..60}, {name: b, percent: 30-50 %}]").unwrap();
    assert_eq!(ranges.ingredients[1].percent.percent(), 50.0);
}

#[test]
fn empty_and_shapeless_files_are_told_apart_from_mixtures() {
    let rules = rules();
    for text in [
        "",
        "- a\n- b\n",
        "ingredients: 3",
        "mixture: x",
        "ingredients: [[1]]",
    ] {
        assert!(
            read_mixture(&file(text), &rules.classes, &no_catalogue).is_err(),
            "{text}"
        );
    }
}

//! The catalogue against values from outside. Each table in `tests/reference/` names its source,
//! how it was obtained and its tolerance in its first lines.

use std::collections::BTreeSet;
use std::fs;

use wetside::assessment::Rules;
use wetside::catalogue::{Catalogue, DataFiles};
use wetside::classify::{HazardClass, Profile, label_elements};

use crate::harness::repository;

fn catalogue() -> Catalogue {
    Catalogue::load(DataFiles::embedded()).unwrap_or_else(|error| panic!("{error}"))
}

fn rules() -> Rules {
    Rules::load(&DataFiles::embedded(), Profile::Eu).unwrap_or_else(|error| panic!("{error}"))
}

/// The rows of a table without its comments and heading. No cell here holds a quoted comma.
fn rows(name: &str) -> Vec<Vec<String>> {
    let path = repository().join("tests/reference").join(name);
    let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    let rows: Vec<Vec<String>> = lines
        .map(|line| line.split(',').map(str::to_owned).collect())
        .collect();
    assert!(rows.len() > 30, "{name} is nearly empty");
    rows
}

fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|e| panic!("{text}: {e}"))
}

/// Two libraries, 0.02 g/mol: see the head of the table.
#[test]
fn molar_masses() {
    let catalogue = catalogue();
    let rows = rows("molar-masses.csv");
    for row in &rows {
        let [id, formula, first, second] = row.as_slice() else {
            panic!("{row:?}")
        };
        let chemical = catalogue
            .chemical(id)
            .unwrap_or_else(|| panic!("{id} is gone"));
        assert_eq!(
            chemical.formula.as_deref(),
            Some(formula.as_str()),
            "{id}: make the table anew"
        );
        let ours = catalogue
            .molar_mass(&chemical)
            .unwrap_or_else(|| panic!("{id} has no molar mass"));
        for theirs in [number(first), number(second)] {
            assert!(
                (ours - theirs).abs() < 0.02,
                "{id}: {ours} against {theirs}"
            );
        }
    }
    let with_formula = catalogue
        .chemicals()
        .filter(|c| c.formula.is_some())
        .count();
    assert_eq!(rows.len(), with_formula, "a formula is not in the table");
}

/// The library mendeleev 0.8, element by element, over formulas without parentheses. Atomic
/// weights there differ in the last digit: 0.03 g/mol.
#[test]
fn molar_masses_again_from_another_table_of_elements() {
    let catalogue = catalogue();
    let mut compared = 0;
    for chemical in catalogue.chemicals() {
        let Some(formula) = chemical
            .formula
            .as_deref()
            .filter(|f| !f.contains(['(', '[']))
        else {
            continue;
        };
        let theirs: f64 = formula.split('.').map(mass_of_part).sum();
        let ours = catalogue.molar_mass(chemical).expect("a molar mass");
        assert!(
            (ours - theirs).abs() < 0.03,
            "{formula}: {ours} against {theirs}"
        );
        compared += 1;
    }
    assert!(compared > 90, "only {compared} formulas were compared");
}

fn mass_of_part(part: &str) -> f64 {
    let symbols = part.trim_start_matches(|c: char| c.is_ascii_digit());
    let times = number_or_one(&part[..part.len() - symbols.len()]);
    let starts: Vec<usize> = symbols
        .char_indices()
        .filter(|(_, c)| c.is_ascii_uppercase())
        .map(|(at, _)| at)
        .collect();
    let ends = starts.iter().skip(1).copied().chain([symbols.len()]);
    let terms = starts
        .iter()
        .zip(ends)
        .map(|(start, end)| &symbols[*start..end]);
    times * terms.map(mass_of_term).sum::<f64>()
}

fn mass_of_term(term: &str) -> f64 {
    let symbol = term.trim_end_matches(|c: char| c.is_ascii_digit());
    let element = mendeleev::Element::iter().find(|e| e.symbol() == symbol);
    let element = element.unwrap_or_else(|| panic!("{symbol} is no element"));
    f64::from(element.atomic_weight()) * number_or_one(&term[symbol.len()..])
}

fn number_or_one(digits: &str) -> f64 {
    if digits.is_empty() {
        1.0
    } else {
        number(digits)
    }
}

/// CLP Annex VI, Table 3, row by row.
#[test]
fn harmonised_entries() {
    let catalogue = catalogue();
    let mut checked = 0;
    for row in rows("harmonised-entries.csv") {
        let [id, index, classes, m, ..] = row.as_slice() else {
            panic!("{row:?}")
        };
        let chemical = catalogue
            .chemical(id)
            .unwrap_or_else(|| panic!("{id} is gone"));
        let Some(entry) = chemical.classification.harmonised.as_ref() else {
            // Nitrocellulose is in the table; collodion is a solution of it in ether and alcohol.
            assert_eq!(id, "collodion", "{id} has lost its harmonised entry");
            continue;
        };
        assert_eq!(&entry.index, index, "{id}");
        let theirs: BTreeSet<String> = classes.split("; ").map(str::to_owned).collect();
        let ours: BTreeSet<String> = entry.classes.iter().map(|class| bare(class)).collect();
        if chemical.strength.is_some() && ours != theirs {
            by_specific_limits(
                &entry.limits,
                chemical.strength.as_ref().map_or(0.0, |s| s.percent),
                &ours,
                &theirs,
                id,
            );
        } else {
            assert_eq!(ours, theirs, "{id}");
        }
        let factors: Vec<f64> = m.split(';').filter(|m| !m.is_empty()).map(number).collect();
        let own: Vec<f64> = entry.m.acute.into_iter().chain(entry.m.chronic).collect();
        assert_eq!(own, factors, "M-factors of {id}");
        checked += 1;
    }
    assert!(checked > 50, "only {checked} entries were checked");
}

/// Without organs in brackets and the second star of a route left open.
fn bare(class: &str) -> String {
    class
        .split(" (")
        .next()
        .unwrap_or(class)
        .trim_end_matches('*')
        .to_owned()
}

/// A solution has fewer classes than its substance, and only those its specific limits give it.
fn by_specific_limits(
    limits: &[String],
    percent: f64,
    ours: &BTreeSet<String>,
    theirs: &BTreeSet<String>,
    id: &str,
) {
    let rules = rules();
    let limits: Vec<(String, f64, f64)> = limits
        .iter()
        .map(|text| {
            let limit = rules
                .tables
                .classes
                .parse_limit(text)
                .unwrap_or_else(|e| panic!("{id}: {e}"));
            (
                text.clone(),
                limit.from,
                limit.below.unwrap_or(f64::INFINITY),
            )
        })
        .collect();
    for class in ours.difference(theirs) {
        let given = limits.iter().any(|(text, from, below)| {
            text.starts_with(class.as_str()) && (*from..*below).contains(&percent)
        });
        assert!(given, "{id}: no limit gives {class} at {percent} %");
    }
    for class in theirs.difference(ours) {
        let statement = class.split(' ').next_back().unwrap_or(class);
        let limited = limits.iter().any(|(text, from, below)| {
            text.contains(statement) && !(*from..*below).contains(&percent)
        });
        assert!(
            limited || class.contains('*'),
            "{id}: {class} is lost at {percent} %"
        );
    }
}

/// Signal word, pictograms and statements derived from the harmonised classes alone, against
/// the lists worked out by hand.
#[test]
fn label_elements_of_harmonised_entries() {
    let rules = rules();
    let mut checked = 0;
    for row in rows("harmonised-entries.csv") {
        let [id, _, classes, _, signal, pictograms, label, ..] = row.as_slice() else {
            panic!("{row:?}")
        };
        if label.is_empty() {
            continue;
        }
        let classes: Vec<HazardClass> = classes
            .split("; ")
            .map(|class| {
                rules
                    .tables
                    .classes
                    .parse(class)
                    .unwrap_or_else(|e| panic!("{id}: {e}"))
            })
            .collect();
        let derived = label_elements(&classes, &[], Profile::Eu, &rules.tables.labelling);
        assert_eq!(
            derived.signal.map(|s| s.to_string()).unwrap_or_default(),
            *signal,
            "{id}"
        );
        assert_eq!(derived.pictograms.join(" "), *pictograms, "{id}");
        // Statements that are printed as one sentence stand as `H302+H312`.
        let in_order = |codes: String| {
            let mut codes: Vec<String> = codes.split_whitespace().map(str::to_owned).collect();
            codes.sort();
            codes
        };
        let ours = in_order(derived.statements.join(" ").replace('+', " "));
        assert_eq!(ours, in_order(label.clone()), "{id}");
        checked += 1;
    }
    assert!(checked > 30, "only {checked} labels were checked");
}

/// The list of Ontario as carried by the PyPI library chemicals, exactly.
#[test]
fn exposure_limits() {
    let catalogue = catalogue();
    for row in rows("exposure-limits-library.csv") {
        let [cas, kind, value, unit] = row.as_slice() else {
            panic!("{row:?}")
        };
        let same_number = catalogue
            .chemicals()
            .filter(|c| c.cas.as_deref() == Some(cas));
        for chemical in same_number {
            let found = chemical.limits.iter().any(|limit| {
                limit.body == "Ontario OEL"
                    && limit.kind == *kind
                    && limit.unit.as_deref() == Some(unit)
                    && limit.value == Some(number(value))
            });
            assert!(
                found,
                "{}: Ontario {kind} {value} {unit} is missing or differs",
                chemical.id
            );
        }
    }
}

//! Hazard classes against what else an entry says, and against the phrases.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::assessment::hazards_of;
use crate::catalogue::{Catalogue, Chemical, Statements};
use crate::classify::{Limited, Profile};

use super::super::Rules;
use super::Fault;

/// Statements that an entry's reactive groups must know of: one of the groups at least.
const GROUPS: &[(&[&str], &[&str])] = &[
    (
        &["H271", "H272"],
        &["oxidiser", "strong-oxidiser", "oxidising-acid"],
    ),
    (&["H224", "H225", "H226"], &["flammable"]),
];

/// Routes of an acute toxicity estimate.
const ROUTES: &[&str] = &["oral", "dermal", "gas", "vapour", "dust"];

pub(super) fn faults(chemical: &Arc<Chemical>, catalogue: &Catalogue, rules: &Rules) -> Vec<Fault> {
    let mut messages = notation(chemical, rules);
    let hazards = hazards_of(chemical, rules);
    let printed: BTreeSet<&str> = hazards
        .classes
        .iter()
        .filter_map(|class| class.statement.get(..4))
        .collect();
    let has = |codes: &[&str]| codes.iter().any(|code| printed.contains(code));
    if has(&["H317"])
        && chemical
            .sensitiser
            .as_ref()
            .is_some_and(|s| s.skin.as_bool() == Some(false))
    {
        messages.push("H317 is printed, and `sensitiser` says not by skin".into());
    }
    if has(&["H334"])
        && chemical
            .sensitiser
            .as_ref()
            .is_some_and(|s| s.breathing.as_bool() == Some(false))
    {
        messages.push("H334 is printed, and `sensitiser` says not by breathing".into());
    }
    if has(&["H310", "H311", "H312"])
        && chemical
            .skin_absorption
            .as_ref()
            .is_some_and(|s| !s.worse_case())
    {
        messages.push("it is harmful through skin, and `skin_absorption` says no".into());
    }
    for (codes, groups) in GROUPS {
        if has(codes) && !groups.iter().any(|group| chemical.belongs_to(group)) {
            messages.push(format!(
                "{} is printed, and it is in no group {}",
                codes.join(" or "),
                groups.join(", ")
            ));
        }
    }
    if has(&["H290"])
        && !catalogue
            .reactions()
            .iter()
            .any(|rule| !rule.vessel.is_empty() && rule.is_a(chemical))
    {
        messages.push("H290 is printed, and no rule keeps it from a metal vessel".into());
    }
    if chemical.classification.none.is_some() && !chemical.classes().is_empty() {
        messages.push("it is said to be unclassified, and classes are printed".into());
    }
    messages.extend(
        hazards
            .label
            .pictograms
            .iter()
            .filter(|id| !drawn(id, catalogue))
            .map(|id| format!("no drawing of {id}")),
    );
    messages
        .into_iter()
        .map(|message| Fault::of_chemical(&chemical.id, message))
        .collect()
}

fn drawn(pictogram: &str, catalogue: &Catalogue) -> bool {
    catalogue
        .files()
        .text(&format!("templates/pictograms/{pictogram}.svg"))
        .is_some()
}

/// Classes, specific limits, factors and estimates as written.
fn notation(chemical: &Chemical, rules: &Rules) -> Vec<String> {
    let data = &chemical.classification;
    let harmonised = data
        .harmonised
        .iter()
        .map(|h| (&h.classes, &h.limits, h.m, &h.ate));
    let added = data
        .added
        .iter()
        .map(|a| (&a.classes, &a.limits, a.m, &a.ate));
    let mut messages = Vec::new();
    for (classes, limits, m, ate) in harmonised.chain(added) {
        let parsed = classes
            .iter()
            .map(|class| rules.tables.classes.parse(class));
        messages.extend(
            parsed
                .filter_map(Result::err)
                .map(|error| error.to_string()),
        );
        for limit in limits {
            match rules.tables.classes.parse_limit(limit) {
                Err(error) => messages.push(error.to_string()),
                Ok(limit) => messages.extend(below_nothing(&limit.of)),
            }
        }
        for (what, factor) in [("acute", m.acute), ("chronic", m.chronic)] {
            if factor.is_some_and(|factor| !is_power_of_ten(factor)) {
                messages.push(format!("the {what} M-factor is not 1, 10, 100 …"));
            }
        }
        messages.extend(
            ate.keys()
                .filter(|route| !ROUTES.contains(&route.as_str()))
                .map(|route| {
                    format!(
                        "`{route}` is no route of an estimate; there are {}",
                        ROUTES.join(", ")
                    )
                }),
        );
    }
    if let Some(h) = &data.harmonised
        && !is_index_number(&h.index)
    {
        messages.push(format!("`{}` is no index number", h.index));
    }
    messages
}

fn below_nothing(of: &Limited) -> Option<String> {
    match of {
        Limited::Supplemental(code) if !code.starts_with("EUH") => {
            Some(format!("`{code}` is no statement"))
        }
        _ => None,
    }
}

fn is_power_of_ten(factor: f64) -> bool {
    let power = libm::log10(factor);
    factor >= 1.0 && (power - libm::round(power)).abs() < 1e-9
}

/// `604-005-00-4`: atomic number or class, sequence, form, check digit (CLP Annex VI, 1.1.1.1).
fn is_index_number(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let lengths: Vec<usize> = parts.iter().map(|part| part.len()).collect();
    let plain = |part: &&str| part.bytes().all(|b| b.is_ascii_digit() || b == b'X');
    lengths == [3, 3, 2, 1] && parts.iter().all(plain)
}

/// Every statement and precaution that a class can print has its phrase.
pub(super) fn phrases(catalogue: &Catalogue, rules: &Rules) -> Vec<Fault> {
    let english = match Statements::load(catalogue.files(), "en") {
        Ok(english) => english,
        Err(error) => return vec![Fault::new(error.file, error.message)],
    };
    let mut codes: BTreeSet<&str> = BTreeSet::new();
    for category in rules
        .tables
        .classes
        .iter()
        .filter(|row| row.is_used_in(Profile::Eu))
    {
        codes.extend(
            category
                .statement
                .iter()
                .chain(&category.also)
                .map(String::as_str),
        );
        codes.extend(category.precautions.iter().map(String::as_str));
    }
    for chemical in catalogue.chemicals() {
        codes.extend(
            chemical
                .classification
                .supplemental
                .iter()
                .map(String::as_str),
        );
    }
    let silent = codes
        .into_iter()
        .filter(|code| english.phrase(code).is_none());
    silent
        .map(|code| {
            Fault::new(
                "hazards/statements/en.yaml",
                format!("`{code}` has no phrase"),
            )
        })
        .collect()
}

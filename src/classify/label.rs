//! Hazard classes → the elements of a label.

use std::collections::{BTreeMap, BTreeSet};

use super::labelling::{Covered, Labelling, PictogramRule};
use super::{HazardClass, Profile, Signal};

/// What a label shows, after precedence.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LabelElements {
    /// The signal word; `None` where no class asks for one.
    pub signal: Option<Signal>,
    /// Pictograms in order of number.
    pub pictograms: Vec<String>,
    /// Hazard statements in order of number, joined where they are printed as one.
    pub statements: Vec<String>,
    /// Supplemental statements (EUH).
    pub supplemental: Vec<String>,
    /// Every precaution, for the sheet.
    pub precautions_all: Vec<String>,
    /// The few for the label, most urgent first.
    pub precautions_label: Vec<String>,
}

/// The label of a chemical or mixture. The hazards are one of a family: see [`super::union`].
///
/// Classes that the form of the system does not have (water life in the US) are left out.
pub fn label_elements(
    hazards: &[HazardClass],
    supplemental: &[String],
    profile: Profile,
    rules: &Labelling,
) -> LabelElements {
    let hazards: Vec<&HazardClass> = hazards
        .iter()
        .filter(|hazard| hazard.category.is_used_in(profile))
        .collect();
    let precautions_all = precautions(&hazards, rules);
    LabelElements {
        // CLP Art. 20(3): the stronger word takes the place of the milder.
        signal: hazards.iter().filter_map(|h| h.category.signal).max(),
        pictograms: pictograms(&hazards, profile, rules),
        statements: statements(&hazards, rules),
        supplemental: in_order(supplemental.iter().cloned().collect()),
        precautions_label: chosen(&precautions_all, rules),
        precautions_all,
    }
}

fn pictograms(hazards: &[&HazardClass], profile: Profile, rules: &Labelling) -> Vec<String> {
    let mut shown: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for hazard in hazards {
        for pictogram in &hazard.category.pictograms {
            shown.entry(pictogram).or_default().insert(hazard.family());
        }
    }
    let asked_for = shown.clone();
    for rule in &rules.pictograms {
        if rule.used_in.contains(&profile) && applies(rule, &asked_for) {
            let for_families = &rule.for_families;
            if let Some(families) = shown.get_mut(rule.leaves_out.as_str()) {
                families.retain(|family| {
                    !for_families.is_empty() && !for_families.iter().any(|other| other == family)
                });
            }
        }
    }
    shown.retain(|_, families| !families.is_empty());
    shown.into_keys().map(str::to_owned).collect()
}

fn applies(rule: &PictogramRule, asked_for: &BTreeMap<&str, BTreeSet<&str>>) -> bool {
    asked_for.get(rule.shown.as_str()).is_some_and(|families| {
        rule.because_of.is_empty()
            || rule
                .because_of
                .iter()
                .any(|family| families.contains(family.as_str()))
    })
}

fn statements(hazards: &[&HazardClass], rules: &Labelling) -> Vec<String> {
    let mut codes: BTreeSet<String> = hazards
        .iter()
        .flat_map(|hazard| std::iter::once(&hazard.statement).chain(&hazard.category.also))
        .filter(|code| !code.is_empty())
        .cloned()
        .collect();
    leave_out(&mut codes, &rules.statements_covered);
    for set in &rules.statements_joined.sets {
        if set.iter().all(|code| codes.contains(code)) {
            codes.retain(|code| !set.contains(code));
            codes.insert(set.join("+"));
        }
    }
    in_order(codes)
}

fn precautions(hazards: &[&HazardClass], rules: &Labelling) -> Vec<String> {
    let mut codes: BTreeSet<String> = hazards
        .iter()
        .flat_map(|hazard| hazard.category.precautions.iter())
        .cloned()
        .collect();
    leave_out(&mut codes, &rules.precautions_covered);
    in_order(codes)
}

fn chosen(all: &[String], rules: &Labelling) -> Vec<String> {
    let choice = &rules.precautions_on_label;
    let place = |code: &String| choice.order.iter().position(|other| other == code);
    let mut wanted: BTreeSet<String> = all.iter().cloned().collect();
    leave_out(&mut wanted, &choice.covered);
    let mut codes: Vec<String> = in_order(wanted);
    codes.retain(|code| !choice.not_on_label.contains(code));
    // A stable sort: those without a place keep the order of their numbers.
    codes.sort_by_key(|code| place(code).unwrap_or(usize::MAX));
    codes.truncate(choice.most);
    codes
}

fn leave_out(codes: &mut BTreeSet<String>, rules: &[Covered]) {
    for rule in rules {
        if codes.contains(&rule.by) {
            codes.retain(|code| !rule.leaves_out.contains(code));
        }
    }
}

/// H before EUH and P, then by number: the order of the annexes.
fn in_order(codes: BTreeSet<String>) -> Vec<String> {
    let mut list: Vec<String> = codes.into_iter().collect();
    list.sort_by_key(|code| (code.starts_with("EUH"), code.clone()));
    list
}

//! All comparisons together: which class stands, which nearly would, what the label shows.

use std::collections::BTreeMap;

use super::check::{Check, Measure};
use super::mixture::Input;
use super::physical::NotComputed;
use super::supplemental::Supplement;
use super::{
    HazardClass, Ingredient, LabelElements, Mixture, Profile, Reason, Route, Rules, acute, eye,
    label_elements, physical, single, skin, sums, supplemental, union,
};

/// What the law would call a mixture, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Classification {
    /// The form of the law that was applied.
    pub profile: Profile,
    /// The classes, one of a family, each with the comparison that brought it.
    pub classes: Vec<Check>,
    /// More severe classes that were nearly met: a weighing error can cross the line.
    pub near: Vec<Check>,
    /// The mixture's acute toxicity estimate by route, where an ingredient enters the sum.
    pub ate_mix: BTreeMap<Route, f64>,
    /// Per cent of unknown acute toxicity by route.
    pub unknown_percent: BTreeMap<Route, f64>,
    /// Hazards of ingredients that no calculation can carry over.
    pub not_computed: Vec<NotComputed>,
    /// Supplemental statements.
    pub supplemental: Vec<Supplement>,
    /// What the label shows.
    pub label: LabelElements,
    /// Doubts and assumptions to be printed with the result.
    pub notes: Vec<Reason>,
    /// Every comparison that was made, met or not.
    pub trace: Vec<Check>,
}

/// Classifies a mixture by calculation from its ingredients.
///
/// Shares are per cent by weight. The result takes the ingredients to stay as they are: what
/// reactions between them form is not in it.
pub fn classify(mixture: &Mixture, profile: Profile, rules: &Rules) -> Classification {
    let ingredients = mixture.gathered();
    let input = Input {
        mixture,
        ingredients: &ingredients,
        profile,
        rules,
    };
    let acute = acute::assess(&input);
    let trace = trace(&input, acute.checks);
    let classes = standing(&trace);
    let supplemental = supplemental::statements(&input, &classes);
    let hazards: Vec<HazardClass> = classes.iter().map(|check| check.gives.clone()).collect();
    let codes: Vec<String> = supplemental.iter().map(|s| s.code.clone()).collect();
    Classification {
        profile,
        near: near(&trace, &classes, rules.limits.near_from),
        not_computed: physical::not_computed(&input, &trace),
        label: label_elements(&hazards, &codes, profile, &rules.labelling),
        notes: notes(&input, &classes, acute.notes),
        ate_mix: acute.ate_mix,
        unknown_percent: acute.unknown_percent,
        classes,
        supplemental,
        trace,
    }
}

fn trace(input: &Input, acute: Vec<Check>) -> Vec<Check> {
    let elsewhere = |family: &str| family != "skin" && family != "eye";
    let skin = skin::checks(input);
    let eye = eye::checks(input, &skin);
    let mut checks = physical::checks(input);
    checks.extend(acute);
    checks.extend(skin);
    checks.extend(eye);
    checks.extend(single::checks(input, elsewhere));
    checks.extend(sums::checks(input, elsewhere));
    checks.retain(|check| check.gives.category.is_used_in(input.profile));
    checks
}

/// Of every family the most severe class that was met, with the letters of all that were met.
fn standing(trace: &[Check]) -> Vec<Check> {
    let reached: Vec<&Check> = trace.iter().filter(|check| check.is_reached()).collect();
    let hazards: Vec<HazardClass> = reached.iter().map(|check| check.gives.clone()).collect();
    union([hazards.as_slice()])
        .into_iter()
        .filter_map(|hazard| {
            let brought = |check: &&&Check| check.gives.category == hazard.category;
            // Of several comparisons for one class, a figure says more than a consequence.
            let check = reached.iter().filter(brought).min_by_key(|c| c.measure)?;
            Some(Check {
                gives: hazard,
                ..(**check).clone()
            })
        })
        .collect()
}

fn near(trace: &[Check], classes: &[Check], near_from: f64) -> Vec<Check> {
    let milder_than_standing = |check: &Check| {
        classes.iter().any(|class| {
            class.gives.family() == check.gives.family()
                && class.gives.category.rank <= check.gives.category.rank
        })
    };
    trace
        .iter()
        .filter(|check| check.nearness >= near_from && !milder_than_standing(check))
        .cloned()
        .collect()
}

fn notes(input: &Input, classes: &[Check], acute: Vec<Reason>) -> Vec<Reason> {
    let mut notes = acute;
    for ingredient in input.ingredients {
        notes.extend(nothing_given(ingredient));
        for hazard in &ingredient.classification {
            if hazard.category.is_used_in(input.profile) {
                notes.extend(assumption(ingredient, hazard));
            }
        }
    }
    if classes.iter().any(|check| check.measure == Measure::Ph) {
        notes.push(Reason::new("by-ph-alone"));
    }
    let aspiration = classes
        .iter()
        .any(|check| check.gives.name() == "Asp. Tox. 1");
    if aspiration && input.mixture.viscosity.is_none() {
        notes.push(Reason::new("no-viscosity"));
    }
    notes
}

/// An ingredient of which nothing hazardous is known is not thereby harmless: it is said.
fn nothing_given(ingredient: &Ingredient) -> Option<Reason> {
    let nothing = ingredient.classification.is_empty()
        && ingredient.ate.is_empty()
        && ingredient.limits.is_empty()
        && ingredient.unknown.is_empty();
    let is_water = ingredient.name.eq_ignore_ascii_case("water");
    (nothing && !is_water)
        .then(|| Reason::new("nothing-given").fact("name", ingredient.name.as_str()))
}

/// What had to be assumed of an ingredient's hazard.
fn assumption(ingredient: &Ingredient, hazard: &HazardClass) -> Option<Reason> {
    let about = |code| {
        Reason::new(code)
            .fact("name", ingredient.name.as_str())
            .fact("class", hazard.to_string())
    };
    let has_factor = match hazard.name() {
        "Aquatic Acute 1" => ingredient.m.acute.is_some(),
        "Aquatic Chronic 1" => ingredient.m.chronic.is_some(),
        _ => true,
    };
    if !has_factor {
        return Some(about("no-m-factor"));
    }
    hazard.minimum.then(|| about("minimum"))
}

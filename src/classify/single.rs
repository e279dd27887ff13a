//! Classes for which one ingredient is enough: sensitisers, mutagenicity, cancer, reproduction,
//! organs, hormones; and skin and eyes where effects do not add up.

use super::check::{Check, Entered, Measure, beside, compared, figure, is_reached};
use super::limits::{At, SingleRule};
use super::mixture::Input;
use std::sync::Arc;

use serde_json::json;

use super::{Category, HazardClass, Ingredient, Profile, Reason, own_limit, union};

/// The rules of the families asked for that have an ingredient to look at.
pub(super) fn checks(input: &Input, wanted: impl Fn(&str) -> bool) -> Vec<Check> {
    let rules = &input.rules.limits.single;
    rules
        .iter()
        .filter_map(|rule| check(input, rule, &wanted))
        .collect()
}

/// An ingredient and how it stands to its limit.
pub(super) struct Candidate<'a> {
    pub ingredient: &'a Ingredient,
    pub percent: f64,
    pub limit: f64,
    pub own: bool,
}

impl Candidate<'_> {
    fn nearness(&self) -> f64 {
        self.percent / self.limit
    }
}

/// The ingredients a rule is about.
pub(super) fn candidates<'a>(input: &'a Input, rule: &SingleRule, at: &At) -> Vec<Candidate<'a>> {
    let Some(outcome) = input.rules.classes.get(&rule.gives, None) else {
        return Vec::new();
    };
    input
        .ingredients
        .iter()
        .filter_map(|ingredient| candidate(input, rule, at, outcome, ingredient))
        .collect()
}

fn candidate<'a>(
    input: &Input,
    rule: &SingleRule,
    at: &At,
    outcome: &Category,
    ingredient: &'a Ingredient,
) -> Option<Candidate<'a>> {
    let own = own_limit::is_set(ingredient, outcome);
    let own_replaces = own && input.profile == Profile::Eu;
    if rule.not_additive && (ingredient.additive || own_replaces) {
        return None;
    }
    let meant = hazards(ingredient, rule).next().is_some();
    let by_own_limit = own && own_limit::names(ingredient, &rule.gives);
    if !meant && !by_own_limit {
        return None;
    }
    let generic = meant.then_some(at.at);
    let limit = own_limit::limit(ingredient, outcome, false, generic, input.profile)?;
    Some(Candidate {
        ingredient,
        percent: together(input, rule, outcome, ingredient),
        limit,
        own: generic != Some(limit),
    })
}

/// Its share, with those that count as one with it (borates: CLP Annex VI, Note 11).
fn together(input: &Input, rule: &SingleRule, outcome: &Category, ingredient: &Ingredient) -> f64 {
    let alone = ingredient.percent.percent();
    if outcome.family != "reproduction" || ingredient.adds_with.is_none() {
        return alone;
    }
    input
        .ingredients
        .iter()
        .filter(|other| {
            other.adds_with == ingredient.adds_with && hazards(other, rule).next().is_some()
        })
        .map(|other| other.percent.percent())
        .sum()
}

fn hazards<'a>(
    ingredient: &'a Ingredient,
    rule: &'a SingleRule,
) -> impl Iterator<Item = &'a HazardClass> {
    ingredient
        .classification
        .iter()
        .filter(|hazard| rule.of.iter().any(|class| class == hazard.name()))
}

fn check(input: &Input, rule: &SingleRule, wanted: impl Fn(&str) -> bool) -> Option<Check> {
    let at = rule.at(input.profile)?;
    let outcome = input.rules.classes.get(&rule.gives, None)?;
    if !wanted(&outcome.family) {
        return None;
    }
    let mut candidates = candidates(input, rule, at);
    candidates.sort_by(|a, b| b.nearness().total_cmp(&a.nearness()));
    let first = candidates.first()?;
    let nearness = first.nearness();
    let counted: Vec<&Candidate> = candidates
        .iter()
        .enumerate()
        .filter(|(place, candidate)| *place == 0 || is_reached(candidate.nearness()))
        .map(|(_, candidate)| candidate)
        .collect();
    Some(Check {
        gives: given(rule, outcome, &counted),
        rule: input.rules.limits.cite(input.profile, &at.rule),
        measure: Measure::Percent,
        value: first.percent,
        limit: first.limit,
        nearness,
        because: because(&counted),
        ingredients: counted
            .iter()
            .map(|c| Entered::whole(c.ingredient))
            .collect(),
        origin: at.from.clone(),
    })
}

/// The category with the letters and organs of the ingredients that bring it.
fn given(rule: &SingleRule, outcome: &Arc<Category>, counted: &[&Candidate]) -> HazardClass {
    let brought: Vec<HazardClass> = counted
        .iter()
        .flat_map(|candidate| hazards(candidate.ingredient, rule))
        .map(|hazard| as_category(hazard, outcome))
        .collect();
    union([brought.as_slice()])
        .into_iter()
        .next()
        .unwrap_or_else(|| HazardClass::plain(outcome))
}

/// A hazard in the category it gives to the mixture; a weaker one keeps the organs.
fn as_category(hazard: &HazardClass, outcome: &Arc<Category>) -> HazardClass {
    if hazard.category == *outcome {
        return hazard.clone();
    }
    HazardClass {
        detail: hazard.detail.clone(),
        ..HazardClass::plain(outcome)
    }
}

fn because(counted: &[&Candidate]) -> Reason {
    let part = |candidate: &&Candidate| {
        let alone = candidate.ingredient.percent.percent();
        json!({
            "name": candidate.ingredient.name,
            "with_its_like": candidate.percent > alone,
            "percent": beside(candidate.percent, candidate.limit),
            "sign": compared(candidate.nearness()),
            "own": candidate.own,
            "limit": figure(candidate.limit),
        })
    };
    Reason::new("single").fact("parts", counted.iter().map(part).collect::<Vec<_>>())
}

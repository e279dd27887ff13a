//! Classes for which ingredients are added up: skin, eyes, airway irritation, narcotic effects,
//! aspiration, water life. The sums are data; this is only how a sum is done.

use serde_json::{Value, json};

use super::check::{Check, Entered, Measure, beside, compared, figure, share};
use super::limits::{At, SumRule, Term, WaterEffect};
use super::mixture::Input;
use super::{Category, HazardClass, Ingredient, Reason, own_limit};

/// The sums of the families asked for that have something in them.
pub(super) fn checks(input: &Input, wanted: impl Fn(&str) -> bool) -> Vec<Check> {
    let rules = &input.rules.limits.sums;
    rules
        .iter()
        .filter_map(|rule| check(input, rule, &wanted))
        .collect()
}

fn check(input: &Input, rule: &SumRule, wanted: impl Fn(&str) -> bool) -> Option<Check> {
    let at = rule.at(input.profile)?;
    let outcome = input.rules.classes.get(&rule.gives, rule.kind.as_deref())?;
    if !wanted(&outcome.family) {
        return None;
    }
    if is_too_thick(input, rule) {
        return None;
    }
    let entered: Vec<Entered> = input
        .ingredients
        .iter()
        .filter_map(|ingredient| entry(input, rule, at, outcome, ingredient))
        .collect();
    if entered.is_empty() {
        return None;
    }
    let value = total(&entered);
    let nearness = value / at.at;
    Some(Check {
        gives: HazardClass::plain(outcome),
        rule: input.rules.limits.cite(input.profile, &at.rule),
        measure: Measure::Percent,
        value,
        limit: at.at,
        nearness,
        because: because(&entered, value, nearness, at.at),
        ingredients: entered,
        origin: at.from.clone(),
    })
}

/// Whether a known viscosity rules the hazard out; an unknown one rules out nothing.
fn is_too_thick(input: &Input, rule: &SumRule) -> bool {
    let thin_up_to = rule.viscosity_up_to;
    let known = input.mixture.viscosity.map(super::Positive::get);
    known
        .zip(thin_up_to)
        .is_some_and(|(viscosity, up_to)| viscosity > up_to)
}

/// The weighted sum of what entered, per cent.
pub(super) fn total(entered: &[Entered]) -> f64 {
    entered.iter().map(|e| e.percent * e.weight).sum()
}

/// The ingredient's part in the sum, if it is one of those meant and above its cut-off.
fn entry(
    input: &Input,
    rule: &SumRule,
    at: &At,
    outcome: &Category,
    ingredient: &Ingredient,
) -> Option<Entered> {
    let percent = ingredient.percent.percent();
    let term = heaviest_term(rule, ingredient);
    let generic = term.map(|term| at.at / weight(term, ingredient));
    // A limit of its own makes an ingredient count even where its class does not.
    let own = own_limit::is_set(ingredient, outcome);
    if term.is_none() && !own {
        return None;
    }
    let limit = own_limit::limit(ingredient, outcome, false, generic, input.profile)?;
    let cut_off = term.map_or(f64::INFINITY, |term| cut_off(term, ingredient));
    let lowest = own_limit::lowest(ingredient, &outcome.family).unwrap_or(f64::INFINITY);
    super::check::is_reached(percent / cut_off.min(lowest)).then(|| Entered {
        name: ingredient.name.clone(),
        percent,
        weight: at.at / limit,
        own_limit: (generic != Some(limit)).then_some(limit),
    })
}

fn heaviest_term<'r>(rule: &'r SumRule, ingredient: &Ingredient) -> Option<&'r Term> {
    rule.terms
        .iter()
        .filter(|term| is_meant(term, rule.kind.as_deref(), ingredient))
        .max_by(|a, b| weight(a, ingredient).total_cmp(&weight(b, ingredient)))
}

fn is_meant(term: &Term, kind: Option<&str>, ingredient: &Ingredient) -> bool {
    ingredient.classification.iter().any(|hazard| {
        term.of.iter().any(|class| class == hazard.name())
            && (kind.is_none() || kind == hazard.category.kind.as_deref())
    })
}

fn weight(term: &Term, ingredient: &Ingredient) -> f64 {
    term.times * term.m.map_or(1.0, |effect| m_factor(effect, ingredient))
}

fn cut_off(term: &Term, ingredient: &Ingredient) -> f64 {
    let effect = term.cut_off_by.or(term.m);
    term.cut_off / effect.map_or(1.0, |effect| m_factor(effect, ingredient))
}

/// An M-factor that is not given is 1 (CLP Annex I, 4.1.3.5.5.5.1 sets it from 1 upwards).
fn m_factor(effect: WaterEffect, ingredient: &Ingredient) -> f64 {
    let given = match effect {
        WaterEffect::Acute => ingredient.m.acute,
        WaterEffect::Chronic => ingredient.m.chronic,
    };
    given.map_or(1.0, super::Positive::get)
}

fn because(entered: &[Entered], value: f64, nearness: f64, limit: f64) -> Reason {
    Reason::new("sum")
        .fact("parts", entered.iter().map(part).collect::<Vec<_>>())
        .fact("value", beside(value, limit))
        .fact("sign", compared(nearness))
        .fact("limit", figure(limit))
}

/// A share, with what it is multiplied by unless that is one.
fn part(entered: &Entered) -> Value {
    let is_weighted = entered.own_limit.is_some() || entered.weight != 1.0;
    json!({
        "name": entered.name,
        "percent": share(entered.percent),
        "weight": is_weighted.then(|| figure(entered.weight)),
        "own": entered.own_limit.map(figure),
    })
}

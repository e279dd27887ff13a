//! Skin corrosion and irritation: the sums, single ingredients that do not add up, extreme pH, and
//! the sub-category of a corrosive mixture.

use std::sync::Arc;

use super::check::{Check, is_reached};
use super::mixture::Input;
use super::{Category, HazardClass, Ingredient, Limited, Profile, own_limit, ph, single, sums};

/// The statement of every skin corrosive.
const CORROSIVE: &str = "H314";

/// The category without a sub-category.
const PLAIN: &str = "Skin Corr. 1";

/// The sub-categories, the most severe first.
const SUB: [&str; 3] = ["Skin Corr. 1A", "Skin Corr. 1B", "Skin Corr. 1C"];

/// Every comparison for the skin.
pub(super) fn checks(input: &Input) -> Vec<Check> {
    let mut checks = sums::checks(input, |family| family == "skin");
    let sub = checks
        .iter()
        .any(is_corrosive)
        .then(|| sub_category(input))
        .flatten();
    checks.extend(single::checks(input, |family| family == "skin"));
    checks.extend(ph::check(input, &input.rules.limits.extreme_ph.skin, PLAIN));
    // One ingredient or the pH say category 1; where the sum shows the sub-category, it is known.
    if let Some(sub) = sub {
        for check in checks.iter_mut().filter(|check| is_corrosive(check)) {
            check.gives = HazardClass::plain(&sub);
        }
    }
    checks
}

/// Whether a comparison found the mixture corrosive.
pub(super) fn is_corrosive(check: &Check) -> bool {
    check.is_reached() && check.gives.statement == CORROSIVE
}

/// A corrosive ingredient, as the sub-categories see it.
struct Corrosive<'a> {
    ingredient: &'a Ingredient,
    /// Its most severe category; `None`: category 1 without a sub-category.
    sub: Option<&'a Category>,
}

fn sub_category(input: &Input) -> Option<Arc<Category>> {
    let corrosives: Vec<Corrosive> = input.ingredients.iter().filter_map(corrosive).collect();
    match input.profile {
        Profile::Eu | Profile::Ghs => summed_sub_category(input, &corrosives),
        Profile::Us => shared_sub_category(input, &corrosives),
    }
}

/// An ingredient that counts: corrosive, and at or above 1 % or a lower limit of its own.
fn corrosive(ingredient: &Ingredient) -> Option<Corrosive<'_>> {
    let classes = ingredient.classification.iter();
    let limits = ingredient
        .limits
        .iter()
        .filter_map(|limit| match &limit.of {
            Limited::Class(hazard) => Some(hazard),
            Limited::Supplemental(_) => None,
        });
    let worst = classes
        .chain(limits)
        .filter(|hazard| hazard.statement == CORROSIVE)
        .min_by_key(|hazard| hazard.category.rank)?;
    let cut_off = own_limit::lowest(ingredient, "skin").map_or(1.0, |own| own.min(1.0));
    is_reached(ingredient.percent.percent() / cut_off).then(|| Corrosive {
        ingredient,
        sub: (worst.name() != PLAIN).then_some(&*worst.category),
    })
}

/// CLP Annex I, note to Table 3.2.3 (from memory; the UN form was read as the New Zealand EPA's user
/// guide, p. 168, restates it): the sum of 1A; else of 1A and 1B; else of all three; each against 5 % or the ingredients' own limits. An ingredient without a sub-category
/// leaves it open, unless those of 1A alone suffice.
fn summed_sub_category(input: &Input, corrosives: &[Corrosive]) -> Option<Arc<Category>> {
    let open = corrosives.iter().any(|corrosive| corrosive.sub.is_none());
    SUB.iter()
        .take(if open { 1 } else { SUB.len() })
        .filter_map(|class| input.rules.classes.get(class, None))
        .find(|sub| is_reached(share_of_limit(input, corrosives, sub)))
        .cloned()
}

/// Σ (share / limit) of the ingredients of this sub-category or a more severe one.
fn share_of_limit(input: &Input, corrosives: &[Corrosive], sub: &Category) -> f64 {
    let generic = input
        .rules
        .limits
        .sums
        .iter()
        .find(|rule| rule.gives == PLAIN)
        .and_then(|rule| rule.at(input.profile))
        .map(|at| at.at);
    corrosives
        .iter()
        .filter(|corrosive| corrosive.sub.is_some_and(|own| own.rank <= sub.rank))
        .filter_map(|corrosive| {
            let limit = own_limit::limit(corrosive.ingredient, sub, true, generic, input.profile)?;
            Some(corrosive.ingredient.percent.percent() / limit)
        })
        .sum()
}

/// The North American form (Canada's HPR 8.2.9 reads so): a sub-category only where all corrosive
/// ingredients share it.
fn shared_sub_category(input: &Input, corrosives: &[Corrosive]) -> Option<Arc<Category>> {
    let first = corrosives.first()?.sub?;
    corrosives
        .iter()
        .all(|corrosive| corrosive.sub.is_some_and(|sub| sub.class == first.class))
        .then(|| input.rules.classes.get(&first.class, None).cloned())
        .flatten()
}

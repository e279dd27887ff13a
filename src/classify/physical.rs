//! Physical hazards: only tests on the mixture can show most of them. What composition and a given
//! flash point allow is said; the rest is named as not computed, never as absent.

use std::collections::BTreeMap;

use super::check::{Check, Entered, Measure, beside, compared, figure, is_reached};
use super::limits::FlammableBand;
use super::mixture::Input;
use super::{Form, HazardClass, Ingredient, Limit, Limited, Reason, own_limit as limits_of};
use crate::provenance::Origin;

/// A hazard of an ingredient that the calculation cannot carry to the mixture.
#[derive(Debug, Clone, PartialEq)]
pub struct NotComputed {
    /// The ingredient's class.
    pub class: String,
    /// Why, and what would settle it.
    pub because: Reason,
}

const FLAMMABLE: &str = "flammable liquid";

/// The comparisons that can be made.
pub(super) fn checks(input: &Input) -> Vec<Check> {
    let mut checks: Vec<Check> = flammable(input).into_iter().collect();
    for ingredient in input.ingredients {
        checks.extend(own_limits(input, ingredient));
        checks.extend(the_whole(input, ingredient));
    }
    checks
}

/// What cannot be said, by class.
pub(super) fn not_computed(input: &Input, reached: &[Check]) -> Vec<NotComputed> {
    let mut open: BTreeMap<(usize, &str), Vec<String>> = BTreeMap::new();
    for ingredient in input.ingredients {
        for hazard in ingredient.classification.iter().filter(|h| is_physical(h)) {
            let settled = reached.iter().any(|check| covers(check, hazard))
                || by_own_limit(input, ingredient, hazard)
                || (hazard.family() == FLAMMABLE && input.mixture.flash_point.is_some());
            if !settled && hazard.category.is_used_in(input.profile) {
                open.entry((hazard.category.order, hazard.name()))
                    .or_default()
                    .push(share(ingredient));
            }
        }
    }
    open.into_iter()
        .map(|((_, class), names)| NotComputed {
            class: class.to_owned(),
            because: because_open(class, names),
        })
        .collect()
}

/// Whether the mixture was found to be at least as dangerous in this way.
fn covers(check: &Check, hazard: &HazardClass) -> bool {
    check.is_reached()
        && check.gives.family() == hazard.family()
        && check.gives.category.rank <= hazard.category.rank
}

/// Whether the ingredient's own limit says how it stands. Vapours of several add up, so those of
/// flammable liquids count together, each as a part of its limit.
fn by_own_limit(input: &Input, ingredient: &Ingredient, hazard: &HazardClass) -> bool {
    if !limits_of::is_set(ingredient, &hazard.category) {
        return false;
    }
    let part = |other: &Ingredient| {
        let limit = limits_of::lowest(other, hazard.family())?;
        Some(other.percent.percent() / limit)
    };
    let alone = part(ingredient).unwrap_or(f64::INFINITY);
    let together: f64 = input.ingredients.iter().filter_map(part).sum();
    hazard.family() != FLAMMABLE || is_reached(alone) || !is_reached(together)
}

fn share(ingredient: &Ingredient) -> String {
    format!(
        "{} {} %",
        ingredient.name,
        figure(ingredient.percent.percent())
    )
}

fn because_open(class: &str, names: Vec<String>) -> Reason {
    let code = if class.starts_with("Flam. Liq.") {
        "open-flammable"
    } else {
        "open-test"
    };
    Reason::new(code).fact("names", names)
}

/// Statements on physical hazards are numbered from H200 to H299.
fn is_physical(hazard: &HazardClass) -> bool {
    hazard.statement.starts_with("H2")
}

fn flammable(input: &Input) -> Option<Check> {
    let flash_point = input.mixture.flash_point?.celsius();
    if input.mixture.form != Form::Liquid {
        return None;
    }
    let limits = &input.rules.limits;
    let section = limits.flammable.rule.get(&input.profile)?;
    let band = limits
        .flammable
        .categories
        .iter()
        .find(|band| falls_in(band, flash_point) && boils_low_enough(input, band))?;
    let category = input.rules.classes.get(&band.class, None)?;
    let (sign, limit) = match (band.below, band.up_to) {
        (Some(below), _) => ("<", below),
        (None, up_to) => ("<=", up_to.unwrap_or(f64::INFINITY)),
    };
    category.is_used_in(input.profile).then(|| Check {
        gives: HazardClass::plain(category),
        rule: limits.cite(input.profile, &section.rule),
        measure: Measure::FlashPoint,
        value: flash_point,
        limit,
        nearness: 1.0,
        ingredients: Vec::new(),
        because: Reason::new("flash-point")
            .fact("value", figure(flash_point))
            .fact("sign", sign)
            .fact("limit", figure(limit)),
        origin: section.from.clone(),
    })
}

fn falls_in(band: &FlammableBand, flash_point: f64) -> bool {
    band.below.is_some_and(|below| flash_point < below)
        || band.up_to.is_some_and(|up_to| flash_point <= up_to)
}

/// Without a boiling point, an ingredient of category 1 is taken as the one that boils first.
fn boils_low_enough(input: &Input, band: &FlammableBand) -> bool {
    let Some(up_to) = band.boils_up_to else {
        return true;
    };
    match input.mixture.boiling_point {
        Some(boiling) => boiling.celsius() <= up_to,
        None => input
            .ingredients
            .iter()
            .flat_map(|ingredient| &ingredient.classification)
            .any(|hazard| hazard.name() == band.class),
    }
}

/// Bands of an ingredient's own for physical hazards: `Ox. Liq. 3 H272 >= 65`.
fn own_limits(input: &Input, ingredient: &Ingredient) -> Vec<Check> {
    ingredient
        .limits
        .iter()
        .filter_map(|limit| match &limit.of {
            Limited::Class(hazard) if is_physical(hazard) => {
                own_limit(input, ingredient, hazard, limit)
            }
            _ => None,
        })
        .collect()
}

fn own_limit(
    input: &Input,
    ingredient: &Ingredient,
    hazard: &HazardClass,
    limit: &Limit,
) -> Option<Check> {
    let percent = ingredient.percent.percent();
    // A flash point that was measured says more than a share.
    if hazard.family() == FLAMMABLE && input.mixture.flash_point.is_some() {
        return None;
    }
    // Above the band a more severe one stands.
    if limit.below.is_some_and(|below| is_reached(percent / below)) {
        return None;
    }
    let nearness = percent / limit.from;
    Some(Check {
        gives: hazard.clone(),
        rule: input
            .rules
            .limits
            .cite(input.profile, "specific concentration limit"),
        measure: Measure::Percent,
        value: percent,
        limit: limit.from,
        nearness,
        ingredients: vec![Entered::whole(ingredient)],
        because: Reason::new("own-limit")
            .fact("name", ingredient.name.as_str())
            .fact("percent", beside(percent, limit.from))
            .fact("sign", compared(nearness))
            .fact("limit", figure(limit.from)),
        origin: given_with_ingredient(),
    })
}

/// Classes and limits that came with the ingredient carry their source in its own entry.
fn given_with_ingredient() -> Origin {
    Origin::Computed {
        formula: "carried from the ingredient".into(),
    }
}

/// A mixture that is nothing but the ingredient has its physical hazards.
fn the_whole(input: &Input, ingredient: &Ingredient) -> Vec<Check> {
    let percent = ingredient.percent.percent();
    if !is_reached(percent / 100.0) {
        return Vec::new();
    }
    let hazards = ingredient.classification.iter().filter(|h| is_physical(h));
    hazards
        .map(|hazard| Check {
            gives: hazard.clone(),
            rule: input
                .rules
                .limits
                .cite(input.profile, "the substance itself"),
            measure: Measure::Percent,
            value: percent,
            limit: 100.0,
            nearness: 1.0,
            ingredients: vec![Entered::whole(ingredient)],
            because: Reason::new("the-whole").fact("name", ingredient.name.as_str()),
            origin: given_with_ingredient(),
        })
        .collect()
}

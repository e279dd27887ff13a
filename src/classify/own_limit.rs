//! Specific concentration limits of an ingredient, in place of the generic ones.
//!
//! CLP Art. 10 and Annex I, 1.1.2.1: a specific limit replaces the generic one, be it lower or
//! higher. The US and UN forms have no list of specific limits; there a lower one is heard, since
//! the hazard is known at that share, and a higher one is not (Canada's HPR 2.5 reads the same way).

use super::{Category, Ingredient, Limited, Profile};

/// One of an ingredient's limits, for a hazard class.
struct Own<'a> {
    category: &'a Category,
    from: f64,
    below: Option<f64>,
}

fn of_family<'a>(ingredient: &'a Ingredient, family: &'a str) -> impl Iterator<Item = Own<'a>> {
    ingredient
        .limits
        .iter()
        .filter_map(move |limit| match &limit.of {
            Limited::Class(hazard) if hazard.family() == family => Some(Own {
                category: &hazard.category,
                from: limit.from,
                below: limit.below,
            }),
            _ => None,
        })
}

/// Whether the ingredient has a limit of its own for this statement.
pub(super) fn is_set(ingredient: &Ingredient, outcome: &Category) -> bool {
    of_family(ingredient, &outcome.family).any(|own| own.category.statement == outcome.statement)
}

/// Whether one of the ingredient's limits is for this very class.
pub(super) fn names(ingredient: &Ingredient, class: &str) -> bool {
    ingredient
        .limits
        .iter()
        .any(|limit| matches!(&limit.of, Limited::Class(hazard) if hazard.name() == class))
}

/// The lowest share of any limit in the family: below it the ingredient does not count.
pub(super) fn lowest(ingredient: &Ingredient, family: &str) -> Option<f64> {
    of_family(ingredient, family)
        .map(|own| own.from)
        .reduce(f64::min)
}

/// From which share this ingredient alone makes the mixture `outcome`.
///
/// `generic`: the law's own limit for it, if the ingredient falls under one. `sub`: only limits of
/// this sub-category or a more severe one are meant.
pub(super) fn limit(
    ingredient: &Ingredient,
    outcome: &Category,
    sub: bool,
    generic: Option<f64>,
    profile: Profile,
) -> Option<f64> {
    let own =
        stated(ingredient, outcome, sub).or_else(|| where_a_milder_band_ends(ingredient, outcome));
    match (own, generic) {
        (Some(own), Some(generic)) if profile != Profile::Eu => Some(own.min(generic)),
        (Some(own), _) => Some(own),
        // Own limits for more severe classes only: they cannot make the milder one begin later.
        (None, Some(generic)) => {
            Some(generic.min(of_more_severe(ingredient, outcome).unwrap_or(generic)))
        }
        (None, None) => None,
    }
}

fn stated(ingredient: &Ingredient, outcome: &Category, sub: bool) -> Option<f64> {
    let same = || {
        of_family(ingredient, &outcome.family)
            .filter(|own| own.category.statement == outcome.statement)
    };
    let as_severe = || same().filter(|own| own.category.rank <= outcome.rank);
    let all = same().map(|own| own.from).reduce(f64::min);
    if sub {
        as_severe().map(|own| own.from).reduce(f64::min).or(all)
    } else {
        all
    }
}

/// `Eye Irrit. 2 0.5..2` without a limit for eye damage: the damage begins where irritation ends.
fn where_a_milder_band_ends(ingredient: &Ingredient, outcome: &Category) -> Option<f64> {
    of_family(ingredient, &outcome.family)
        .filter(|own| {
            own.category.rank > outcome.rank && own.category.statement != outcome.statement
        })
        .filter_map(|own| own.below)
        .reduce(f64::max)
}

fn of_more_severe(ingredient: &Ingredient, outcome: &Category) -> Option<f64> {
    of_family(ingredient, &outcome.family)
        .filter(|own| own.category.rank < outcome.rank)
        .map(|own| own.from)
        .reduce(f64::min)
}

//! A chemical as an ingredient of a mixture.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::catalogue::{Catalogue, Chemical};
use crate::classify::{Ingredient, MFactors, Positive, Route, union};
use crate::provenance::Origin;
use crate::units::Percent;

use super::hazards::{Rules, hazards_of};

/// Families and groups whose effects on skin and eyes do not add up: strong acids and bases,
/// phenols and aldehydes (CLP Annex I, 3.2.3.3.4 and 3.3.3.3.4).
const NOT_ADDITIVE: [&str; 4] = [
    "strong-acid",
    "strong-alkali",
    "developing-agent",
    "aldehyde",
];

/// A chemical as an ingredient of a mixture: its classes, limits, factors and estimates, the more
/// cautious of what sources say. A commercial solution enters as what is dissolved in it.
pub fn ingredient(
    chemical: &Arc<Chemical>,
    percent: Percent,
    catalogue: &Catalogue,
    rules: &Rules,
) -> Ingredient {
    let root = catalogue.chemical(chemical.root());
    match (super::by_weight(chemical), root) {
        (Some(share), Some(root)) if share < 1.0 => {
            let solute = Percent::from_percent(percent.percent() * share).unwrap_or(percent);
            with_the_jar(undiluted(&root, solute, rules), chemical, percent, rules)
        }
        _ => undiluted(chemical, percent, rules),
    }
}

/// Where a supplier's data sheet says more of a solution than follows from what is dissolved in it
/// (a stabiliser, say), it counts with its whole share: how much of it does that is not known.
fn with_the_jar(
    solute: Ingredient,
    jar: &Arc<Chemical>,
    percent: Percent,
    rules: &Rules,
) -> Ingredient {
    let mut added = jar.classification.added.iter();
    if !added.any(|added| added.adopted && matches!(added.from, Origin::DataSheet { .. })) {
        return solute;
    }
    let of_jar = hazards_of(jar, rules).classes;
    let both = union([solute.classification.as_slice(), of_jar.as_slice()]);
    if both == solute.classification {
        return solute;
    }
    Ingredient {
        name: jar.name.clone(),
        percent,
        classification: both,
        ..solute
    }
}

/// A chemical as an ingredient, the share being of the substance itself and not of a solution of
/// it that is sold.
pub fn undiluted(chemical: &Arc<Chemical>, percent: Percent, rules: &Rules) -> Ingredient {
    let data = &chemical.classification;
    let hazards = hazards_of(chemical, rules);
    let adopted = || data.added.iter().filter(|added| added.adopted);
    let limits = data
        .harmonised
        .iter()
        .flat_map(|h| &h.limits)
        .chain(adopted().flat_map(|a| &a.limits));
    let estimates = data
        .harmonised
        .iter()
        .map(|h| &h.ate)
        .chain(adopted().map(|a| &a.ate));
    let factors: Vec<_> = data
        .harmonised
        .iter()
        .map(|h| h.m)
        .chain(adopted().map(|a| a.m))
        .collect();
    // Of two factors the greater, of two estimates the smaller: the more cautious.
    let factor = |of: fn(&crate::catalogue::MFactors) -> Option<f64>| {
        factors
            .iter()
            .filter_map(of)
            .max_by(f64::total_cmp)
            .and_then(Positive::new)
    };
    let mut ate: BTreeMap<Route, Positive> = BTreeMap::new();
    for (name, value) in estimates.flatten() {
        let (Some(route), Some(value)) = (route(name), Positive::new(*value)) else {
            continue;
        };
        let least = ate.get(&route).map_or(value, |known| {
            if known.get() < value.get() {
                *known
            } else {
                value
            }
        });
        ate.insert(route, least);
    }
    Ingredient {
        ate,
        limits: limits
            .filter_map(|limit| rules.tables.classes.parse_limit(limit).ok())
            .collect(),
        m: MFactors {
            acute: factor(|m| m.acute),
            chronic: factor(|m| m.chronic),
        },
        unknown: unknown_routes(chemical),
        adds_with: chemical
            .families
            .iter()
            .find(|family| *family == "borate")
            .cloned(),
        supplemental: data.supplemental.clone(),
        additive: !chemical
            .families
            .iter()
            .chain(&chemical.groups)
            .any(|name| NOT_ADDITIVE.contains(&name.as_str())),
        exposure_limit: chemical
            .limits
            .iter()
            .any(|limit| limit.region == "eu" && limit.value.is_some()),
        ..Ingredient::new(substance_name(chemical), percent, hazards.classes)
    }
}

/// The name without the strength of the solution that is sold: a share is of what is dissolved.
fn substance_name(chemical: &Chemical) -> String {
    let before_figures = || {
        chemical
            .name
            .split(|c: char| c.is_ascii_digit())
            .next()
            .unwrap_or(&chemical.name)
    };
    match (&chemical.strength, chemical.bare_names.first()) {
        (None, _) => chemical.name.clone(),
        (Some(_), Some(bare)) => bare.clone(),
        (Some(_), None) => before_figures().trim_end_matches([' ', ',']).to_owned(),
    }
}

fn route(name: &str) -> Option<Route> {
    Some(match name {
        "oral" => Route::Oral,
        "dermal" => Route::Dermal,
        "gas" => Route::Gas,
        "vapour" => Route::Vapour,
        "dust" => Route::Dust,
        _ => return None,
    })
}

/// Of a chemical nobody has classified, no route is known.
fn unknown_routes(chemical: &Chemical) -> BTreeSet<Route> {
    if chemical.is_unclassified() {
        [Route::Oral, Route::Dermal, Route::Dust].into()
    } else {
        BTreeSet::new()
    }
}

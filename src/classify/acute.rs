//! Acute toxicity by route: the additivity formula, with and without ingredients of unknown
//! toxicity (UN GHS 3.1.3.6; CLP Annex I, 3.1.3.6; read in Canada's HPR 8.1.5 and 8.1.6).
//!
//! `100 / ATE(mixture) = Σ C / ATE(ingredient)`; where more than 10 % is unknown,
//! `(100 − Σ C(unknown)) / ATE(mixture) = Σ C / ATE(ingredient)`.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::json;

use super::check::{Check, Entered, Measure, beside, figure, is_reached, share};
use super::limits::{AcuteBand, AcuteRoute};
use super::mixture::Input;
use super::{HazardClass, Ingredient, Reason, Route};

/// What was found for all routes.
#[derive(Debug, Default)]
pub(super) struct AcuteToxicity {
    pub checks: Vec<Check>,
    pub ate_mix: BTreeMap<Route, f64>,
    pub unknown_percent: BTreeMap<Route, f64>,
    pub notes: Vec<Reason>,
}

pub(super) fn assess(input: &Input) -> AcuteToxicity {
    let mut found = AcuteToxicity::default();
    for route in routes(input) {
        if let Some(bands) = input.rules.limits.acute.routes.get(&route) {
            assess_route(input, route, bands, &mut found);
        }
    }
    found.notes.extend(breathed_apart(input));
    found
}

/// The rule sums each form of breathing on its own, so two near limits do not add up; it is said.
fn breathed_apart(input: &Input) -> Option<Reason> {
    let given: BTreeSet<&str> = input
        .ingredients
        .iter()
        .flat_map(|ingredient| ingredient.ate.keys())
        .filter(|route| route.kind() == "inhalation")
        .map(|route| route.word())
        .collect();
    let words: Vec<&str> = given.into_iter().collect();
    (words.len() > 1).then(|| Reason::new("breathed-apart").fact("routes", words))
}

/// Oral, dermal, and the forms of breathing that the data name; where an ingredient has only a
/// category for breathing, those that the mixture's own form allows.
fn routes(input: &Input) -> BTreeSet<Route> {
    let mut routes = BTreeSet::from([Route::Oral, Route::Dermal]);
    for ingredient in input.ingredients {
        routes.extend(ingredient.ate.keys());
        routes.extend(&ingredient.unknown);
        if category(ingredient, Route::Dust).is_some() && !has_breathing_estimate(ingredient) {
            routes.extend(input.mixture.form.breathed_as());
        }
    }
    routes
}

fn assess_route(input: &Input, route: Route, bands: &AcuteRoute, found: &mut AcuteToxicity) {
    let terms = Terms::of(input, route, bands, &mut found.notes);
    found.unknown_percent.insert(route, terms.unknown);
    let Some(ate) = terms.ate(input, &terms.entered) else {
        return;
    };
    found.ate_mix.insert(route, ate);
    let with_traces: Vec<Entered> = terms.entered.iter().chain(&terms.traces).cloned().collect();
    let ate_with_traces = terms.ate(input, &with_traces).unwrap_or(ate);
    note_traces(&terms, bands, ate, ate_with_traces, route, &mut found.notes);
    found
        .checks
        .extend(checks(input, route, bands, &terms, ate));
}

/// What enters the sum of one route.
struct Terms {
    /// Name, share, and the ingredient's estimate as weight.
    entered: Vec<Entered>,
    /// The same of ingredients below their cut-off.
    traces: Vec<Entered>,
    /// Per cent of unknown toxicity.
    unknown: f64,
}

impl Terms {
    fn of(input: &Input, route: Route, bands: &AcuteRoute, notes: &mut Vec<Reason>) -> Self {
        let mut terms = Self {
            entered: Vec::new(),
            traces: Vec::new(),
            unknown: 0.0,
        };
        for ingredient in input.ingredients {
            let percent = ingredient.percent.percent();
            let Some(estimate) = estimate(ingredient, route, bands, notes) else {
                let counts = is_reached(percent / input.rules.limits.acute.unknown_from);
                if counts && ingredient.unknown.contains(&route) {
                    terms.unknown += percent;
                }
                continue;
            };
            let entered = Entered {
                name: ingredient.name.clone(),
                percent,
                weight: estimate,
                own_limit: None,
            };
            match band_of(bands, estimate).and_then(|band| band.cut_off.get(&input.profile)) {
                Some(cut_off) if is_reached(percent / cut_off) => terms.entered.push(entered),
                Some(_) => terms.traces.push(entered),
                None => {}
            }
        }
        terms
    }

    fn is_corrected(&self, input: &Input) -> bool {
        self.unknown > input.rules.limits.acute.corrected_above
    }

    /// The mixture's estimate from these terms, `None` when there are none.
    fn ate(&self, input: &Input, entered: &[Entered]) -> Option<f64> {
        let sum: f64 = entered.iter().map(|e| e.percent / e.weight).sum();
        let whole = if self.is_corrected(input) {
            100.0 - self.unknown
        } else {
            100.0
        };
        (sum > 0.0).then(|| whole / sum)
    }
}

/// The ingredient's estimate for a route: what is given, else what stands for its category. Where
/// the two disagree, the more cautious is taken and said.
fn estimate(
    ingredient: &Ingredient,
    route: Route,
    bands: &AcuteRoute,
    notes: &mut Vec<Reason>,
) -> Option<f64> {
    let given = ingredient.ate.get(&route).map(|ate| ate.get());
    let by_breathing_otherwise = route.kind() == "inhalation" && has_breathing_estimate(ingredient);
    if given.is_none() && by_breathing_otherwise {
        return None;
    }
    let category = category(ingredient, route);
    let band =
        category.and_then(|hazard| bands.categories.iter().find(|b| b.class == hazard.name()));
    match (given, band) {
        (Some(given), Some(band)) if !is_reached(band.up_to / given) => {
            notes.push(
                Reason::new("estimate-milder")
                    .fact("name", ingredient.name.as_str())
                    .fact("route", route.word())
                    .fact("given", figure(given))
                    .fact("unit", bands.unit.as_str())
                    .fact("class", band.class.as_str())
                    .fact("taken", figure(band.estimate)),
            );
            Some(band.estimate)
        }
        (Some(given), _) => Some(given),
        (None, Some(band)) => Some(band.estimate),
        (None, None) => None,
    }
}

fn has_breathing_estimate(ingredient: &Ingredient) -> bool {
    let breathing = |route: &Route| route.kind() == "inhalation";
    ingredient.ate.keys().any(breathing)
}

/// The ingredient's most severe category for a route.
fn category(ingredient: &Ingredient, route: Route) -> Option<&HazardClass> {
    ingredient
        .classification
        .iter()
        .filter(|hazard| {
            hazard.family().starts_with("acute ")
                && hazard.category.kind.as_deref() == Some(route.kind())
        })
        .min_by_key(|hazard| hazard.category.rank)
}

fn band_of(bands: &AcuteRoute, estimate: f64) -> Option<&AcuteBand> {
    bands
        .categories
        .iter()
        .find(|band| is_reached(band.up_to / estimate))
}

/// The category that is met, and the next more severe one, which may nearly be.
fn checks(input: &Input, route: Route, bands: &AcuteRoute, terms: &Terms, ate: f64) -> Vec<Check> {
    let mut checks: Vec<Check> = Vec::new();
    for band in &bands.categories {
        let Some(check) = check(input, route, bands, terms, ate, band) else {
            continue;
        };
        let met = check.is_reached();
        checks.push(check);
        if met {
            break;
        }
    }
    let keep = checks.len().saturating_sub(2);
    checks.split_off(keep)
}

fn check(
    input: &Input,
    route: Route,
    bands: &AcuteRoute,
    terms: &Terms,
    ate: f64,
    band: &AcuteBand,
) -> Option<Check> {
    let limits = &input.rules.limits;
    let rule = limits.acute.rule.get(&input.profile)?;
    let category = input.rules.classes.get(&band.class, Some(route.kind()))?;
    let section = if terms.is_corrected(input) {
        &rule.corrected
    } else {
        &rule.plain
    };
    let nearness = band.up_to / ate;
    category.is_used_in(input.profile).then(|| Check {
        gives: HazardClass::plain(category),
        rule: limits.cite(input.profile, section),
        measure: Measure::Estimate,
        value: ate,
        limit: band.up_to,
        nearness,
        ingredients: terms.entered.clone(),
        because: because(route, bands, terms, ate, band, nearness),
        origin: rule.from.clone(),
    })
}

fn because(
    route: Route,
    bands: &AcuteRoute,
    terms: &Terms,
    ate: f64,
    band: &AcuteBand,
    nearness: f64,
) -> Reason {
    let sign = if is_reached(nearness) { "<=" } else { ">" };
    let part = |e: &Entered| json!({"name": e.name, "percent": share(e.percent), "estimate": figure(e.weight)});
    Reason::new("acute")
        .fact("route", route.word())
        .fact("value", beside(ate, band.up_to))
        .fact("sign", sign)
        .fact("limit", figure(band.up_to))
        .fact("unit", bands.unit.as_str())
        .fact("parts", terms.entered.iter().map(part).collect::<Vec<_>>())
        .fact(
            "unknown",
            (terms.unknown > 0.0).then(|| share(terms.unknown)),
        )
}

/// Very toxic traces below their cut-off that would make the mixture more severe are said.
fn note_traces(
    terms: &Terms,
    bands: &AcuteRoute,
    ate: f64,
    with_traces: f64,
    route: Route,
    notes: &mut Vec<Reason>,
) {
    let class = |ate| band_of(bands, ate).map(|band| band.class.as_str());
    if class(ate) != class(with_traces) {
        let names: Vec<&str> = terms.traces.iter().map(|e| e.name.as_str()).collect();
        notes.push(
            Reason::new("traces")
                .fact("route", route.word())
                .fact("names", names)
                .fact("value", share(with_traces))
                .fact("unit", bands.unit.as_str()),
        );
    }
}

//! The most of each gas that two things can give off.

use std::collections::BTreeMap;

use crate::chemistry::{Bath, Chemistry, Gas, Ph};

use super::Party;
use super::together::{poured, wetted};

/// Ratios are tried from a thousandth to a thousandfold, in so many steps each way …
const STEPS: i32 = 8;
/// … of this much in ln.
const STEP: f64 = 0.863;
/// Rounds of narrowing down around the best of them.
const ROUNDS: usize = 8;
/// A ratio that gives hardly more than all of both is not worth naming.
const HARDLY_MORE: f64 = 1.02;

/// The most of a gas, by all ways to it together: what each gives at most adds up.
#[derive(Debug, Clone)]
pub(super) struct Most {
    /// The gas's name.
    pub name: String,
    /// The ways to it.
    pub ways: Vec<Gas>,
    /// The shares of both that give the most, where that is not all of both.
    pub shares: Option<(f64, f64)>,
    /// Whether something not known may give more.
    pub open: bool,
}

impl Most {
    /// Gathers gases by name.
    pub fn each(gases: Vec<Gas>) -> Vec<Self> {
        let mut by_name: BTreeMap<String, Vec<Gas>> = BTreeMap::new();
        for gas in gases {
            by_name.entry(gas.name.clone()).or_default().push(gas);
        }
        let most = |(name, ways)| Self {
            name,
            ways,
            shares: None,
            open: false,
        };
        by_name.into_iter().map(most).collect()
    }

    /// g of it.
    pub fn grams(&self) -> f64 {
        self.ways.iter().map(|gas| gas.greatest_g).sum()
    }
}

/// The most of each gas when all of one meets any share of the other. The one that runs out first
/// sets the limit, so each gas has a ratio of its own; `given` is what all of both give.
pub(super) fn over_ratios(
    a: &Party,
    b: &Party,
    chemistry: &Chemistry,
    given: Vec<Most>,
) -> Vec<Most> {
    let mut best: BTreeMap<String, (f64, Most)> = BTreeMap::new();
    let of_given = given
        .into_iter()
        .map(|most| (most.name.clone(), (0.0, most)));
    best.extend(of_given);
    for step in (-STEPS..=STEPS).filter(|step| *step != 0) {
        let at = f64::from(step) * STEP;
        for most in at_ratio(a, b, chemistry, at) {
            keep(&mut best, at, most);
        }
    }
    let names: Vec<String> = best.keys().cloned().collect();
    for name in names {
        narrow(a, b, chemistry, &name, &mut best);
    }
    best.into_values().map(|(_, most)| most).collect()
}

/// The shares at a ln of the ratio of b to a: all of the one that is less of a share.
fn shares(at: f64) -> (f64, f64) {
    (libm::exp(-at).min(1.0), libm::exp(at).min(1.0))
}

fn at_ratio(a: &Party, b: &Party, chemistry: &Chemistry, at: f64) -> Vec<Most> {
    let (of_a, of_b) = shares(at);
    let Some(bath) = poured(&a.share(of_a), &b.share(of_b)) else {
        return Vec::new();
    };
    let ph = chemistry.equilibrium(&bath).ph;
    let mut found = Most::each(chemistry.gases(&bath, &ph));
    for most in &mut found {
        most.shares = Some((of_a, of_b));
    }
    found
}

fn keep(best: &mut BTreeMap<String, (f64, Most)>, at: f64, most: Most) {
    let enough = match best.get(&most.name) {
        Some((_, old)) if old.shares.is_none() => HARDLY_MORE * old.grams(),
        Some((_, old)) => old.grams(),
        None => 0.0,
    };
    if most.grams() > enough {
        best.insert(most.name.clone(), (at, most));
    }
}

/// Halves the step around the best ratio of a gas.
fn narrow(
    a: &Party,
    b: &Party,
    chemistry: &Chemistry,
    name: &str,
    best: &mut BTreeMap<String, (f64, Most)>,
) {
    let mut step = STEP;
    for _ in 0..ROUNDS {
        step /= 2.0;
        let Some(around) = best.get(name).map(|(at, _)| *at) else {
            return;
        };
        for at in [around - step, around + step] {
            for most in at_ratio(a, b, chemistry, at) {
                keep(best, at, most);
            }
        }
    }
}

/// Where not all is known: what of the rest could leave at most, as if the unknown brought all
/// the acid or alkali it takes.
pub(super) fn of_what_is_known(a: &Party, b: &Party, chemistry: &Chemistry) -> Vec<Most> {
    if a.unknown.is_none() && b.unknown.is_none() {
        return Vec::new();
    }
    let known = [a, b].into_iter().filter_map(Party::known);
    let bath = wetted(known.fold(Bath::nothing(), |sum, bath| sum.with(bath)));
    let ph = Ph::NotComputed {
        why: "what else is in the vessel is not known".to_owned(),
    };
    let mut found = Most::each(chemistry.gases(&bath, &ph));
    for most in &mut found {
        most.open = true;
    }
    found
}

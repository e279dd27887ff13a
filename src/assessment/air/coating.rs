//! Plates that are coated: the solvent of what stays on them goes into the air.

use std::collections::BTreeMap;

use crate::air::{AirModel, Amount, Gas, GasRelease, Said};
use crate::catalogue::{Chemical, Coat};
use crate::plan::{Plan, Solution};
use crate::session::Sheets;
use crate::units::{Duration, Mass, significant};

use super::Sources;

/// More plates than this are reckoned in so many groups.
const MOST_GROUPS: u32 = 60;

/// The plates a session coats: those stated, or the sheets, or as many as an evening makes.
pub struct Plates {
    list: Vec<(u32, f64)>,
    assumed: bool,
}

impl Plates {
    /// Of a plan.
    pub fn of(plan: &Plan, model: &AirModel) -> Self {
        let stated = [&plan.processed.plates, &plan.processed.sheets];
        let usual = model.sheet_area().value;
        let area = |sheets: &Sheets| (sheets.count, sheets.size.map_or(usual, |size| size.m2()));
        match stated.into_iter().find(|list| !list.is_empty()) {
            Some(list) => Self {
                list: list.iter().map(area).collect(),
                assumed: false,
            },
            None => Self {
                list: vec![(model.sheets().value as u32, usual)],
                assumed: true,
            },
        }
    }

    fn count(&self) -> u32 {
        self.list.iter().map(|(count, _)| count).sum()
    }

    /// m² of all.
    fn area(&self) -> f64 {
        self.list.iter().map(|(n, m2)| f64::from(*n) * m2).sum()
    }
}

/// What coating with a solution lets out: one puff a plate, evenly over the hours.
pub fn releases(
    solution: &Solution,
    coat: &Coat,
    plates: &Plates,
    sources: &Sources<'_>,
    hours: f64,
) -> Vec<GasRelease> {
    let groups = plates.count().min(MOST_GROUPS);
    if groups == 0 {
        return Vec::new();
    }
    let litres = plates.area() * coat.left_ml_per_m2 / 1000.0;
    let share = litres / solution.volume.litres().max(1e-9);
    let each = share / f64::from(groups);
    let sets = coat.sets_minutes / 60.0 * f64::from(plates.count()) / f64::from(groups);
    let held = solvents(solution, sources);
    let puffs = held.iter().flat_map(|(gas, grams)| {
        (0..groups).filter_map(move |n| {
            let from = hours * f64::from(n) / f64::from(groups);
            Some(GasRelease {
                gas: gas.clone(),
                amount: Amount::Puff {
                    mass: Mass::from_grams(grams * each).ok()?,
                    from: Duration::from_hours(from).ok()?,
                    lasts: Duration::from_hours(sets).ok()?,
                },
            })
        })
    });
    puffs.collect()
}

/// Grams of each gas that the liquids of a solution are or hold.
fn solvents(solution: &Solution, sources: &Sources<'_>) -> BTreeMap<String, f64> {
    let mut held = BTreeMap::new();
    for (_, added) in solution.additions() {
        for (gas, share) in sources.liquids(&added.jar) {
            *held.entry(gas.id.clone()).or_default() += share * added.mass.grams();
        }
    }
    held
}

impl Sources<'_> {
    /// The gases that stand over a liquid as it comes, and their shares of it by weight.
    pub(super) fn liquids(&self, jar: &Chemical) -> Vec<(&Gas, f64)> {
        let itself = self.gases.find(jar.root());
        let itself = itself.filter(|gas| gas.vapour_pressure.is_some());
        // A strength in any basis is at most all of it.
        let strength = jar.strength.as_ref().map_or(1.0, |s| s.percent / 100.0);
        let inside = self
            .gases
            .iter()
            .filter_map(|gas| Some((gas, gas.share_in(jar.root())?)));
        itself
            .map(|gas| (gas, strength))
            .into_iter()
            .chain(inside)
            .collect()
    }
}

/// What is taken for granted of coated plates.
pub fn assumption(solution: &Solution, coat: &Coat, plates: &Plates, model: &AirModel) -> Said {
    let id = if plates.assumed {
        "coated-assumed"
    } else {
        "coated"
    };
    let mean = plates.area() / f64::from(plates.count().max(1));
    let facts = [
        ("solution", solution.title.clone()),
        ("plates", plates.count().to_string()),
        ("area", significant(mean, 2)),
        ("ml", significant(coat.left_ml_per_m2, 2)),
        ("minutes", significant(coat.sets_minutes, 2)),
    ];
    model.words(id, &facts)
}

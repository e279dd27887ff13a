//! The air of a session: its trays open in its room, its powders weighed, one bath spilt into another.

mod accident;
mod carried;
mod case;
mod coating;
mod volatiles;

use crate::air::{self, AirAssessment, GasFigures, GasRelease, Region, Said};
use crate::plan::{Plan, Setting, Solution};
use crate::session::Tray;
use crate::units::Temperature;

use super::{SolutionFigures, Tools};

pub use accident::Accident;
pub use carried::Carried;
pub use volatiles::{Sources, Vapours};

/// What the air of the room comes to.
#[derive(Debug, Clone, Default)]
pub struct SessionAir {
    /// With every tray open; nothing where a data file contradicts itself.
    pub work: Option<AirAssessment>,
    /// What one bath spilt into another would let out: the worst for each gas.
    pub accidents: Vec<Accident>,
    /// What was taken for granted of the session, in words.
    pub taken: Vec<Said>,
    /// Solutions whose vapours cannot be computed, and why.
    pub unknown: Vec<(String, String)>,
}

impl SessionAir {
    /// Of a plan, its solutions' figures in its order.
    pub fn of(plan: &Plan, solutions: &[SolutionFigures], tools: &Tools<'_>) -> Self {
        let (gases, model) = (&tools.rules.gases, &tools.rules.air);
        let sources = Sources {
            catalogue: tools.catalogue,
            chemistry: tools.chemistry,
            gases,
        };
        let mut unknown = Vec::new();
        let taken = case::assumptions(plan, model);
        let Some(case) = case::of(plan, solutions, &sources, model, &mut unknown) else {
            return Self::default();
        };
        let carried = Carried::of(plan, model);
        let regions = regions(plan.setting.rules.iter().map(String::as_str));
        // The case names gases by the ids of the same file, so none is unknown.
        let mut work = air::assess(&case, gases, &regions, model).ok();
        if let Some(work) = &mut work {
            work.assumptions.extend(taken.iter().cloned());
            work.assumptions.push(carried.assumption(model));
        }
        let accidents =
            accident::worst(plan, solutions, tools, &carried, &mut unknown, |releases| {
                let case = air::AirCase {
                    releases,
                    baths: Vec::new(),
                    fillings: Vec::new(),
                    weighings: Vec::new(),
                    ..case.clone()
                };
                air::assess(&case, gases, &regions, model).ok()
            });
        Self {
            work,
            accidents,
            taken,
            unknown,
        }
    }
}

/// What so many grams of a gas do to the air of a place, let out at once; nothing where the gas
/// is not on file.
pub fn burst(gas: &str, grams: f64, setting: &Setting, tools: &Tools<'_>) -> Option<GasFigures> {
    let release = GasRelease {
        gas: gas.to_owned(),
        amount: accident::at_once(grams)?,
    };
    let model = &tools.rules.air;
    let case = case::of_release(release, setting, model)?;
    let regions = regions(setting.rules.iter().map(String::as_str));
    let assessed = air::assess(&case, &tools.rules.gases, &regions, model).ok()?;
    assessed.gases.into_iter().next()
}

/// The regions whose limits count under some rules: those with limits on file; all where none has.
pub fn regions<'c>(rules: impl IntoIterator<Item = &'c str>) -> Vec<Region> {
    let found: Vec<Region> = rules.into_iter().filter_map(Region::from_code).collect();
    if found.is_empty() {
        Region::ALL.to_vec()
    } else {
        found
    }
}

/// How warm a tray is: as the session says, or as its kind is used, never colder than the room.
fn tray_temperature(solution: &Solution) -> Temperature {
    if let Some(Tray::Open(tray)) = &solution.tray
        && let Some(stated) = &tray.at
    {
        return stated.value;
    }
    let usual = solution
        .kind
        .as_ref()
        .and_then(|kind| kind.working_temperature_c);
    let warm = usual.filter(|celsius| *celsius > Temperature::ROOM.celsius());
    warm.and_then(|celsius| Temperature::from_celsius(celsius).ok())
        .unwrap_or(Temperature::ROOM)
}

/// Whether a solution stands open in a tray: as the session says, or as its kind does; a kind
/// nobody stated does.
fn stands_open(solution: &Solution) -> bool {
    match &solution.tray {
        Some(Tray::Shut) => false,
        Some(Tray::Open(_)) => true,
        None => solution
            .kind
            .as_ref()
            .is_none_or(|kind| kind.steps.iter().any(|step| step == "tray")),
    }
}

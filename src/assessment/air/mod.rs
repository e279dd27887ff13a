//! The air of a session: its trays open in its room, its powders weighed, one bath spilt into another.

mod accident;
mod case;
mod volatiles;

use crate::air::{self, AirAssessment, Region};
use crate::plan::Plan;
use crate::units::{Temperature, significant};

use super::{SolutionFigures, Tools};

pub use accident::Accident;
pub use volatiles::{Sources, Vapours};

/// What the air of the room comes to.
#[derive(Debug, Clone, Default)]
pub struct SessionAir {
    /// With every tray open; nothing where a data file contradicts itself.
    pub work: Option<AirAssessment>,
    /// What one bath spilt into another would let out: the worst for each gas.
    pub accidents: Vec<Accident>,
    /// What was taken for granted of the session, in words.
    pub taken: Vec<String>,
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
        let regions = regions(plan.setting.rules.iter().map(String::as_str));
        // The case names gases by the ids of the same file, so none is unknown.
        let mut work = air::assess(&case, gases, &regions, model).ok();
        if let Some(work) = &mut work {
            work.assumptions.extend(taken.iter().cloned());
            let ml = ("ml", significant(model.carried_over().value, 2));
            work.assumptions.push(model.words("accident", &[ml]));
        }
        let accidents = accident::worst(plan, solutions, tools, &mut unknown, |releases| {
            let case = air::AirCase {
                releases,
                baths: Vec::new(),
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

/// The regions whose limits count under some rules: those with limits on file; all where none has.
pub fn regions<'c>(rules: impl IntoIterator<Item = &'c str>) -> Vec<Region> {
    let found: Vec<Region> = rules.into_iter().filter_map(Region::from_code).collect();
    if found.is_empty() {
        Region::ALL.to_vec()
    } else {
        found
    }
}

/// How warm a tray is: as its kind is used, never colder than the room.
fn tray_temperature(solution: &crate::plan::Solution) -> Temperature {
    let usual = solution
        .kind
        .as_ref()
        .and_then(|kind| kind.working_temperature_c);
    let warm = usual.filter(|celsius| *celsius > Temperature::ROOM.celsius());
    warm.and_then(|celsius| Temperature::from_celsius(celsius).ok())
        .unwrap_or(Temperature::ROOM)
}

/// Whether a solution stands open in a tray; a kind nobody stated does.
fn stands_open(solution: &crate::plan::Solution) -> bool {
    solution
        .kind
        .as_ref()
        .is_none_or(|kind| kind.steps.iter().any(|step| step == "tray"))
}

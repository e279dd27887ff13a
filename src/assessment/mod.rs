//! Plan → what can hurt, how badly, and why.
//!
//! Pure: the same plan and catalogue give the same assessment. No clock, no file system, no
//! terminal in here.

mod audit;
pub mod air;
pub mod checks;
mod first_aid;
mod hazards;
mod ingredient;
mod protection;
mod recipe;
mod solution;

pub use air::SessionAir;
pub use audit::{Audit, Count, Fault, Missing, SourceUse, Sourcing, audit};
pub use first_aid::{FirstAid, Measure, first_aid, first_aid_for};
pub use hazards::{ChemicalHazards, Rules, hazards_of, together};
pub use ingredient::{ingredient, undiluted};
pub use protection::{Need, StepWear, protection};
pub use recipe::RecipeAssessment;
pub use solution::{BathChemistry, BathFigures, SolutionFigures, StepFigures, Tools, by_weight};

use crate::finding::{self, Finding, Severity};
use crate::plan::Plan;
use crate::units::Temperature;

/// A plan and everything there is to say about it.
#[derive(Debug, Clone)]
pub struct Assessment {
    /// The plan.
    pub plan: Plan,
    /// Hazards of each chemical that is opened, in order of first use.
    pub chemicals: Vec<ChemicalHazards>,
    /// Figures of each solution, in the order of the plan.
    pub solutions: Vec<SolutionFigures>,
    /// What to wear, by step.
    pub wear: Vec<StepWear>,
    /// First aid by route, merged over everything of the session.
    pub first_aid: FirstAid,
    /// What the air of the room comes to.
    pub air: SessionAir,
    /// Worst first.
    pub findings: Vec<Finding>,
}

impl Assessment {
    /// Assesses a plan.
    pub fn of(plan: Plan, tools: &Tools<'_>) -> Self {
        let (catalogue, rules) = (tools.catalogue, tools.rules);
        let solutions: Vec<SolutionFigures> = plan
            .solutions
            .iter()
            .map(|solution| tools.figures(solution, Temperature::ROOM))
            .collect();
        let chemicals: Vec<ChemicalHazards> = plan
            .chemicals()
            .iter()
            .map(|chemical| hazards_of(chemical, rules))
            .collect();
        let wear = protection(&plan, catalogue);
        let first_aid = first_aid(&plan, catalogue);
        let air = SessionAir::of(&plan, &solutions, tools);
        let context = checks::Context {
            plan: &plan,
            catalogue,
            rules,
            chemicals: &chemicals,
            solutions: &solutions,
            wear: &wear,
            air: Some(&air),
        };
        let mut findings: Vec<Finding> = checks::ALL
            .iter()
            .flat_map(|check| check(&context))
            .collect();
        finding::sort(&mut findings);
        Self {
            plan,
            chemicals,
            solutions,
            wear,
            first_aid,
            air,
            findings,
        }
    }

    /// The weightiest finding.
    pub fn worst(&self) -> Option<Severity> {
        self.findings.iter().map(|finding| finding.severity).max()
    }
}

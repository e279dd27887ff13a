//! One recipe, looked at outside of any session.

use crate::finding::{self, Finding};
use crate::plan::{Plan, Solution};
use crate::units::Temperature;

use super::{SolutionFigures, Tools, checks, hazards_of};

/// A solution and everything there is to say about it by itself.
#[derive(Debug, Clone)]
pub struct RecipeAssessment {
    /// What is made.
    pub solution: Solution,
    /// Its figures.
    pub figures: SolutionFigures,
    /// Worst first.
    pub findings: Vec<Finding>,
}

impl RecipeAssessment {
    /// Assesses a plan that makes one recipe, at the temperature the solution is asked about;
    /// nothing where the plan makes nothing.
    pub fn of(plan: &Plan, at: Temperature, tools: &Tools<'_>) -> Option<Self> {
        let solution = plan.solutions.first()?.clone();
        let figures = [tools.figures(&solution, at)];
        let chemicals: Vec<_> = plan
            .chemicals()
            .iter()
            .map(|chemical| hazards_of(chemical, tools.rules))
            .collect();
        let context = checks::Context {
            plan,
            catalogue: tools.catalogue,
            rules: tools.rules,
            chemicals: &chemicals,
            solutions: &figures,
            wear: &[],
            air: None,
        };
        let mut findings: Vec<Finding> = checks::OF_A_RECIPE
            .iter()
            .flat_map(|check| check(&context))
            .collect();
        finding::sort(&mut findings);
        let [figures] = figures;
        Some(Self {
            solution,
            figures,
            findings,
        })
    }
}

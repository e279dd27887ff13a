//! One check, one file: a pure function from what is known to findings.

mod air;
mod alternative;
mod bench;
mod bottle;
mod briefed;
mod clear;
mod gloves;
mod heat;
mod hydrate;
mod look_alike;
mod near_class;
mod no_data;
mod not_enough;
mod order;
mod people;
mod ph;
mod place;
mod recipe;
mod rules;
mod sds;
mod vessel;
mod water;
mod wear;
mod weighing;

use crate::catalogue::Catalogue;
use crate::finding::Finding;
use crate::plan::{Plan, Solution, Step};

use super::{ChemicalHazards, Rules, SessionAir, SolutionFigures, StepFigures, StepWear};

/// What a check may look at.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// Tables of classes and labels, and the rules of the place.
    pub rules: &'a Rules,
    /// Hazards of each jar.
    pub chemicals: &'a [ChemicalHazards],
    /// Figures of each solution.
    pub solutions: &'a [SolutionFigures],
    /// What to wear, by step.
    pub wear: &'a [StepWear],
    /// The air of the room; nothing outside of a session.
    pub air: Option<&'a SessionAir>,
}

/// A check.
pub type Check = fn(&Context<'_>) -> Vec<Finding>;

/// Every check there is.
pub const ALL: &[Check] = &[
    hydrate::check,
    look_alike::check,
    recipe::check,
    order::check,
    bench::check,
    weighing::check,
    vessel::check,
    bottle::check,
    wear::check,
    gloves::check,
    not_enough::check,
    place::check,
    people::check,
    briefed::check,
    water::check,
    no_data::check,
    air::check,
    heat::check,
    clear::check,
    ph::check,
    near_class::check,
    alternative::check,
    rules::forbidden,
    rules::required,
    rules::age,
    rules::restricted,
    rules::loosens,
    rules::past_review,
    sds::on_file,
    sds::differs,
];

/// The checks that need no session: what a recipe says, and what it makes.
pub const OF_A_RECIPE: &[Check] = &[
    hydrate::check,
    look_alike::check,
    recipe::check,
    order::check,
    no_data::check,
    heat::check,
    clear::check,
    ph::check,
    near_class::check,
    rules::forbidden,
    rules::restricted,
    sds::differs,
];

impl<'a> Context<'a> {
    /// Each step of each solution with what was computed for it.
    fn steps(&self) -> impl Iterator<Item = (&'a Solution, &'a Step, &'a StepFigures)> {
        let solutions = self.plan.solutions.iter().zip(self.solutions);
        solutions.flat_map(|(solution, figures)| {
            let steps = solution.steps.iter().zip(&figures.steps);
            steps.map(move |(step, figures)| (solution, step, figures))
        })
    }
}

/// `a, b and c`; `a, 5 %; b; and c` where a name holds a comma itself.
pub(super) fn listed(names: &[String]) -> String {
    let commas = names.iter().any(|name| name.contains(','));
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first, last] => format!("{first} and {last}"),
        [first @ .., last] if commas => format!("{}; and {last}", first.join("; ")),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

//! One check, one file: a pure function from what is known to findings.

mod bench;
mod bottle;
mod gloves;
mod hydrate;
mod look_alike;
mod no_data;
mod not_enough;
mod order;
mod place;
mod recipe;
mod vessel;
mod water;
mod wear;
mod weighing;

use crate::catalogue::Catalogue;
use crate::finding::Finding;
use crate::plan::Plan;

use super::{ChemicalHazards, SolutionFigures, StepWear};

/// What a check may look at.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// Hazards of each jar.
    pub chemicals: &'a [ChemicalHazards],
    /// Figures of each solution.
    pub solutions: &'a [SolutionFigures],
    /// What to wear, by step.
    pub wear: &'a [StepWear],
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
    water::check,
    no_data::check,
];

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

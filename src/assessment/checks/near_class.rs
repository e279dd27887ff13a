//! Solutions that a weighing error would carry into a graver class.

use std::collections::BTreeMap;

use crate::classify::Check;
use crate::finding::{Finding, Severity, Subject};
use crate::plan::Solution;
use crate::provenance::Basis;
use crate::units::significant;

use super::{Context, listed};

/// One note for each sum that nearly meets limits of the stock, naming the classes it would bring.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let solutions = context.plan.solutions.iter().zip(context.solutions);
    solutions
        .flat_map(|(solution, figures)| of_solution(solution, &figures.stock.classification.near))
        .collect()
}

fn of_solution(solution: &Solution, near: &[Check]) -> Vec<Finding> {
    let mut by_sum: BTreeMap<String, Vec<&Check>> = BTreeMap::new();
    for check in near {
        let sum = check.because.to_value().to_string();
        by_sum.entry(sum).or_default().push(check);
    }
    by_sum
        .into_values()
        .map(|checks| finding(solution, &checks))
        .collect()
}

fn finding(solution: &Solution, checks: &[&Check]) -> Finding {
    let mut classes: Vec<String> = checks
        .iter()
        .map(|check| check.gives.name().to_owned())
        .collect();
    classes.dedup();
    let nearest = checks
        .iter()
        .map(|check| check.nearness)
        .fold(0.0, f64::max);
    let note = Finding::new(
        "classification/near",
        Severity::Note,
        Subject::Solution(solution.title.clone()),
    )
    .fact("name", solution.title.clone())
    .fact("class", listed(&classes))
    .fact(
        "because",
        checks.first().map(|check| check.because.to_value()),
    )
    .fact("share", significant(100.0 * nearest, 2))
    .place(&solution.place);
    checks.iter().fold(note, |note, check| {
        note.because(Basis::fact(check.rule.clone(), &check.origin))
    })
}

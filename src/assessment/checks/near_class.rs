//! Solutions that a weighing error would carry into a graver class.

use std::collections::BTreeSet;

use crate::finding::{Finding, Severity, Subject};
use crate::provenance::Basis;
use crate::units::significant;

use super::Context;

/// One note for each class that the stock nearly meets.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (solution, figures) in context.plan.solutions.iter().zip(context.solutions) {
        let mut told: BTreeSet<&str> = BTreeSet::new();
        for near in figures.stock.classification.near.iter().filter(|near| told.insert(near.gives.name())) {
            findings.push(
                Finding::new("classification/near", Severity::Note, Subject::Solution(solution.title.clone()))
                    .fact("name", solution.title.clone())
                    .fact("class", near.gives.name().to_owned())
                    .fact("because", near.because.clone())
                    .fact("share", significant(100.0 * near.nearness, 2))
                    .place(&solution.place)
                    .because(Basis::fact(near.rule.clone(), &near.origin)),
            );
        }
    }
    findings
}

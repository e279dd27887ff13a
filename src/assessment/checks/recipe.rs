//! What a recipe leaves out.

use crate::finding::{Finding, Severity, Subject};
use crate::session::Amount;

use super::Context;

/// Kind, waste stream, water at the beginning, and amounts measured without a known density.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for solution in &context.plan.solutions {
        let about = || Subject::Solution(solution.title.clone());
        if solution.kind.is_none() {
            findings.push(
                Finding::new("recipe/kind-not-stated", Severity::Attention, about())
                    .fact("name", solution.title.clone())
                    .place(&solution.place),
            );
        }
        if solution.stream.is_none() {
            findings.push(
                Finding::new("waste/no-stream", Severity::Attention, about())
                    .fact("name", solution.title.clone())
                    .place(&solution.place),
            );
        }
        for (step, added) in solution
            .additions()
            .filter(|(_, added)| added.density_assumed)
        {
            let Amount::Volume(volume) = added.amount else {
                continue;
            };
            findings.push(
                Finding::new(
                    "chemical/density-assumed",
                    Severity::Note,
                    Subject::Step(solution.title.clone(), step.number),
                )
                .fact("name", added.jar.name.clone())
                .fact("amount", volume.to_string())
                .fact("mass", added.mass.to_string())
                .place(&step.place),
            );
        }
    }
    findings
}

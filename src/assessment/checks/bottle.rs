//! What a solution is kept in.

use crate::finding::{Finding, Severity, Subject};
use crate::plan::{PlannedVessel, Solution};

use super::Context;
use super::vessel::{unknown, unsuited};

/// Bottles that are missing, too small, unknown or unsuited.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for solution in &context.plan.solutions {
        let Some(bottle) = &solution.storage else {
            findings.push(
                Finding::new(
                    "store/not-stated",
                    Severity::Note,
                    Subject::Solution(solution.title.clone()),
                )
                .fact("name", solution.title.clone())
                .place(&solution.place),
            );
            continue;
        };
        findings.extend(too_small(solution, bottle));
        findings.extend(unknown(solution, bottle));
        findings.extend(unsuited(context, solution, bottle, "storage"));
    }
    findings
}

fn too_small(solution: &Solution, bottle: &PlannedVessel) -> Option<Finding> {
    let total = bottle.total()?;
    (total < solution.volume).then(|| {
        Finding::new(
            "store/too-small",
            Severity::Attention,
            Subject::Solution(solution.title.clone()),
        )
        .fact("bottles", bottle.written.clone())
        .fact("capacity", total.to_string())
        .fact("volume", solution.volume.to_string())
        .fact("name", solution.title.clone())
        .place(&solution.place)
    })
}

//! The vessel a solution is mixed in: size, heat, material.

use crate::catalogue::StorageRule;
use crate::finding::{Finding, Severity, Subject};
use crate::plan::{PlannedVessel, Solution};
use crate::provenance::Basis;
use crate::units::Temperature;

use super::Context;

/// Room for stirring and froth above the final volume (common practice, no source).
const FREE_ROOM: f64 = 1.1;

/// Mixing vessels that are too small, not heat-proof, unknown, or attacked.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for solution in &context.plan.solutions {
        let Some(vessel) = &solution.vessel else {
            continue;
        };
        findings.extend(too_small(solution, vessel));
        findings.extend(too_hot(solution, vessel));
        findings.extend(unknown(solution, vessel));
        findings.extend(unsuited(context, solution, vessel, "mixing"));
        findings.extend(attacked(context, solution, vessel));
    }
    findings
}

fn too_small(solution: &Solution, vessel: &PlannedVessel) -> Option<Finding> {
    let capacity = vessel.capacity?;
    let needed = solution.volume.scaled(FREE_ROOM).ok()?;
    if capacity >= needed {
        return None;
    }
    let severity = if capacity < solution.volume {
        Severity::Stop
    } else {
        Severity::Attention
    };
    Some(
        Finding::new(
            "vessel/too-small",
            severity,
            Subject::Solution(solution.title.clone()),
        )
        .fact("vessel", vessel.written.clone())
        .fact("capacity", capacity.to_string())
        .fact("volume", solution.volume.to_string())
        .fact("needed", needed.to_string())
        .fact("name", solution.title.clone())
        .place(&solution.place),
    )
}

fn too_hot(solution: &Solution, vessel: &PlannedVessel) -> Option<Finding> {
    let start = solution.start_temperature()?;
    let limit = vessel.vessel.as_ref()?.max_c?;
    (start.celsius() > limit).then(|| {
        let max = Temperature::from_celsius(limit)
            .map(|t| t.to_string())
            .unwrap_or_default();
        Finding::new(
            "vessel/too-hot",
            Severity::Attention,
            Subject::Solution(solution.title.clone()),
        )
        .fact("vessel", vessel.written.clone())
        .fact("max", max)
        .fact("temperature", start.to_string())
        .fact("name", solution.title.clone())
        .place(&solution.place)
    })
}

/// A vessel that the list does not know counts as the worse case.
pub(super) fn unknown(solution: &Solution, vessel: &PlannedVessel) -> Option<Finding> {
    vessel.vessel.is_none().then(|| {
        Finding::new(
            "vessel/unknown",
            Severity::Attention,
            Subject::Solution(solution.title.clone()),
        )
        .fact("vessel", vessel.written.clone())
        .place(&solution.place)
    })
}

/// Rules of `hazards/vessels.yaml` that the vessel breaks in this use.
pub(super) fn unsuited(
    context: &Context<'_>,
    solution: &Solution,
    planned: &PlannedVessel,
    in_use: &str,
) -> Vec<Finding> {
    let Some(vessel) = &planned.vessel else {
        return Vec::new();
    };
    let rules = context.catalogue.storage_rules().iter();
    rules
        .filter(|rule| rule.refuses(vessel, in_use) && concerns(context, rule, solution))
        .map(|rule| {
            Finding::new(
                "store/unsuited",
                rule.severity,
                Subject::Solution(solution.title.clone()),
            )
            .fact("name", solution.title.clone())
            .fact("vessel", planned.written.clone())
            .fact("why", rule.why.clone())
            .fact("advice", rule.advice.clone())
            .place(&solution.place)
            .because(Basis::fact(rule.id.replace('-', " "), &rule.from))
        })
        .collect()
}

fn concerns(context: &Context<'_>, rule: &StorageRule, solution: &Solution) -> bool {
    let in_family = |id: &String| {
        solution
            .additions()
            .any(|(_, added)| added.jar.families.contains(id))
    };
    rule.is_general()
        || solution.holds(&rule.groups)
        || solution.holds(&rule.chemicals)
        || rule.families.iter().any(in_family)
        || solution
            .stream
            .as_ref()
            .is_some_and(|stream| rule.streams.contains(stream))
        || solution
            .kind
            .as_ref()
            .is_some_and(|kind| context.catalogue.is_kind(kind, &rule.kinds))
}

/// Metals that a solution eats.
fn attacked(context: &Context<'_>, solution: &Solution, planned: &PlannedVessel) -> Vec<Finding> {
    let Some(metal) = planned
        .vessel
        .as_ref()
        .and_then(|vessel| vessel.metal.as_ref())
    else {
        return Vec::new();
    };
    let rules = context.catalogue.reactions().iter();
    rules
        .filter(|rule| {
            rule.vessel.contains(metal)
                && solution.additions().any(|(_, added)| rule.is_a(&added.jar))
        })
        .map(|rule| {
            let finding = Finding::new(
                "meet/vessel",
                rule.severity,
                Subject::Solution(solution.title.clone()),
            )
            .fact("a", solution.title.clone())
            .fact("vessel", planned.written.clone())
            .place(&solution.place);
            super::bench::told(finding, rule)
        })
        .collect()
}

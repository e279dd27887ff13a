//! A safer way first: other chemicals for the same work, and what they take away in hazards.

use std::collections::BTreeSet;

use crate::assessment::hazards_of;
use crate::catalogue::{Alternative, Chemical};
use crate::finding::{Finding, Severity, Subject};
use crate::plan::{Solution, Step};
use crate::provenance::Basis;

use super::Context;

/// A note for each chemical that another of the catalogue could take the place of.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for solution in &context.plan.solutions {
        let mut told = BTreeSet::new();
        for (step, added) in solution.additions() {
            let fitting =
                context.catalogue.alternatives().iter().filter(|other| {
                    other.is_for(&added.jar) && is_for_kind(context, solution, other)
                });
            for other in fitting.filter(|other| !holds(solution, other)) {
                if told.insert(&other.take) {
                    findings.extend(finding(context, &added.jar, step, other));
                }
            }
        }
    }
    findings
}

/// A solution of no stated kind could be any.
fn is_for_kind(context: &Context<'_>, solution: &Solution, other: &Alternative) -> bool {
    let Some(kind) = &solution.kind else {
        return other.kinds.is_empty();
    };
    other.kinds.is_empty() || context.catalogue.is_kind(kind, &other.kinds)
}

/// The solution is made with it already.
fn holds(solution: &Solution, other: &Alternative) -> bool {
    let additions = solution.additions();
    additions
        .into_iter()
        .any(|(_, added)| added.jar.id == other.take || added.jar.root() == other.take)
}

/// Nothing is said where no hazard falls away: then it is a matter of taste.
fn finding(
    context: &Context<'_>,
    jar: &std::sync::Arc<Chemical>,
    step: &Step,
    other: &Alternative,
) -> Option<Finding> {
    let take = context.catalogue.chemical(&other.take)?;
    let (now, then) = (
        hazards_of(jar, context.rules),
        hazards_of(&take, context.rules),
    );
    let only = |a: &crate::classify::LabelElements, b: &crate::classify::LabelElements| {
        let missing = a
            .statements
            .iter()
            .filter(|code| !b.statements.contains(code));
        missing.cloned().collect::<Vec<String>>()
    };
    let (gone, come) = (only(&now.label, &then.label), only(&then.label, &now.label));
    if gone.is_empty() || take.is_unclassified() {
        return None;
    }
    let note = Finding::new(
        "choose/less-hazard",
        Severity::Note,
        Subject::Chemical(jar.name.clone()),
    )
    .fact("name", jar.name.clone())
    .fact("take", take.name.clone())
    .fact("gone", gone)
    .fact("come", come)
    .fact("costs", other.costs.clone())
    .place(&step.place)
    .because(Basis::fact("that it does the same work", &other.from));
    let basis = now.basis.iter().chain(&then.basis);
    Some(basis.fold(note, |note, (class, origin)| {
        note.because(Basis::fact(class.clone(), origin))
    }))
}

//! People for whom a hazard weighs more: ask the responsible person or a doctor before.
//!
//! Said of chemicals, never of a person: who it concerns is nobody's business but theirs.

use crate::catalogue::PeopleGroup;
use crate::finding::{Finding, Severity, Subject};
use crate::provenance::Basis;

use super::{Context, listed};

/// One note for each group of people that some chemical of the day concerns.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let groups = context.catalogue.people_groups().iter();
    groups.filter_map(|group| finding(context, group)).collect()
}

fn finding(context: &Context<'_>, group: &PeopleGroup) -> Option<Finding> {
    let mut names: Vec<String> = Vec::new();
    let mut basis: Vec<Basis> = Vec::new();
    for hazards in context
        .chemicals
        .iter()
        .filter(|h| h.chemical.id != "water")
    {
        if !hazards.concerns(group) {
            continue;
        }
        names.push(hazards.chemical.name.clone());
        let what = format!("{} and {}", group.code, hazards.chemical.name);
        basis.extend(
            hazards
                .reason(group)
                .map(|reason| Basis::fact(what, &reason.from)),
        );
    }
    basis.dedup();
    (!names.is_empty()).then(|| Finding {
        basis,
        ..Finding::new(group.code.as_str(), Severity::Note, Subject::Session)
            .fact("names", listed(&names))
            .fact("all", names)
            .place(&context.plan.top)
    })
}

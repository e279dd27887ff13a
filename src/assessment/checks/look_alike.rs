//! Jars with names that are taken for one another, and names that are most likely a slip.

use crate::catalogue::{Chemical, LookAlike};
use crate::finding::{Finding, Severity, Subject};
use crate::provenance::Basis;

use super::Context;

/// A note for each pair that the plan could confuse; a stop where the wrong one seems to be written.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    confusable(context)
        .into_iter()
        .chain(unlikely(context))
        .collect()
}

fn confusable(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for hazards in context.chemicals {
        let chemical = &hazards.chemical;
        for other in &chemical.look_alikes {
            let Some(name) = name_of(context, chemical, other) else {
                continue;
            };
            let mut finding = Finding::new(
                "name/look-alike",
                Severity::Note,
                Subject::Chemical(chemical.name.clone()),
            )
            .fact("name", chemical.name.clone())
            .fact("other", name)
            .fact("tell", other.tell.clone())
            .fact("wrong", other.wrong.clone())
            .because(Basis::fact("how to tell them apart", &other.from));
            if let Some(place) = first_place(context, &chemical.id) {
                finding = finding.place(place);
            }
            findings.push(finding);
        }
    }
    findings
}

/// Another form of the same substance is the hydrate check's business.
fn name_of(context: &Context<'_>, chemical: &Chemical, other: &LookAlike) -> Option<String> {
    let Some(id) = &other.id else {
        return other.name.clone();
    };
    let other = context.catalogue.chemical(id)?;
    (other.root() != chemical.root()).then(|| other.name.clone())
}

fn first_place<'a>(context: &Context<'a>, id: &str) -> Option<&'a crate::source::Place> {
    let additions = context
        .plan
        .solutions
        .iter()
        .flat_map(|solution| solution.additions());
    additions
        .into_iter()
        .find(|(_, added)| added.jar.id == id)
        .map(|(step, _)| &step.place)
}

fn unlikely(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for solution in &context.plan.solutions {
        let Some(kind) = &solution.kind else { continue };
        for (step, added) in solution.additions() {
            let slips = added
                .asked
                .unlikely_in
                .iter()
                .filter(|slip| context.catalogue.is_kind(kind, &slip.kinds));
            for slip in slips {
                let meant = context
                    .catalogue
                    .chemical(&slip.meant)
                    .map(|c| c.name.clone());
                findings.push(
                    Finding::new(
                        "name/unlikely",
                        Severity::Stop,
                        Subject::Step(solution.title.clone(), step.number),
                    )
                    .fact("name", added.asked.name.clone())
                    .fact("kind", kind.title())
                    .fact("meant", meant.unwrap_or_else(|| slip.meant.clone()))
                    .fact("why", slip.why.clone())
                    .place(&step.place)
                    .because(Basis::fact("what belongs in this kind of bath", &slip.from)),
                );
            }
        }
    }
    findings
}

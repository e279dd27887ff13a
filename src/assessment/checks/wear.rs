//! Protection that a step asks for and the session does not list.

use std::collections::BTreeMap;

use crate::catalogue::Part;
use crate::finding::{Finding, Severity, Subject};
use crate::provenance::Basis;

use crate::assessment::Need;

use super::{Context, listed};

/// One finding for each thing that is missing, naming the steps that ask for it.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut missing = BTreeMap::<_, Vec<(&str, &Need)>>::new();
    for step in context.wear {
        for (part, needs) in &step.needs {
            for need in needs.iter().filter(|need| !need.met) {
                missing
                    .entry((*part, need.items.as_slice()))
                    .or_default()
                    .push((&step.title, need));
            }
        }
    }
    missing
        .into_iter()
        .map(|((part, items), asked)| finding(context, part, items, &asked))
        .collect()
}

fn finding(
    context: &Context<'_>,
    part: Part,
    items: &[String],
    asked: &[(&str, &Need)],
) -> Finding {
    let mut steps: Vec<String> = asked.iter().map(|(step, _)| (*step).to_owned()).collect();
    steps.dedup();
    let mut for_chemicals: Vec<String> = asked
        .iter()
        .flat_map(|(_, need)| need.chemicals.clone())
        .collect();
    for_chemicals.sort();
    for_chemicals.dedup();
    let mut because: Vec<String> = asked.iter().map(|(_, need)| need.text.clone()).collect();
    because.sort_by_key(|text| std::cmp::Reverse(text.len()));
    // "Nitrile gloves." says nothing that "Nitrile gloves; grains stick." does not.
    let mut kept: Vec<String> = Vec::new();
    for text in because {
        if !kept
            .iter()
            .any(|other| other.starts_with(text.trim_end_matches('.')))
        {
            kept.push(text);
        }
    }
    let mut because = kept;
    if !for_chemicals.is_empty() {
        because.push(format!("({})", listed(&for_chemicals)));
    }
    let titles: Vec<String> = items
        .iter()
        .filter_map(|id| Some(context.catalogue.wear_item(id)?.title.clone()))
        .collect();
    let mut finding = Finding::new("wear/missing", severity(context, part), Subject::Session)
        .fact("step", listed(&steps))
        .fact("needed", titles.join(" or "))
        .fact("because", because.join(" "))
        .place(&context.plan.top);
    for (_, need) in asked {
        finding = finding.because(Basis::fact("what to wear", &need.origin));
    }
    finding
}

/// Eyes that can be lost are worth stopping for; the rest is a reminder to be acted on.
fn severity(context: &Context<'_>, part: Part) -> Severity {
    let blinding = context
        .chemicals
        .iter()
        .any(|hazards| hazards.damages_eyes());
    if part == Part::Eyes && blinding {
        Severity::Stop
    } else {
        Severity::Attention
    }
}

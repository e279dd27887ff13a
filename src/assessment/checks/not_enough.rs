//! Things that are worn and taken for protection that they are not.

use crate::catalogue::{NotEnough, WearItem};
use crate::finding::{Finding, Severity, Subject};
use crate::provenance::Basis;

use super::Context;

/// Each worn item against the list of what it is not enough for, where that danger is in the plan.
///
/// A note where the item is good for something else (a dust mask, against dust); an attention
/// where it protects from nothing here.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for written in &context.plan.wear {
        let Some(item) = context.catalogue.wear_item(&written.value) else {
            continue;
        };
        let entries = context.catalogue.wear().not_enough.iter();
        for entry in entries.filter(|entry| {
            entry.item == item.id && concerns(context, entry) && !covered(context, item)
        }) {
            let severity = if item.against.is_empty() {
                Severity::Attention
            } else {
                Severity::Note
            };
            findings.push(
                Finding::new("wear/not-enough", severity, Subject::Session)
                    .fact("item", item.title.clone())
                    .fact("text", entry.text.clone())
                    .fact("against", entry.against.clone())
                    .fact("useless", item.against.is_empty())
                    .place(&written.place)
                    .because(Basis::fact("what it does not stop", &entry.from)),
            );
        }
    }
    findings
}

fn concerns(context: &Context<'_>, entry: &NotEnough) -> bool {
    let here = |names: &[String]| {
        context
            .chemicals
            .iter()
            .any(|hazards| names.iter().any(|name| hazards.chemical.belongs_to(name)))
    };
    entry.when.is_empty() || here(&entry.when)
}

/// Something better is worn on the same part: a shield over goggles is not a shield alone.
fn covered(context: &Context<'_>, item: &WearItem) -> bool {
    let rank = |id: &str| {
        context
            .catalogue
            .wear()
            .ranks
            .values()
            .find_map(|rank| Some((rank, rank.iter().position(|other| other == id)?)))
    };
    let goggles = |id: &str| id == "splash-goggles" || id == "gas-tight-goggles";
    context.plan.wear.iter().any(|other| {
        let better = match (rank(&item.id), rank(&other.value)) {
            (Some((ours, at)), Some((theirs, better))) => std::ptr::eq(ours, theirs) && better > at,
            _ => false,
        };
        better || item.id == "face-shield" && goggles(&other.value)
    })
}

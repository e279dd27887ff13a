//! What is not known of an entry.

use serde::Serialize;

use crate::catalogue::{Catalogue, Chemical};
use crate::provenance::Origin;

/// What is not known of an entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Missing {
    /// The entry.
    pub id: String,
    /// What is missing.
    pub what: Vec<&'static str>,
}

pub(super) fn missing(chemical: &Chemical) -> Option<Missing> {
    let cautions = &chemical.cautions;
    let liquid = !chemical.is_solid();
    let absent = [
        (chemical.cas.is_none(), "CAS number"),
        (chemical.ec.is_none(), "EC number"),
        (chemical.formula.is_none(), "formula"),
        (chemical.is_unclassified(), "classification"),
        (liquid && chemical.density.is_none(), "density"),
        (
            chemical.acute_toxicity.is_empty(),
            "measured acute toxicity",
        ),
        (
            chemical.limits.iter().all(|limit| limit.value.is_none()),
            "exposure limit",
        ),
        (
            chemical
                .idlh
                .as_ref()
                .is_none_or(|idlh| idlh.value.is_none()),
            "IDLH",
        ),
        (
            chemical
                .skin_absorption
                .as_ref()
                .is_none_or(|s| s.value.as_bool().is_none()),
            "skin absorption",
        ),
        (
            chemical
                .sensitiser
                .as_ref()
                .is_none_or(|s| s.skin.as_bool().is_none()),
            "sensitiser",
        ),
        (cautions.breathing.is_none(), "caution: breathing"),
        (cautions.skin.is_none(), "caution: skin"),
        (cautions.eyes.is_none(), "caution: eyes"),
        (cautions.swallowing.is_none(), "caution: swallowing"),
        (
            chemical.gloves.as_ref().is_none_or(|g| g.splash.is_empty()),
            "gloves",
        ),
        (chemical.storage.is_none(), "storage"),
        (chemical.spill.is_none(), "spill"),
        (chemical.disposal.is_none(), "disposal"),
        (chemical.transport.is_none(), "transport"),
        (chemical.is_solid() && chemical.dust.is_none(), "dustiness"),
    ];
    let what: Vec<&str> = absent
        .into_iter()
        .filter(|(absent, _)| *absent)
        .map(|(_, what)| what)
        .collect();
    (!what.is_empty()).then(|| Missing {
        id: chemical.id.clone(),
        what,
    })
}

/// Entries that print a class, or print that there is none, on no better word than memory.
pub(super) fn classes_from_memory(catalogue: &Catalogue) -> Vec<String> {
    let mut found = Vec::new();
    for chemical in catalogue.chemicals() {
        let printed = chemical.classes().into_iter();
        let from_memory: Vec<&str> = printed
            .filter(|(_, origin)| **origin == Origin::Memory)
            .map(|(class, _)| class)
            .collect();
        let none = chemical
            .classification
            .none
            .as_ref()
            .is_some_and(|none| none.from == Origin::Memory);
        if none {
            found.push(format!("{}: not classified", chemical.id));
        }
        if !from_memory.is_empty() {
            found.push(format!("{}: {}", chemical.id, from_memory.join(", ")));
        }
    }
    found
}

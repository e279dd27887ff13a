//! Chemicals nobody has said anything about: no data is not safe.

use crate::finding::{Finding, Severity, Subject};

use super::Context;

/// Every jar without any classification, and without a word that it needs none.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let unclassified = context
        .chemicals
        .iter()
        .filter(|hazards| hazards.chemical.is_unclassified());
    unclassified
        .map(|hazards| {
            let name = &hazards.chemical.name;
            Finding::new(
                "chemical/unclassified",
                Severity::Attention,
                Subject::Chemical(name.clone()),
            )
            .fact("name", name.clone())
        })
        .collect()
}

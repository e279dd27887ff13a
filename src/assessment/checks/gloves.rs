//! Gloves of a material that a chemical of the session goes through.

use crate::catalogue::{Part, WearItem, fold};
use crate::finding::{Finding, Severity, Subject};
use crate::provenance::Basis;

use super::Context;

/// Each worn glove against each jar that calls its material unsuitable, unless a suitable pair is
/// worn as well.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let worn = context.plan.wear.iter().filter_map(|item| {
        let known = context.catalogue.wear_item(&item.value)?;
        (known.protects == Part::Hands).then_some((item, known))
    });
    let mut findings = Vec::new();
    for (written, item) in worn {
        for hazards in context.chemicals {
            let Some(gloves) = &hazards.chemical.gloves else {
                continue;
            };
            let suitable =
                |other: &WearItem| gloves.long.iter().any(|material| is_of(other, material));
            let suitable_worn = context
                .plan
                .wear
                .iter()
                .filter_map(|worn| context.catalogue.wear_item(&worn.value))
                .any(suitable);
            if !suitable_worn
                && gloves
                    .unsuitable
                    .iter()
                    .any(|material| is_of(item, material))
            {
                let better: Vec<&str> = gloves
                    .long
                    .iter()
                    .chain(&gloves.splash)
                    .map(String::as_str)
                    .collect();
                findings.push(
                    Finding::new(
                        "wear/glove-material",
                        Severity::Attention,
                        Subject::Chemical(hazards.chemical.name.clone()),
                    )
                    .fact("gloves", item.title.clone())
                    .fact("name", hazards.chemical.name.clone())
                    .fact("note", gloves.note.clone().filter(|note| !note.is_empty()))
                    .fact("better", better)
                    .place(&written.place)
                    .because(Basis::fact("glove material", &gloves.from)),
                );
            }
        }
    }
    findings
}

fn is_of(item: &WearItem, material: &str) -> bool {
    let material = fold(material);
    item.names.iter().any(|name| fold(name) == material)
}

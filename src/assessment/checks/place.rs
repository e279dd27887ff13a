//! The room: what is not known of it, no eyewash, nobody within call.

use crate::finding::{Finding, Severity, Subject};
use crate::provenance::Basis;

use super::{Context, listed};

/// What is missing from the place's facts; an eyewash where eyes can be lost; working alone.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let eyes: Vec<String> = context
        .chemicals
        .iter()
        .filter(|hazards| hazards.damages_eyes())
        .map(|hazards| hazards.chemical.name.clone())
        .collect();
    [
        unknown(context),
        no_eyewash(context, &eyes),
        alone(context, &eyes),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn unknown(context: &Context<'_>) -> Option<Finding> {
    let setting = &context.plan.setting;
    let facts: [(&str, bool); 6] = [
        ("room", setting.room.is_none()),
        ("fan", setting.fan.is_none() && setting.fresh_air.is_none()),
        ("emergency", setting.emergency.is_none()),
        ("spill_kit", setting.spill_kit.is_none()),
        ("responsible", setting.responsible.is_none()),
        ("alone", setting.alone.is_none()),
    ];
    let missing: Vec<&str> = facts
        .into_iter()
        .filter(|(_, missing)| *missing)
        .map(|(name, _)| name)
        .collect();
    (!missing.is_empty()).then(|| {
        Finding::new("place/unknown", Severity::Attention, Subject::Session)
            .fact("missing", missing)
            .place(&context.plan.top)
    })
}

fn no_eyewash(context: &Context<'_>, eyes: &[String]) -> Option<Finding> {
    (context.plan.setting.eyewash.is_none() && !eyes.is_empty()).then(|| {
        Finding::new("place/no-eyewash", Severity::Attention, Subject::Session)
            .fact("names", listed(eyes))
            .place(&context.plan.top)
            .because(Basis::Fact {
                what: "an eyewash within ten seconds".into(),
                origin: crate::provenance::Origin::Published {
                    reference: "ansi-z358-1".into(),
                    at: String::new(),
                },
            })
    })
}

fn alone(context: &Context<'_>, eyes: &[String]) -> Option<Finding> {
    let deadly: Vec<String> = context
        .chemicals
        .iter()
        .filter(|hazards| hazards.has_statement(&["H300", "H310", "H330"]))
        .map(|hazards| hazards.chemical.name.clone())
        .collect();
    let alone = context.plan.setting.alone? && !(eyes.is_empty() && deadly.is_empty());
    alone.then(|| {
        let (severity, names) = if deadly.is_empty() {
            (Severity::Attention, eyes)
        } else {
            (Severity::Stop, deadly.as_slice())
        };
        Finding::new("place/alone", severity, Subject::Session)
            .fact("deadly", !deadly.is_empty())
            .fact("names", listed(names))
            .place(&context.plan.top)
    })
}

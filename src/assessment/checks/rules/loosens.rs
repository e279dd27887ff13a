//! Local rules looser than a built-in caution: both are said, and that the stricter acts.

use crate::finding::{Finding, Severity, Subject};
use crate::provenance::{Basis, Origin};

use super::super::Context;

/// One attention for each.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let loosened = context.rules.local.loosened.iter();
    let finding = |one: &crate::rules::Loosening| {
        let file = one.file.clone();
        Finding::new("rules/loosens", Severity::Attention, Subject::Session)
            .fact("about", one.subject.clone())
            .fact("local", one.local.clone())
            .fact("built_in", one.built_in.clone())
            .fact("authority", one.authority.clone())
            .fact("rules", one.rules.clone())
            .place(&one.place)
            .because(Basis::fact(&one.subject, &one.origin))
            .because(Basis::fact(&one.authority, &Origin::LocalRule { file }))
    };
    loosened.map(finding).collect()
}

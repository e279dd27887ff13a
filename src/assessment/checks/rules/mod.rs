//! The rules of the place against the session, and who may hold what is opened.

mod age;
mod forbidden;
mod loosens;
mod past_review;
mod required;
mod restricted;

pub use age::check as age;
pub use forbidden::check as forbidden;
pub use loosens::check as loosens;
pub use past_review::check as past_review;
pub use required::check as required;
pub use restricted::check as restricted;

use std::sync::Arc;

use crate::catalogue::Chemical;
use crate::finding::Finding;
use crate::provenance::Basis;
use crate::rules::{Rule, RuleFile};

use super::Context;

/// Everything that is opened or stands on the bench.
fn present(context: &Context<'_>) -> Vec<Arc<Chemical>> {
    let mut chemicals = context.plan.chemicals();
    for other in &context.plan.bench {
        if !chemicals.iter().any(|known| known.id == other.id) {
            chemicals.push(Arc::clone(other));
        }
    }
    chemicals
}

/// What every finding about a rule says: whose rule, why, where it stands.
fn by<T>(finding: Finding, rules: &RuleFile, rule: &Rule<T>, what: &str) -> Finding {
    finding
        .fact("rules", rules.title.clone())
        .fact("because", rule.why.clone())
        .place(&rule.place)
        .because(Basis::fact(what, &rules.origin()))
}

//! Rules and data that had to be looked at again before the day of the session.

use crate::finding::Finding;

use super::super::Context;

/// One attention for each, where the session states its day.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let Some(day) = context.plan.date else {
        return Vec::new();
    };
    let past = context.rules.local.past_review(day);
    past.iter()
        .map(|past| past.finding().place(&context.plan.top))
        .collect()
}

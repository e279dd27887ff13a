//! What must not meet, and how much gas at most.
//!
//! Two things are held against each other twice: by the reactive groups their chemicals belong
//! to, and by the equilibrium of the two in one vessel. Neither ever says that something is safe.

mod in_room;
mod limits;
mod meeting;
mod most;
mod party;
mod teller;
mod together;
mod verdict;

pub use in_room::GasInRoom;
pub use limits::{GasLimit, Over};
pub use meeting::{Amounts, Event, Meeting, Room, meet};
pub use party::{Party, Unknown};
pub use verdict::Verdict;

use crate::catalogue::{Chemical, Reaction};
use crate::finding::Severity;

/// Whether these two, in this order, are the two sides of a rule.
pub fn meets(rule: &Reaction, one: &[&Chemical], other: &[&Chemical]) -> bool {
    one.iter().any(|chemical| rule.is_a(chemical))
        && other.iter().any(|chemical| rule.is_b(chemical))
}

/// How much a rule weighs: baths of working strength may weigh less than what is in the jars.
pub fn severity(rule: &Reaction, both_diluted: bool) -> Severity {
    match rule.diluted {
        Some(diluted) if both_diluted => diluted,
        _ => rule.severity,
    }
}

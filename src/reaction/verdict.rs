//! What is said of a meeting as a whole. Never that it is safe.

use std::fmt;

use crate::finding::Severity;

use super::Event;

/// From bad to unknown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Nothing is known to happen; that is not a promise.
    NoKnownReaction,
    /// Something happens, or cannot be told.
    WithCare,
    /// Not in one vessel, sink or drum.
    KeepApart,
}

impl Verdict {
    /// Of what happens; `open` where a figure it rests on could not be computed.
    pub(super) fn of(events: &[Event], open: bool) -> Self {
        let worst = events.iter().map(|event| event.severity).max();
        match worst {
            Some(Severity::Stop) => Self::KeepApart,
            Some(_) => Self::WithCare,
            None if open => Self::WithCare,
            None => Self::NoKnownReaction,
        }
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoKnownReaction => "no known reaction",
            Self::WithCare => "with care",
            Self::KeepApart => "keep apart",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_open_is_never_no_reaction() {
        assert_eq!(Verdict::of(&[], true), Verdict::WithCare);
        assert_eq!(Verdict::of(&[], false), Verdict::NoKnownReaction);
    }
}

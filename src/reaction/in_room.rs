//! A gas in the air of a room.

use crate::chemistry::Trace;
use crate::session::Amount;

use super::{GasLimit, Over};

/// A gas, how much of it at most, and what that is in the room.
#[derive(Debug, Clone)]
pub struct GasInRoom {
    /// Its formula.
    pub symbol: String,
    /// Its name.
    pub name: String,
    /// The greatest amount, g; nothing where it cannot be computed.
    pub greatest_g: Option<f64>,
    /// What is known gives at most so much, g; what is not known may give more.
    pub from_known_g: Option<f64>,
    /// The amounts of both that give off the most, where that is not all of both.
    pub worst: Option<(Amount, Amount)>,
    /// That amount in the room's air, evenly mixed, mg/m³.
    pub room_mg_per_m3: Option<f64>,
    /// Every limit on file, the lowest first; empty where none is on file.
    pub limits: Vec<GasLimit>,
    /// How the amount came about.
    pub traces: Vec<Trace>,
}

impl GasInRoom {
    /// The lowest limit of a kind.
    pub fn lowest(&self, over: Over) -> Option<&GasLimit> {
        self.limits.iter().find(|limit| limit.over == over)
    }

    /// The highest limit that the greatest amount passes.
    pub fn passes(&self) -> Option<&GasLimit> {
        let in_room = self.room_mg_per_m3?;
        self.limits
            .iter()
            .rev()
            .find(|limit| in_room >= limit.mg_per_m3)
    }

    /// Whether nothing shows that it stays below every limit.
    pub(super) fn may_harm(&self) -> bool {
        match self.greatest_g {
            Some(grams) if grams <= 0.0 => false,
            Some(_) => self.limits.is_empty() || self.passes().is_some(),
            None => true,
        }
    }
}

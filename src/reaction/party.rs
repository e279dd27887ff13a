//! One of two things that meet.

use std::sync::Arc;

use crate::catalogue::Chemical;
use crate::chemistry::Bath;

/// A bath or a chemical, and how much of it.
#[derive(Debug, Clone)]
pub struct Party {
    /// What it is called.
    pub name: String,
    /// How much, in words.
    pub amount: String,
    /// The chemicals in it.
    pub chemicals: Vec<Arc<Chemical>>,
    /// What it is in terms of components, or why that is not known.
    pub bath: Result<Bath, String>,
    /// Whether it is a bath: already in solution, at working strength or near it.
    pub is_bath: bool,
}

impl Party {
    /// Its chemicals.
    pub fn chemicals(&self) -> Vec<&Chemical> {
        self.chemicals.iter().map(|chemical| &**chemical).collect()
    }

    /// Share of water by mass that is there before anything dissolves: crystal water is none.
    pub(super) fn water_share(&self) -> f64 {
        let solid = !self.is_bath && self.chemicals.iter().all(|chemical| chemical.is_solid());
        if solid {
            0.0
        } else {
            self.bath.as_ref().map_or(0.0, Bath::water_share)
        }
    }
}

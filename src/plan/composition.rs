//! What stands in a vessel.

use std::collections::BTreeMap;

use crate::catalogue::Chemical;
use crate::units::{Mass, Volume};

/// Masses of what was put together, by catalogue entry; water apart.
///
/// Nothing has reacted here: sulfite stays sulfite. The volume is what the recipe says where it
/// says so, otherwise the water's: chemistry knows better and states its error.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Composition {
    /// Grams by entry, as it came from the jar.
    pub solutes: BTreeMap<String, f64>,
    /// Grams of water poured in.
    pub water_g: f64,
    /// The volume, when the recipe fixes it.
    pub volume: Option<Volume>,
}

impl Composition {
    /// Adds a chemical.
    pub fn add(&mut self, chemical: &Chemical, mass: Mass) {
        *self.solutes.entry(chemical.id.clone()).or_default() += mass.grams();
        self.volume = None;
    }

    /// Adds water.
    pub fn add_water(&mut self, mass: Mass) {
        self.water_g += mass.grams();
        self.volume = None;
    }

    /// Everything together, in grams.
    pub fn total_g(&self) -> f64 {
        self.water_g + self.solutes.values().sum::<f64>()
    }

    /// Litres: the recipe's, or a litre a kilogram (within a few per cent for weak solutions,
    /// up to a third too much for strong ones).
    pub fn litres(&self) -> f64 {
        self.volume.map_or(self.total_g() / 1000.0, Volume::litres)
    }

    /// Grams per litre of one entry.
    pub fn grams_per_litre(&self, id: &str) -> f64 {
        let litres = self.litres();
        let grams = self.solutes.get(id).copied().unwrap_or(0.0);
        if litres > 0.0 { grams / litres } else { 0.0 }
    }

    /// Weight per cent of one entry.
    pub fn percent(&self, id: &str) -> f64 {
        let total = self.total_g();
        let grams = self.solutes.get(id).copied().unwrap_or(0.0);
        if total > 0.0 {
            100.0 * grams / total
        } else {
            0.0
        }
    }
}

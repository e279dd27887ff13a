//! Amounts as whole numbers, so that no sum ever rounds.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::units::{Mass, Volume};

/// What an amount counts.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Unit {
    /// Microlitres.
    #[default]
    #[serde(rename = "uL")]
    Microlitre,
    /// Nanograms.
    #[serde(rename = "ng")]
    Nanogram,
}

/// A volume in whole microlitres or a mass in whole nanograms, not below zero.
///
/// A volume of the program's range (100 000 L) is 10¹¹ µL and a mass (10 t) is 10¹⁶ ng, so the
/// sums of a million entries stay inside 63 bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Amount {
    /// What is counted.
    pub unit: Unit,
    /// How many.
    pub count: i64,
}

impl Amount {
    /// A volume, to the nearest microlitre.
    pub fn volume(volume: Volume) -> Self {
        Self {
            unit: Unit::Microlitre,
            count: libm::round(volume.litres() * 1e6) as i64,
        }
    }

    /// A mass, to the nearest nanogram.
    pub fn mass(mass: Mass) -> Self {
        Self {
            unit: Unit::Nanogram,
            count: libm::round(mass.grams() * 1e9) as i64,
        }
    }
}

impl Unit {
    /// As stored.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Microlitre => "uL",
            Self::Nanogram => "ng",
        }
    }

    /// From what is stored.
    pub fn from_stored(text: &str) -> Option<Self> {
        match text {
            "uL" => Some(Self::Microlitre),
            "ng" => Some(Self::Nanogram),
            _ => None,
        }
    }

    /// So many of this unit in litres or kilograms.
    pub fn in_litres_or_kilograms(self, count: i64) -> f64 {
        match self {
            Self::Microlitre => count as f64 / 1e6,
            Self::Nanogram => count as f64 / 1e12,
        }
    }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let value = crate::units::significant(self.unit.in_litres_or_kilograms(self.count), 6);
        let unit = match self.unit {
            Unit::Microlitre => "L",
            Unit::Nanogram => "kg",
        };
        write!(f, "{value}\u{a0}{unit}")
    }
}

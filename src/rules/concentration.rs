//! A concentration in air as rule files write it: `1 mg/m3`, `0.5 ppm`.

use std::fmt;
use std::str::FromStr;

use crate::units::{UnitError, read_quantity, significant};

const WHAT: &str = "a concentration in air";
const KNOWN: &str = "mg/m3, µg/m3, ppm and ppb";
const EXAMPLE: &str = "1 mg/m3";
const MG_PER_M3: &[(&[&str], f64)] = &[(&["mg/m3"], 1.0), (&["µg/m3", "ug/m3"], 1e-3)];
const PPM: &[(&[&str], f64)] = &[(&["ppm"], 1.0), (&["ppb"], 1e-3)];

/// A limit below this is a slip of the pen; above the other, no air.
const LEAST: f64 = 1e-9;
const MOST: f64 = 1e6;

/// Litres a mole of gas takes at 25 °C and 1 atm: the basis of printed limits.
const MOLAR_VOLUME: f64 = 24.45;

/// A concentration in air, above 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Concentration {
    /// mg/m³.
    MgPerM3(f64),
    /// Parts by volume in a million.
    Ppm(f64),
}

impl Concentration {
    /// mg/m³; ppm needs the molar mass in g/mol.
    pub fn mg_per_m3(self, molar_mass: Option<f64>) -> Option<f64> {
        match self {
            Self::MgPerM3(value) => Some(value),
            Self::Ppm(value) => molar_mass.map(|mass| value * mass / MOLAR_VOLUME),
        }
    }

    /// Whether it is written in ppm.
    pub const fn is_ppm(self) -> bool {
        matches!(self, Self::Ppm(_))
    }

    /// The ppm written, if it is.
    pub const fn ppm(self) -> Option<f64> {
        match self {
            Self::Ppm(value) => Some(value),
            Self::MgPerM3(_) => None,
        }
    }

    /// Figure and unit, as data files write them.
    pub const fn parts(self) -> (f64, &'static str) {
        match self {
            Self::MgPerM3(value) => (value, "mg/m3"),
            Self::Ppm(value) => (value, "ppm"),
        }
    }
}

impl fmt::Display for Concentration {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::MgPerM3(value) => write!(f, "{} mg/m³", significant(*value, 3)),
            Self::Ppm(value) => write!(f, "{} ppm", significant(*value, 3)),
        }
    }
}

impl FromStr for Concentration {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let plain = text.replace('³', "3");
        let read = |units| read_quantity(&plain, WHAT, units, KNOWN, EXAMPLE);
        let value = match read(MG_PER_M3) {
            Err(UnitError::UnknownUnit { .. }) => read(PPM).map(Self::Ppm),
            other => other.map(Self::MgPerM3),
        }
        .map_err(|error| error.to_string())?;
        if (LEAST..=MOST).contains(&value.parts().0) {
            Ok(value)
        } else {
            Err(format!(
                "`{text}` is out of range: more than 0, at most {MOST}"
            ))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_told_apart() {
        for (text, value) in [
            ("1 mg/m3", Some(Concentration::MgPerM3(1.0))),
            ("0,5 ppm", Some(Concentration::Ppm(0.5))),
            ("500 µg/m³", Some(Concentration::MgPerM3(0.5))),
            ("50 ppb", Some(Concentration::Ppm(0.05))),
            ("1 mg/L", None),
            ("0 ppm", None),
            ("-1 ppm", None),
            ("ppm", None),
            ("nan ppm", None),
            ("1", None),
        ] {
            assert_eq!(text.parse().ok(), value, "{text}");
        }
    }

    /// NIOSH Pocket Guide: sulfur dioxide, 2 ppm are 5 mg/m³ (5.24 unrounded).
    #[test]
    fn parts_in_a_million_become_weight() {
        let mg = Concentration::Ppm(2.0).mg_per_m3(Some(64.06)).unwrap();
        assert!((mg - 5.24).abs() < 0.01, "{mg}");
        assert_eq!(Concentration::Ppm(2.0).mg_per_m3(None), None);
    }
}

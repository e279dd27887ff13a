//! Density of a bath, and from it volume and composition.
//!
//! Laliberté and Cooper, J. Chem. Eng. Data 49 (2004) 1141: 1/ρ = w_water/ρ_water + Σ w v, with
//! an apparent volume v for each solute that depends on temperature and on how much solute there
//! is in all. Solutes without coefficients get a table at 20 °C, the volumes of related solutes,
//! or bounds for their sort, in that order; the bounds of the result follow from theirs.

use crate::chemistry::Chemistry;
use crate::chemistry::bath::Bath;
use crate::chemistry::figure::{Figure, Input, Trace};
use crate::chemistry::file::Kind;
use crate::chemistry::water;
use crate::provenance::Origin;

const FORMULA: &str =
    "1/ρ = w(water)/ρ(water) + Σ w v (Laliberté and Cooper, J. Chem. Eng. Data 49 (2004) 1141)";

impl Chemistry {
    /// Density of a bath at its temperature, kg/L.
    pub fn density(&self, bath: &Bath) -> Figure {
        let mass = bath.mass_kg * 1000.0;
        let solutes: f64 = bath
            .contents
            .iter()
            .map(|content| content.solute_grams)
            .sum();
        let fraction = if mass > 0.0 {
            (solutes / mass).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let made = Origin::Computed {
            formula: "Kell's equation".to_owned(),
        };
        let mut inputs = vec![Input::new(
            "density of water",
            water::density(bath.celsius) / 1000.0,
            "kg/L",
            &made,
        )];
        let mut remarks = Vec::new();
        let mut litres_per_kg = (1.0 - fraction) * 1000.0 / water::density(bath.celsius);
        let mut error = 0.0;
        for content in &bath.contents {
            let kind = self.kind_of(&content.solute).unwrap_or(Kind::Salt);
            let found = self
                .volumes
                .apparent(&content.solute, kind, fraction, bath.celsius);
            let Some((apparent, origin)) = found else {
                continue;
            };
            let share = if mass > 0.0 {
                content.solute_grams / mass
            } else {
                0.0
            };
            litres_per_kg += share * apparent.volume;
            error += share * apparent.error;
            inputs.push(Input::new(
                format!("apparent volume of {}", content.solute),
                apparent.volume,
                "mL/g",
                &origin,
            ));
            if !self.volumes.knows(&content.solute) {
                remarks.push(format!(
                    "no density data for {}: bounds for its sort",
                    content.chemical
                ));
            }
        }
        let value = 1.0 / litres_per_kg.max(0.1);
        let spread = if fraction > 0.0 {
            self.volumes.expected_error
        } else {
            0.0002
        };
        let margin = value * (spread + error * value);
        Figure::around(
            value,
            margin,
            "kg/L",
            Trace {
                formula: FORMULA,
                inputs,
                remarks,
                result: String::new(),
            },
        )
    }
}

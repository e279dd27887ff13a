//! What drives matter from a bath into the air.

use std::collections::BTreeMap;

use crate::catalogue::DataError;
use crate::chemistry::component::Components;
use crate::chemistry::file::{VapourFile, VapoursFile};
use crate::chemistry::water::{REFERENCE_KELVIN, ZERO_CELSIUS};
use crate::provenance::{Origin, Sourced};

const FILE: &str = "hazards/physical/vapour.yaml";
/// Pa in an atmosphere.
const ATMOSPHERE: f64 = 101_325.0;

/// Henry constants, vapour pressures and diffusion coefficients by name of the matter.
#[derive(Debug, Clone)]
pub struct Vapours {
    of: BTreeMap<String, VapourFile>,
}

impl Vapours {
    pub(super) fn from_file(file: VapoursFile, components: &Components) -> Result<Self, DataError> {
        for (name, vapour) in &file.vapours {
            if let Some(molecule) = &vapour.molecule
                && components.form(molecule).is_none()
            {
                return Err(DataError::new(
                    FILE,
                    format!("`{name}`: no component has `{molecule}`"),
                ));
            }
        }
        Ok(Self { of: file.vapours })
    }

    /// What there are data for.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.of.keys().map(String::as_str)
    }

    /// The name of what a molecule of the equilibrium evaporates as.
    pub fn of_molecule(&self, molecule: &str) -> Option<&str> {
        let found = self
            .of
            .iter()
            .find(|(_, vapour)| vapour.molecule.as_deref() == Some(molecule))?;
        Some(found.0.as_str())
    }

    /// g/mol.
    pub fn molar_mass(&self, name: &str) -> Option<f64> {
        Some(self.of.get(name)?.molar_mass)
    }

    /// Henry constant, mol/(kg Pa), of the molecule as such; the best value.
    pub fn henry(&self, name: &str, celsius: f64) -> Option<Sourced<f64>> {
        let henry = self.of.get(name)?.henry.as_ref()?;
        Some(Sourced::new(
            henry.mol_per_kg_atm / ATMOSPHERE * cooler(henry.b, celsius),
            henry.from.clone(),
        ))
    }

    /// The least Henry constant of the sources, mol/(kg Pa): the most in the air.
    pub fn least_henry(&self, name: &str, celsius: f64) -> Option<Sourced<f64>> {
        let henry = self.of.get(name)?.henry.as_ref()?;
        let origin = henry.least_from.as_ref().unwrap_or(&henry.from);
        let least = henry.least.unwrap_or(henry.mol_per_kg_atm);
        Some(Sourced::new(
            least / ATMOSPHERE * cooler(henry.b, celsius),
            origin.clone(),
        ))
    }

    /// Vapour pressure of the pure liquid, Pa.
    pub fn pressure(&self, name: &str, celsius: f64) -> Option<Sourced<f64>> {
        let antoine = self.of.get(name)?.antoine.as_ref()?;
        let exponent = antoine.a - antoine.b / (celsius + ZERO_CELSIUS + antoine.c);
        Some(Sourced::new(
            libm::pow(10.0, exponent),
            antoine.from.clone(),
        ))
    }

    /// Diffusion coefficient in air at 1 atm, m²/s.
    pub fn diffusion(&self, name: &str, celsius: f64) -> Option<Sourced<f64>> {
        let diffusion = self.of.get(name)?.diffusion.as_ref()?;
        let warmer = libm::pow((celsius + ZERO_CELSIUS) / REFERENCE_KELVIN, 1.75);
        Some(Sourced::new(
            diffusion.cm2_per_s * 1e-4 * warmer,
            diffusion.from.clone(),
        ))
    }

    /// Pressure of all the matter in the vapour, counted as single molecules, Pa, where `single`
    /// is that of the single ones: carboxylic acids pair up, and the pairs come apart in the room.
    pub fn with_pairs(&self, name: &str, single: f64, celsius: f64) -> f64 {
        match self.of.get(name).and_then(|vapour| vapour.dimers.as_ref()) {
            Some(dimers) => {
                let per_mmhg = libm::pow(10.0, dimers.a + dimers.b / (celsius + ZERO_CELSIUS));
                single + 2.0 * per_mmhg / (ATMOSPHERE / 760.0) * single * single
            }
            None => single,
        }
    }

    /// Where the pairing constant is from, if the vapour pairs.
    pub fn pairing_origin(&self, name: &str) -> Option<&Origin> {
        Some(&self.of.get(name)?.dimers.as_ref()?.from)
    }
}

fn cooler(b: f64, celsius: f64) -> f64 {
    libm::exp(b * (1.0 / (celsius + ZERO_CELSIUS) - 1.0 / REFERENCE_KELVIN))
}

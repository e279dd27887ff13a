//! Activity coefficients by specific ion interaction theory (SIT).
//!
//! log10 γ = −z² A √I / (1 + 1.5 √I) + Σ ε m over ions of the other sign; neutral molecules have
//! γ = 1 (Guggenheim and Scatchard; Ciavatta 1980; the theory as the NEA reviews use it). The
//! Debye–Hückel term is also the convention of the pH standards (Bates and Guggenheim). ε are
//! values for 25 °C, used at every temperature. Good to about 3.5 mol/kg; above
//! [`GREATEST_STRENGTH`] the ε term is held at its value there, and the bounds widen.

use core::f64::consts::LN_10;

use libm::{log, sqrt};

use crate::catalogue::DataError;
use crate::chemistry::component::Components;
use crate::chemistry::file::{ActivityFile, ValueFile};
use crate::chemistry::system::System;
use crate::provenance::Origin;

const FILE: &str = "hazards/physical/activity.yaml";

/// Ionic strength, mol/kg, above which interaction terms are no longer allowed to grow.
pub const GREATEST_STRENGTH: f64 = 6.0;

/// An interaction coefficient.
#[derive(Debug, Clone)]
pub struct Epsilon {
    /// kg/mol.
    pub value: f64,
    /// Where it is from.
    pub origin: Origin,
}

/// Interaction coefficients by pairs of ions.
#[derive(Debug, Clone)]
pub struct Interactions {
    /// For each form by number: the anions it has a coefficient with.
    by_cation: Vec<Vec<(usize, Epsilon)>>,
    /// The same as bare numbers, times ln 10, for the solver.
    ln_by_cation: Vec<Vec<(usize, f64)>>,
    /// What a pair without a coefficient counts as, and how sure that is.
    pub unlisted: ValueFile,
    /// How sure a listed coefficient is (one standard deviation, kg/mol).
    pub listed_uncertainty: f64,
}

impl Interactions {
    /// From `activity.yaml`.
    pub(super) fn from_file(
        file: ActivityFile,
        components: &Components,
    ) -> Result<Self, DataError> {
        let file = file.specific_ion_interaction;
        let number = |ion: &str| {
            components
                .form_number(ion)
                .ok_or_else(|| DataError::new(FILE, format!("no component has the ion `{ion}`")))
        };
        let mut by_cation = vec![Vec::new(); components.form_count()];
        for block in file.pairs {
            for (cation, anions) in block.epsilon {
                let at = number(&cation)?;
                for (anion, value) in anions {
                    let epsilon = Epsilon {
                        value,
                        origin: block.from.clone(),
                    };
                    if let Some(list) = by_cation.get_mut(at) {
                        list.push((number(&anion)?, epsilon));
                    }
                }
            }
        }
        let bare = |list: &Vec<(usize, Epsilon)>| {
            let values = list.iter();
            values
                .map(|(anion, epsilon)| (*anion, epsilon.value * LN_10))
                .collect()
        };
        Ok(Self {
            ln_by_cation: by_cation.iter().map(bare).collect(),
            by_cation,
            unlisted: file.unlisted,
            listed_uncertainty: file.listed_uncertainty.value,
        })
    }

    /// ε ln 10 of a cation with anions (by form number).
    pub(super) fn ln_of_cation(&self, form: usize) -> &[(usize, f64)] {
        self.ln_by_cation.get(form).map_or(&[], Vec::as_slice)
    }

    /// The anions (by form number) that a cation has coefficients with.
    pub fn of_cation(&self, form: usize) -> &[(usize, Epsilon)] {
        self.by_cation.get(form).map_or(&[], Vec::as_slice)
    }
}

/// The Debye–Hückel term D of log10 γ = −z² D, for a slope A and an ionic strength in mol/kg.
pub(super) fn debye_term(slope: f64, ionic_strength: f64) -> f64 {
    let root = sqrt(ionic_strength.max(0.0));
    slope * root / (1.0 + 1.5 * root)
}

/// Change of the [`debye_term`] with the ionic strength.
pub(super) fn debye_change(slope: f64, ionic_strength: f64) -> f64 {
    let root = sqrt(ionic_strength.max(f64::MIN_POSITIVE));
    let below = 1.0 + 1.5 * root;
    slope / (2.0 * root * below * below)
}

/// The share of the ε terms that counts at an ionic strength.
pub(super) fn held_share(ionic_strength: f64) -> f64 {
    if ionic_strength > GREATEST_STRENGTH {
        GREATEST_STRENGTH / ionic_strength
    } else {
        1.0
    }
}

/// The water activity for all matter dissolved, mol/kg.
pub(super) fn water_activity(all: f64) -> f64 {
    (1.0 - 0.017 * all).max(0.3)
}

impl System {
    /// The ionic strength of amounts, mol/kg.
    pub(super) fn strength(&self, molality: &[f64]) -> f64 {
        let amounts = self.species.iter().zip(molality);
        0.5 * amounts
            .map(|(species, amount)| species.charge * species.charge * amount)
            .sum::<f64>()
    }

    /// Writes ln γ of all forms; gives ln of the water activity and the ionic strength.
    pub(super) fn activity(&self, molality: &[f64], ln_gamma: &mut [f64]) -> (f64, f64) {
        let strength = self.strength(molality);
        let debye = debye_term(self.slope, strength);
        for (value, species) in ln_gamma.iter_mut().zip(&self.species) {
            *value = -species.charge * species.charge * debye;
        }
        let held = held_share(strength);
        for pair in &self.pairs {
            ln_gamma[pair.cation] += held * pair.epsilon * molality[pair.anion];
            ln_gamma[pair.anion] += held * pair.epsilon * molality[pair.cation];
        }
        (log(water_activity(molality.iter().sum())), strength)
    }
}

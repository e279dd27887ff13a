//! What stands over a bath: the pressure each dissolved gas or liquid would reach in closed air.

use crate::chemistry::Chemistry;
use crate::chemistry::equilibrium::{Equilibrium, Ph};
use crate::chemistry::figure::{Figure, Input, Trace};

const FORMULA: &str = "p = m / k(T), k Henry's constant of the molecule as such; pairs in the vapour of \
carboxylic acids counted as two";
/// The activity of a molecule in a bath of salts: up to so much higher in log10 γ per mol/kg.
const SALTING_OUT: f64 = 0.15;
/// Henry constants are known to about this share.
const CONSTANT_ERROR: f64 = 0.2;

/// One volatile molecule over a bath.
#[derive(Debug, Clone)]
pub struct Pressure {
    /// What evaporates, by its name in the vapour data.
    pub name: String,
    /// The molecule in the bath.
    pub molecule: String,
    /// Pa in equilibrium with the bath; `high` is the one to be safe with.
    pub pressure: Figure,
}

impl Chemistry {
    /// The equilibrium pressures over a bath at a temperature in °C. Nothing where the pH is not
    /// computed, except for molecules that do not depend on it.
    pub fn pressures_over(&self, equilibrium: &Equilibrium, celsius: f64) -> Vec<Pressure> {
        equilibrium
            .species
            .iter()
            .filter(|(_, molality)| **molality > 0.0)
            .filter_map(|(molecule, molality)| {
                self.pressure_of(molecule, *molality, equilibrium, celsius)
            })
            .collect()
    }

    fn pressure_of(
        &self,
        molecule: &str,
        molality: f64,
        equilibrium: &Equilibrium,
        celsius: f64,
    ) -> Option<Pressure> {
        let name = self.vapours.of_molecule(molecule)?;
        let best = self.vapours.henry(name, celsius)?;
        let least = self.vapours.least_henry(name, celsius)?;
        let value = self
            .vapours
            .with_pairs(name, molality / best.value, celsius);
        let salt = libm::pow(10.0, SALTING_OUT * equilibrium.ionic_strength.min(4.0));
        let most = molality * self.greatest_share(molecule, molality, equilibrium) * salt
            / (least.value * (1.0 - CONSTANT_ERROR));
        let high = self.vapours.with_pairs(name, most, celsius);
        let mut trace = Trace {
            formula: FORMULA,
            ..Trace::default()
        };
        for (what, constant) in [("Henry constant", &best), ("least Henry constant", &least)] {
            trace.inputs.push(Input::new(
                format!("{what} of {name} at {celsius} °C"),
                constant.value,
                "mol/(kg Pa)",
                &constant.origin,
            ));
        }
        trace
            .remarks
            .push("the upper bound allows for salting out and for the bounds of the pH".to_owned());
        trace.result = format!("{value:.3e} Pa, at most {high:.3e} Pa");
        let low = value / (1.0 + CONSTANT_ERROR) / (high / value).max(1.0);
        let unit = "Pa";
        Some(Pressure {
            name: name.to_owned(),
            molecule: molecule.to_owned(),
            pressure: Figure {
                value,
                low,
                high,
                unit,
                trace,
            },
        })
    }

    /// By how much more of the molecule there may be within the bounds of the pH: a tenfold for
    /// each unit, but no more than all of its component.
    fn greatest_share(&self, molecule: &str, molality: f64, equilibrium: &Equilibrium) -> f64 {
        let Ph::Computed(ph) = &equilibrium.ph else {
            return 1.0;
        };
        let Some((index, _)) = self.components.form(molecule) else {
            return 1.0;
        };
        let Some(component) = self.components.get(index) else {
            return 1.0;
        };
        if component.forms.len() < 2 {
            return 1.0;
        }
        let of = |name: &str| equilibrium.species.get(name).copied().unwrap_or(0.0);
        let total: f64 = component
            .forms
            .iter()
            .map(|form| form.units * of(&form.name))
            .sum();
        let off = (ph.high - ph.value).max(ph.value - ph.low);
        libm::pow(10.0, 2.0 * off).min(total / molality).max(1.0)
    }
}

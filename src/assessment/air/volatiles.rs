//! What a bath can give off: chemistry's molecules in the terms of the air.

use std::collections::BTreeSet;

use crate::air::{Gas, Gases, Held, Volatile};
use crate::assessment::{BathChemistry, BathFigures};
use crate::catalogue::Catalogue;
use crate::chemistry::{Chemistry, Component, Ph};
use crate::units::Temperature;

/// Pa in an atmosphere.
const ATMOSPHERE: f64 = 101_325.0;
/// Below this share of water a bath is no solution in water.
const LEAST_WATER: f64 = 0.25;

/// What the answer is worked out with.
#[derive(Debug, Clone, Copy)]
pub struct Sources<'a> {
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// Dissolved matter.
    pub chemistry: &'a Chemistry,
    /// Gases on file.
    pub gases: &'a Gases,
}

/// What is known of the vapours of a bath.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Vapours {
    /// What can be computed.
    pub known: Vec<Volatile>,
    /// Why something, or everything, cannot.
    pub unknown: Option<String>,
}

impl Sources<'_> {
    /// The vapours of a bath made of these chemicals, at a temperature.
    pub fn vapours(&self, bath: &BathFigures, chemicals: &[&str], at: Temperature) -> Vapours {
        match &bath.chemistry {
            Ok(bath) if bath.bath.water_share() >= LEAST_WATER => self.over_water(bath, at),
            Ok(_) => self.over_liquids(chemicals, "hardly any of it is water"),
            Err(why) => self.over_liquids(chemicals, why),
        }
    }

    fn over_water(&self, bath: &BathChemistry, at: Temperature) -> Vapours {
        let litres = bath.composition.volume.value;
        let per_litre = if litres > 0.0 {
            bath.bath.water_kg / litres
        } else {
            0.0
        };
        let species = bath.equilibrium.species.iter();
        let known =
            species
                .filter(|(_, molality)| **molality > 0.0)
                .filter_map(|(molecule, molality)| {
                    let gas = self.gas_of(molecule)?;
                    let free = molality * per_litre;
                    Some(Volatile {
                        gas: gas.id.clone(),
                        held: held(gas, free, self.reservoir(molecule, bath) * per_litre, at),
                    })
                });
        Vapours {
            known: known.collect(),
            unknown: self.hidden(bath),
        }
    }

    /// Liquids without chemistry count as if each stood there pure: none gives off more.
    fn over_liquids(&self, chemicals: &[&str], why: &str) -> Vapours {
        let jars = chemicals
            .iter()
            .filter_map(|id| self.catalogue.chemical(id));
        let gases: BTreeSet<&str> = jars
            .flat_map(|jar| self.liquids(&jar))
            .map(|(gas, _)| gas.id.as_str())
            .collect();
        let pure = |gas: &str| Volatile {
            gas: gas.to_owned(),
            held: PURE,
        };
        Vapours {
            known: gases.into_iter().map(pure).collect(),
            unknown: Some(why.to_owned()),
        }
    }

    fn gas_of(&self, molecule: &str) -> Option<&Gas> {
        let evaporates_as = self.chemistry.vapours().of_molecule(molecule);
        evaporates_as
            .and_then(|name| self.gases.find(name))
            .or_else(|| self.gases.find(molecule))
    }

    /// All forms an acid or base can quickly turn back into the molecule, mol/kg water.
    fn reservoir(&self, molecule: &str, bath: &BathChemistry) -> f64 {
        let component = self.component(molecule);
        let forms = component.map_or([].as_slice(), |component| component.forms.as_slice());
        let of = |name: &str| bath.equilibrium.species.get(name).copied().unwrap_or(0.0);
        forms
            .iter()
            .map(|form| form.units * of(&form.name))
            .sum::<f64>()
            .max(of(molecule))
    }

    fn component(&self, molecule: &str) -> Option<&Component> {
        let (index, _) = self.chemistry.components().form(molecule)?;
        self.chemistry.components().get(index)
    }

    /// Why gases that hang on the pH cannot be computed, where some are there and it is unknown.
    fn hidden(&self, bath: &BathChemistry) -> Option<String> {
        let Ph::NotComputed { why } = &bath.equilibrium.ph else {
            return None;
        };
        let components = self.chemistry.components();
        let hides = |component: &Component| {
            component.forms.iter().any(|form| {
                self.gas_of(&form.name).is_some()
                    && !bath.equilibrium.species.contains_key(&form.name)
            })
        };
        let there = bath.bath.amounts.iter().filter(|(_, moles)| *moles > 0.0);
        there
            .filter_map(|(index, _)| components.get(*index))
            .any(hides)
            .then(|| why.clone())
    }
}

const PURE: Held = Held::Liquid {
    mole_fraction: 1.0,
    activity_coefficient: 1.0,
};

/// Henry's law holds for little in much water: past the pure liquid's own pressure that counts.
fn held(gas: &Gas, free_mol_per_l: f64, reservoir_mol_per_l: f64, at: Temperature) -> Held {
    let kelvin = at.celsius() + 273.15;
    let by_henry = gas
        .henry
        .known()
        .map(|henry| free_mol_per_l / henry.value.at(kelvin) * ATMOSPHERE);
    let pure = gas
        .vapour_pressure
        .as_ref()
        .map(|antoine| antoine.value.pascal(kelvin));
    match (by_henry, pure) {
        (Some(by_henry), Some(pure)) if by_henry > pure => PURE,
        (None, Some(_)) => PURE,
        _ => Held::Dissolved {
            free_mol_per_l,
            reservoir_mol_per_l: Some(reservoir_mol_per_l),
        },
    }
}

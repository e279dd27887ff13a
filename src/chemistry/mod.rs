//! What a bath is: composition, density, pH, heat, what dissolves, what can leave as a gas.
//!
//! Takes a [`Makeup`] (what was weighed) and gives figures, each between bounds and with a
//! [`Trace`] of how it came about. All data are in `hazards/physical/`; here is only reasoning.
//! Acids and bases are in equilibrium; oxidation, complexes of metals and slow decomposition are
//! not computed, and where they could matter no pH is given ([`Ph::NotComputed`]).

mod activity;
mod bath;
mod component;
mod composition;
mod density;
mod dissolution;
mod equilibrium;
mod figure;
mod file;
mod gases;
mod heat;
mod heats;
mod joint;
mod makeup;
mod meet;
mod pressures;
mod range;
mod settle;
mod solids;
mod solubility;
mod solve;
mod spread;
mod system;
mod table;
#[cfg(test)]
mod tests;
mod vapour;
mod volumes;
mod water;

pub use bath::{Bath, Content};
pub use component::{Component, Components, Constant, Form};
pub use composition::{Composition, Share};
pub use dissolution::{Dissolution, Solute};
pub use equilibrium::{Equilibrium, Ph};
pub use figure::{Figure, Input, Trace};
pub use file::Kind;
pub use gases::Gas;
pub use heat::Heated;
pub use makeup::{ChemistryError, Dissolved, Makeup};
pub use meet::Meeting;
pub use pressures::Pressure;
pub use solubility::{Dissolves, Saturation, Solubility};
pub use solve::State;
pub use system::{Species, System};
pub use vapour::Vapours;

use crate::catalogue::{DataError, DataFiles};
use crate::units::Temperature;
use activity::Interactions;

/// Everything known about dissolved matter.
#[derive(Debug, Clone)]
pub struct Chemistry {
    components: Components,
    interactions: Interactions,
    dissolution: Dissolution,
    volumes: volumes::Volumes,
    heats: heats::Heats,
    solids: solids::Solids,
    gas_rules: gases::GasRules,
    vapours: Vapours,
    /// Most baths stand at room temperature.
    room: water::Conditions,
}

impl Chemistry {
    /// Reads `hazards/physical/`.
    ///
    /// # Errors
    /// When a file is missing or malformed, or refers to what is not there.
    pub fn load(files: &DataFiles) -> Result<Self, DataError> {
        let components = Components::from_file(files.read("hazards/physical/acids.yaml")?)?;
        let interactions =
            Interactions::from_file(files.read("hazards/physical/activity.yaml")?, &components)?;
        let dissolution = Dissolution::from_file(
            files.read("hazards/physical/dissolution.yaml")?,
            &components,
        )?;
        let heats = files.read("hazards/physical/heat-of-solution.yaml")?;
        let capacities = files.read("hazards/physical/heat-capacity.yaml")?;
        let solids = files.read("hazards/physical/solubility.yaml")?;
        Ok(Self {
            volumes: volumes::Volumes::from_file(
                files.read("hazards/physical/density.yaml")?,
                &dissolution,
            )?,
            heats: heats::Heats::from_files(heats, capacities, &dissolution)?,
            solids: solids::Solids::from_file(solids, &components, &dissolution)?,
            gas_rules: gases::GasRules::from_file(
                files.read("hazards/physical/gases.yaml")?,
                &components,
            )?,
            vapours: Vapours::from_file(files.read("hazards/physical/vapour.yaml")?, &components)?,
            room: water::Conditions::at(Temperature::ROOM.celsius()),
            components,
            interactions,
            dissolution,
        })
    }

    /// Henry constants, vapour pressures, diffusion coefficients.
    pub fn vapours(&self) -> &Vapours {
        &self.vapours
    }

    /// The components matter is counted in.
    pub fn components(&self) -> &Components {
        &self.components
    }

    /// Which solute a chemical is, and what it gives in water.
    pub fn dissolution(&self) -> &Dissolution {
        &self.dissolution
    }

    /// What a makeup becomes in water.
    ///
    /// # Errors
    /// As [`Dissolution::bath`].
    pub fn bath(&self, makeup: &Makeup) -> Result<Bath, ChemistryError> {
        self.dissolution.bath(makeup)
    }

    /// A bath given by its components, mol per kg of water, at a temperature in °C: for reference
    /// solutions that are stated so. An amount below zero counts as none.
    ///
    /// # Errors
    /// A component the data do not know.
    pub fn bath_of_components(
        &self,
        amounts: &[(&str, f64)],
        celsius: f64,
    ) -> Result<Bath, ChemistryError> {
        let amounts = amounts
            .iter()
            .map(|(name, molality)| {
                let index = self.components.index(name);
                Ok((
                    index.ok_or_else(|| ChemistryError::UnknownComponent((*name).to_owned()))?,
                    molality.max(0.0),
                ))
            })
            .collect::<Result<Vec<_>, ChemistryError>>()?;
        Ok(Bath {
            water_kg: 1.0,
            mass_kg: 1.0,
            celsius,
            contents: Vec::new(),
            amounts,
        })
    }

    fn kind_of(&self, solute: &str) -> Option<Kind> {
        self.dissolution.solute(solute).map(|solute| solute.kind)
    }

    fn unknown_of(&self, solute: &str) -> Option<&str> {
        self.dissolution.solute(solute)?.unknown.as_deref()
    }
}

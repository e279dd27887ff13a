//! How the data files of `hazards/physical/` are written.

mod air;
mod properties;

pub use air::*;
pub use properties::*;

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::provenance::Origin;

/// A value with its origin.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ValueFile {
    pub value: f64,
    #[serde(default)]
    pub uncertainty: f64,
    pub from: Origin,
}

/// `acids.yaml`
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AcidsFile {
    pub acid_steps: BTreeMap<String, ComponentFile>,
    pub reacts_further: Vec<ReactsFurtherFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ComponentFile {
    pub base: String,
    pub charge: f64,
    #[serde(default)]
    pub acids: Vec<AcidFile>,
    #[serde(default)]
    pub clusters: Vec<ClusterFile>,
    pub ph_within: Option<PhWithinFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AcidFile {
    pub name: String,
    pub pka: f64,
    #[serde(default)]
    pub enthalpy: Option<f64>,
    #[serde(default)]
    pub heat_capacity: f64,
    pub uncertainty: f64,
    pub from: Origin,
    pub thermal_from: Option<Origin>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClusterFile {
    pub name: String,
    pub of: String,
    pub units: f64,
    pub releases: f64,
    pub pk: f64,
    pub uncertainty: f64,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhWithinFile {
    pub low: f64,
    pub high: f64,
    /// How much charge each mol can bring beyond, mol, where that is known.
    #[serde(default)]
    pub beyond: Option<f64>,
    pub why: String,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReactsFurtherFile {
    pub why: String,
    pub these: Vec<String>,
    pub with: Vec<String>,
    /// Whether acid may come of it.
    #[serde(default = "yes")]
    pub makes_acid: bool,
    pub from: Origin,
}

/// `activity.yaml`
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ActivityFile {
    pub specific_ion_interaction: InteractionFile,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InteractionFile {
    pub unlisted: ValueFile,
    pub listed_uncertainty: ValueFile,
    pub pairs: Vec<PairsFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PairsFile {
    pub from: Origin,
    pub epsilon: BTreeMap<String, BTreeMap<String, f64>>,
}

/// `dissolution.yaml`
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DissolutionFile {
    pub impurity: ValueFile,
    pub chemicals: BTreeMap<String, String>,
    pub solutes: BTreeMap<String, SoluteFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoluteFile {
    pub formula: Option<String>,
    pub molar_mass: Option<f64>,
    pub gives: BTreeMap<String, f64>,
    #[serde(default)]
    pub water: f64,
    pub kind: Kind,
    pub unknown: Option<String>,
    #[serde(default)]
    pub could_shift: f64,
    pub from: Origin,
}

/// What sort of matter a solute is, where only its sort is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// Water itself.
    Water,
    /// A salt, or an inorganic acid or alkali that is all ions in water.
    Salt,
    /// A small inorganic molecule.
    Molecule,
    /// An organic solid.
    Organic,
    /// An organic liquid that changes what water dissolves.
    Solvent,
}

fn yes() -> bool {
    true
}

//! Gases and vapours as written.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::provenance::Origin;

/// `gases.yaml`
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GasesFile {
    pub volatile: Vec<VolatileFile>,
    pub reactions: Vec<GasReactionFile>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VolatileFile {
    pub gas: String,
    pub name: String,
    pub molar_mass: f64,
    pub component: String,
    pub molecule: String,
    pub traces: f64,
    #[serde(default)]
    pub also_from: Vec<AlsoFromFile>,
    pub why: String,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AlsoFromFile {
    pub component: String,
    pub below_ph: f64,
    pub why: String,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GasReactionFile {
    pub gas: String,
    pub name: String,
    pub molar_mass: f64,
    pub needs: BTreeMap<String, f64>,
    pub acid: f64,
    pub gives: f64,
    pub below_ph: Option<f64>,
    pub why: String,
    pub from: Origin,
}

/// `vapour.yaml`
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VapoursFile {
    pub vapours: BTreeMap<String, VapourFile>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VapourFile {
    pub molar_mass: f64,
    pub molecule: Option<String>,
    pub henry: Option<HenryFile>,
    pub antoine: Option<AntoineFile>,
    pub diffusion: Option<DiffusionFile>,
    pub dimers: Option<DimersFile>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HenryFile {
    pub mol_per_kg_atm: f64,
    pub b: f64,
    pub least: Option<f64>,
    pub least_from: Option<Origin>,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AntoineFile {
    pub a: f64,
    pub b: f64,
    pub c: f64,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DiffusionFile {
    pub cm2_per_s: f64,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DimersFile {
    pub a: f64,
    pub b: f64,
    pub from: Origin,
}

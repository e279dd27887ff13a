//! Density, heat and solubility as written.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::{Kind, ValueFile};
use crate::provenance::Origin;

/// `density.yaml`
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DensityFile {
    pub expected_error_percent: ValueFile,
    pub by_kind: BTreeMap<Kind, VolumeFile>,
    pub coefficients: BTreeMap<String, DensityCoefficientsFile>,
    pub tables: BTreeMap<String, TableFile>,
    pub beyond_fit: BTreeMap<String, TableFile>,
    pub same_as: BTreeMap<String, SameAsFile>,
    pub volumes: BTreeMap<String, VolumeFile>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VolumeFile {
    pub volume: f64,
    pub low: f64,
    pub high: f64,
    pub from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DensityCoefficientsFile {
    pub c: [f64; 5],
    pub within: WithinFile,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WithinFile {
    pub low_c: f64,
    pub high_c: f64,
    pub fraction: f64,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TableFile {
    pub at: Vec<(f64, f64)>,
    pub from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SameAsFile {
    pub parts: BTreeMap<String, f64>,
    pub uncertainty: f64,
    pub from: Origin,
}

/// `heat-capacity.yaml`
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeatCapacityFile {
    pub other: OtherHeatCapacityFile,
    pub coefficients: BTreeMap<String, HeatCapacityCoefficientsFile>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OtherHeatCapacityFile {
    pub value: f64,
    pub low: f64,
    pub high: f64,
    pub from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeatCapacityCoefficientsFile {
    pub a: [f64; 6],
    pub within: WithinFile,
    pub from: Origin,
}

/// `heat-of-solution.yaml`
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeatsFile {
    pub heats: BTreeMap<String, Vec<HeatFile>>,
    pub in_water: BTreeMap<String, TableFile>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeatFile {
    pub crystal_water: f64,
    pub kj_per_mol: f64,
    pub uncertainty: f64,
    #[serde(default)]
    pub protons: BTreeMap<String, f64>,
    pub from: Origin,
}

/// `solubility.yaml`
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SolubilityFile {
    pub doubt: ValueFile,
    pub solids: Vec<SolidFile>,
    pub mix_with_water_in_any_proportion: MixFile,
    pub dissolve_slowly: Vec<RemarkFile>,
    pub no_data: Vec<NoDataFile>,
    pub hindered: Vec<HinderedFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SolidFile {
    pub solid: String,
    pub solute: String,
    pub ions: BTreeMap<String, f64>,
    pub at: Vec<(f64, f64)>,
    pub from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MixFile {
    pub chemicals: Vec<String>,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RemarkFile {
    pub chemical: String,
    pub why: String,
    pub from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NoDataFile {
    pub chemical: String,
    pub unknown: String,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HinderedFile {
    pub chemical: String,
    pub by: String,
    pub above_mol_per_kg: f64,
    pub why: String,
    pub from: Origin,
}

//! How the data files of `hazards/physical/` are written.

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
    pub why: String,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReactsFurtherFile {
    pub why: String,
    pub these: Vec<String>,
    pub with: Vec<String>,
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

//! What a chemical can do: classes by who assigned them, figures of toxicity, limits in air.

use std::collections::BTreeMap;

use serde::Deserialize;
use validator::Validate;

use crate::provenance::Origin;

/// Hazard classes by who assigned them.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClassificationData {
    /// The binding EU/UK entry.
    #[serde(default)]
    pub harmonised: Option<Harmonised>,
    /// What others add.
    #[serde(default)]
    pub added: Vec<Added>,
    /// EUH statements.
    #[serde(default)]
    pub supplemental: Vec<String>,
    /// Where those are from.
    #[serde(default)]
    pub supplemental_from: Option<Origin>,
    /// On whose word nothing is classified.
    #[serde(default)]
    pub none: Option<Unclassified>,
}

/// An entry of CLP Annex VI, Table 3.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Harmonised {
    /// Index number.
    pub index: String,
    /// Classes in the table's notation, `Acute Tox. 4* H302`.
    pub classes: Vec<String>,
    /// Specific concentration limits, `Skin Corr. 1B H314 >= 5`.
    #[serde(default)]
    pub limits: Vec<String>,
    /// M-factors.
    #[serde(default)]
    pub m: MFactors,
    /// Acute toxicity estimates by route: mg/kg; gas ppm; vapour, dust mg/L.
    #[serde(default)]
    pub ate: BTreeMap<String, f64>,
    /// Notes of the table.
    #[serde(default)]
    pub notes: String,
    /// Where it was read.
    pub from: Origin,
}

/// Multiplying factors of the aquatic classes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MFactors {
    /// Acute.
    #[serde(default)]
    pub acute: Option<f64>,
    /// Chronic.
    #[serde(default)]
    pub chronic: Option<f64>,
}

/// Classes that suppliers or other authorities add.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Added {
    /// Who says so.
    pub by: String,
    /// Classes in the same notation.
    pub classes: Vec<String>,
    /// Whether they are part of what is printed.
    pub adopted: bool,
    /// Why, or why not.
    #[serde(default)]
    pub why: String,
    /// Specific limits they state.
    #[serde(default)]
    pub limits: Vec<String>,
    /// M-factors they state.
    #[serde(default)]
    pub m: MFactors,
    /// Acute toxicity estimates they state.
    #[serde(default)]
    pub ate: BTreeMap<String, f64>,
    /// Where it was read.
    pub from: Origin,
}

/// The statement that a chemical is not classified.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unclassified {
    /// On what ground.
    pub why: String,
    /// Where it was read.
    pub from: Origin,
}

/// A lethal dose or concentration.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AcuteToxicity {
    /// oral, dermal, inhalation.
    pub route: String,
    /// The animal.
    #[serde(default)]
    pub species: Option<String>,
    /// The figure; none when only its absence is known.
    #[serde(default)]
    pub value: Option<f64>,
    /// Its unit.
    #[serde(default)]
    pub unit: Option<String>,
    /// Remarks.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it was read.
    pub from: Origin,
}

/// A workplace exposure limit.
#[derive(Debug, Clone, Deserialize, Validate)]
#[serde(deny_unknown_fields)]
pub struct ExposureLimit {
    /// OSHA PEL, NIOSH REL, UK WEL …
    pub body: String,
    /// us, eu, uk, ca, de …
    pub region: String,
    /// TWA, STEL or ceiling.
    pub kind: String,
    /// The figure; none when the body lists the chemical without one.
    #[serde(default)]
    #[validate(range(min = 0.0))]
    pub value: Option<f64>,
    /// mg/m3 or ppm.
    #[serde(default)]
    pub unit: Option<String>,
    /// Inhalable, respirable, total.
    #[serde(default)]
    pub fraction: Option<String>,
    /// Averaging time.
    #[serde(default)]
    pub minutes: Option<f64>,
    /// Remarks.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it was read.
    pub from: Origin,
}

/// Immediately dangerous concentration, or why none is known.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Idlh {
    /// The figure.
    #[serde(default)]
    pub value: Option<f64>,
    /// mg/m3 or ppm.
    #[serde(default)]
    pub unit: Option<String>,
    /// Why there is none.
    #[serde(default)]
    pub unknown: Option<String>,
    /// Remarks.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it was read.
    pub from: Origin,
}

/// Yes, no or not known.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Flag {
    /// `true`, `false` or `unknown`.
    pub value: serde_json::Value,
    /// Remarks.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it was read.
    pub from: Origin,
}

impl Flag {
    /// Unknown counts as yes.
    pub fn worse_case(&self) -> bool {
        self.value.as_bool().unwrap_or(true)
    }
}

/// Allergy by route.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sensitiser {
    /// Through skin.
    pub skin: serde_json::Value,
    /// Through breathing.
    pub breathing: serde_json::Value,
    /// Remarks.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it was read.
    pub from: Origin,
}

/// Dustiness of a powder.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dust {
    /// high, medium or low.
    pub band: String,
    /// Where it was read.
    pub from: Origin,
}

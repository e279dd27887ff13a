//! What a page says beside the chemicals: when to stop, whom to call, how much air others ask for.

use serde::Deserialize;

use crate::provenance::Origin;

use super::{DataError, DataFiles, Text};

/// Signs that end a session at once: `hazards/symptoms.yaml`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Symptoms {
    /// What is noticed.
    pub signs: Vec<Sign>,
    /// What is done then, in order.
    pub stop_rule: Vec<Text>,
    /// What is done later.
    pub after: Vec<Text>,
}

/// One sign.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sign {
    /// Stable id.
    pub id: String,
    /// What is noticed.
    pub text: String,
    /// What it may be.
    pub means: Option<String>,
    /// Gases it may tell of; none: any.
    pub gases: Vec<String>,
    /// Whether the emergency number is called first.
    pub emergency: bool,
    /// Where it is from.
    pub from: Origin,
}

/// Numbers by region and what to say: `hazards/emergency.yaml`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Emergency {
    /// By region.
    pub regions: Vec<Region>,
    /// What to say on the phone, in order.
    pub say: Vec<Text>,
    /// What an eyewash must be.
    pub eyewash: Vec<Text>,
}

/// The numbers of one region.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Region {
    /// eu, uk, us …
    pub id: String,
    /// In words.
    pub title: String,
    /// Emergency number.
    pub emergency: Number,
    /// Poison advice.
    pub poison: Number,
}

/// A number to call.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Number {
    /// The number; none where the public has none.
    pub number: Option<String>,
    /// Remarks.
    pub text: String,
    /// Where it was read.
    pub from: Origin,
}

/// Published recommendations on darkroom air: `hazards/air-guidance.yaml`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AirGuidance {
    /// Side by side, since they disagree.
    pub guidance: Vec<Recommendation>,
    /// What is printed under them.
    pub notes: Vec<Text>,
}

/// One recommendation.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Recommendation {
    /// Stable id.
    pub id: String,
    /// The figure; the highest where a range is given.
    pub value: f64,
    /// The lower end of a range.
    pub low: Option<f64>,
    /// Its unit.
    pub unit: String,
    /// What it is for.
    pub applies_to: String,
    /// Where it was read.
    pub from: Origin,
}

/// All three.
#[derive(Debug, Clone)]
pub struct Guidance {
    /// When to stop.
    pub symptoms: Symptoms,
    /// Whom to call.
    pub emergency: Emergency,
    /// How much air others ask for.
    pub air: AirGuidance,
}

impl Guidance {
    /// Reads the three files.
    ///
    /// # Errors
    /// When one is missing or misshapen.
    pub fn load(files: &DataFiles) -> Result<Self, DataError> {
        Ok(Self {
            symptoms: files.read("hazards/symptoms.yaml")?,
            emergency: files.read("hazards/emergency.yaml")?,
            air: files.read("hazards/air-guidance.yaml")?,
        })
    }
}

//! The rules as the data files write them.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::provenance::Origin;

use super::bound::Bound;
use super::when::{Answer, AnyWhen};

/// Whether a waste takes every code that applies or the first entry that fits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Choose {
    All,
    First,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CodeRule {
    pub id: String,
    pub code: String,
    #[serde(default)]
    pub title: String,
    #[serde(default)]
    pub acute: bool,
    #[serde(default)]
    pub candidate: bool,
    #[serde(default = "certain")]
    pub certainty: Answer,
    pub when: AnyWhen,
    #[serde(default)]
    pub unless: AnyWhen,
    pub from: Origin,
}

fn certain() -> Answer {
    Answer::Yes
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NotJudged {
    pub id: String,
    pub about: String,
    pub when: AnyWhen,
    #[serde(default)]
    pub unless: AnyWhen,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PropertyRule {
    pub hp: String,
    pub title: String,
    #[serde(default)]
    pub presence: Vec<String>,
    #[serde(default)]
    pub flash_point: Option<Bound>,
    #[serde(default)]
    pub extreme_ph: Option<Bound>,
    #[serde(default)]
    pub extreme_ph_from: Option<Origin>,
    #[serde(default)]
    pub unless_property: Option<String>,
    #[serde(default)]
    pub each: Vec<EachRule>,
    #[serde(default)]
    pub sums: Vec<SumRule>,
    pub from: Origin,
}

/// One substance alone must reach the limit.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EachRule {
    pub of: Vec<String>,
    /// Percent by weight.
    pub at_least: f64,
}

/// All substances together must reach the limit.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SumRule {
    #[serde(default)]
    pub of: Vec<String>,
    #[serde(default)]
    pub weighted: BTreeMap<String, f64>,
    /// Percent by weight.
    pub at_least: f64,
    /// A substance below this share is left out, percent by weight.
    #[serde(default)]
    pub cut_off: f64,
    #[serde(default)]
    pub cut_offs: BTreeMap<String, f64>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LenientNotes {
    /// Every note that may be taken into account.
    pub notes: Vec<String>,
    /// Those that make a diluted substance milder.
    pub softens: Vec<String>,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GeneratorRule {
    pub name: String,
    pub when: AnyWhen,
    pub from: Origin,
}

/// What a limit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    MonthKg,
    AcuteKg,
    HeldKg,
    Days,
    DaysAway,
    SatelliteL,
    SatelliteAcuteL,
}

impl Measure {
    /// As the rule files write it.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::MonthKg => "month_kg",
            Self::AcuteKg => "acute_kg",
            Self::HeldKg => "held_kg",
            Self::Days => "days",
            Self::DaysAway => "days_away",
            Self::SatelliteL => "satellite_l",
            Self::SatelliteAcuteL => "satellite_acute_l",
        }
    }
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitRule {
    pub id: String,
    pub what: String,
    pub measure: Measure,
    #[serde(default)]
    pub at_most: Option<f64>,
    #[serde(default)]
    pub below: Option<f64>,
    pub unit: String,
    /// Passing it begins another rule and is no breach.
    #[serde(default)]
    pub advisory: bool,
    /// Days in which an excess must be moved.
    #[serde(default)]
    pub excess_days: Option<u64>,
    pub when: AnyWhen,
    #[serde(default)]
    pub unless: AnyWhen,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TextRule {
    pub id: String,
    #[serde(default)]
    pub kind: String,
    pub when: AnyWhen,
    #[serde(default)]
    pub unless: AnyWhen,
    pub text: String,
    /// How long it says that records are kept, years.
    #[serde(default)]
    pub keep_years: Option<f64>,
    pub from: Origin,
}

/// What a drain rule does; none allows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Effect {
    Forbids,
    Limits,
    Notice,
    Asks,
    Ask,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DrainRule {
    pub id: String,
    pub effect: Effect,
    pub when: AnyWhen,
    #[serde(default)]
    pub unless: AnyWhen,
    pub text: String,
    pub from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EmptyRule {
    pub residue_cm: Bound,
    pub residue_percent: Bound,
    pub large_from_l: f64,
    pub large_residue_percent: Bound,
    pub acute_rinses: u32,
    pub from: Origin,
}

/// The alcohols that the alcohol exclusion counts.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Alcohols {
    pub cas: Vec<String>,
    /// The lightest of them, so that the share by volume is not underestimated.
    pub kg_per_l: f64,
    #[serde(rename = "from")]
    _from: Origin,
}

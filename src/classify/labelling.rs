//! The rules from hazard classes to a label: `hazards/labelling.yaml`.

use serde::Deserialize;

use super::Profile;
use crate::catalogue::{DataError, DataFiles};
use crate::provenance::Origin;

/// Where the rules are kept.
pub const FILE: &str = "hazards/labelling.yaml";

/// What leaves what out of a label, what is joined, what comes first.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Labelling {
    /// Precedence of pictograms.
    pub pictograms: Vec<PictogramRule>,
    /// Statements that say nothing more beside another.
    pub statements_covered: Vec<Covered>,
    /// Statements printed as one.
    pub statements_joined: Joined,
    /// Precautions that say nothing more beside another.
    pub precautions_covered: Vec<Covered>,
    /// How the label's few are chosen.
    pub precautions_on_label: Choice,
}

/// One pictogram leaving out another.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PictogramRule {
    /// The pictogram that is shown.
    pub shown: String,
    /// Only when it stands for one of these families; none named: for any.
    #[serde(default)]
    pub because_of: Vec<String>,
    /// The pictogram it leaves out.
    pub leaves_out: String,
    /// Only where that one stands for these families; none named: for any.
    #[serde(default, rename = "for")]
    pub for_families: Vec<String>,
    /// The forms of the system with this rule.
    pub used_in: Vec<Profile>,
    /// The article.
    pub from: Origin,
}

/// A code that makes others superfluous.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Covered {
    /// The code that stays.
    pub by: String,
    /// The codes that go.
    pub leaves_out: Vec<String>,
    /// On whose word.
    pub from: Origin,
}

/// Sets of statements that become one.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Joined {
    /// On whose word.
    pub from: Origin,
    /// The sets, longest first.
    pub sets: Vec<Vec<String>>,
}

/// How the precautions of a label are chosen.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Choice {
    /// At most so many.
    pub most: usize,
    /// What says nothing more on a label, where each has to earn its place.
    pub covered: Vec<Covered>,
    /// First come first; those not named follow by number.
    pub order: Vec<String>,
    /// Those that need a supplier's text.
    pub not_on_label: Vec<String>,
    /// On whose word.
    pub from: Origin,
}

impl Labelling {
    /// Reads the rules.
    ///
    /// # Errors
    /// When the file is missing or malformed.
    pub fn read(files: &DataFiles) -> Result<Self, DataError> {
        files.read(FILE)
    }
}

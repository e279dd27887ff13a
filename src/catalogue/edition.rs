//! When the catalogue was looked at: `hazards/edition.yaml`.

use chrono::NaiveDate;
use serde::Deserialize;

/// The day of the catalogue as a whole.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Edition {
    /// When it was looked at.
    #[serde(deserialize_with = "day")]
    pub date: NaiveDate,
    /// When it must be looked at again.
    #[serde(deserialize_with = "day")]
    pub review_by: NaiveDate,
}

/// A day as data files write it: `2026-12-03`.
///
/// # Errors
/// When it is no date.
pub fn day<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<NaiveDate, D::Error> {
    let text = String::deserialize(deserializer)?;
    text.parse().map_err(serde::de::Error::custom)
}

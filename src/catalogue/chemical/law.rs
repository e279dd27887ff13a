//! How a chemical travels, and who may hold it.

use serde::Deserialize;

use crate::provenance::Origin;

/// Transport classification.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Transport {
    /// UN number, or `none`.
    pub un: Option<String>,
    /// Transport class.
    #[serde(default)]
    pub class: Option<String>,
    /// Packing group.
    #[serde(default)]
    pub group: Option<String>,
    /// Remarks.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it was read.
    pub from: Origin,
}

impl Transport {
    /// Number, class and packing group as they are shown, `UN 1830, class 8, packing group II`.
    pub fn shown(&self) -> String {
        let number = match self.un.as_deref() {
            None => "no data",
            Some("none") => "no UN number",
            Some(number) => number,
        };
        let class = self.class.iter().map(|class| format!("class {class}"));
        let group = self
            .group
            .iter()
            .map(|group| format!("packing group {group}"));
        let parts = std::iter::once(number.to_owned()).chain(class).chain(group);
        parts.collect::<Vec<_>>().join(", ")
    }
}

/// A law on who may hold it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Restriction {
    /// eu, uk, us …
    pub region: String,
    /// The list of `hazards/restrictions.yaml` it stands in.
    #[serde(default)]
    pub list: Option<String>,
    /// The act and the place in it.
    pub act: String,
    /// Holds above this strength, percent by weight.
    #[serde(default)]
    pub above_percent: Option<f64>,
    /// Holds from this strength on, percent by weight.
    #[serde(default)]
    pub from_percent: Option<f64>,
    /// Holds up to this strength, percent by weight.
    #[serde(default)]
    pub at_most_percent: Option<f64>,
    /// The highest strength a licence can be for, percent by weight.
    #[serde(default)]
    pub licence_to_percent: Option<f64>,
    /// What it says, in our words.
    pub text: String,
    /// Where it was read.
    pub from: Origin,
}

//! Kinds of solution and waste streams.

use serde::Deserialize;

use crate::provenance::Origin;

use super::Text;

/// A kind of solution: `hazards/kinds.yaml`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Kind {
    /// Stable id.
    pub id: String,
    /// Names taken on the way in; the first is printed.
    pub names: Vec<String>,
    /// The kind this is a case of.
    pub parent: Option<String>,
    /// The waste stream it becomes.
    pub stream: Option<String>,
    /// °C at which it is used.
    pub working_temperature_c: Option<f64>,
    /// How long it keeps, by habit of the trade.
    pub keeps: UsualKeeping,
    /// Film or paper it can process, by habit of the trade.
    #[serde(default)]
    pub processes: Option<UsualCapacity>,
    /// Reactive groups it holds as a rule.
    pub needs_groups: Vec<String>,
    /// weigh, dissolve, dilute, tray, decant: what is done with it.
    pub steps: Vec<String>,
    /// What stays on a plate that is coated with it.
    #[serde(default)]
    pub coat: Option<Coat>,
    /// Remarks.
    #[serde(default)]
    pub note: Option<String>,
}

/// A coat that dries on a plate.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Coat {
    /// What drains not back into the bottle, mL/m².
    pub left_ml_per_m2: f64,
    /// How long it takes to set, minutes.
    pub sets_minutes: f64,
    /// Where that is from.
    pub from: Origin,
}

/// Typical keeping times, to be tested, never an expiry.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UsualKeeping {
    /// Full, airtight, dark.
    pub stock_days: Option<f64>,
    /// Open tray or diluted; none: as stock.
    pub working_hours: Option<f64>,
    /// Where they are from.
    pub from: Origin,
}

/// The area a bath usually processes before it works badly, at the cautious end.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UsualCapacity {
    /// m² of film or paper in a litre ready for use.
    pub m2_per_l: f64,
    /// Where it is from.
    pub from: Origin,
}

impl Kind {
    /// The name printed.
    pub fn title(&self) -> &str {
        self.names.first().unwrap_or(&self.id)
    }
}

/// A waste stream: `hazards/streams.yaml`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stream {
    /// Stable id.
    pub id: String,
    /// The name printed.
    pub title: String,
    /// What it is, one sentence.
    pub what: String,
    /// Kinds of solution that become it.
    #[serde(default)]
    pub kinds: Vec<String>,
    /// Streams it must not share a container with.
    #[serde(default)]
    pub never_with: Vec<String>,
    /// What would come of it.
    #[serde(default)]
    pub why_never: String,
    /// What it is collected in.
    #[serde(default)]
    pub container: String,
    /// Words for the container's label.
    #[serde(default)]
    pub label_words: Vec<String>,
    /// What limits a drain and whom to ask; never that a drain is allowed.
    pub disposal: Text,
    /// What to ask the sewer works or collector.
    #[serde(default)]
    pub drain_question: String,
    /// Remarks.
    #[serde(default)]
    pub note: Option<Text>,
}

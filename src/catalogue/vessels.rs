//! Vessels, and what must not be kept in which: `hazards/vessels.yaml`.

use serde::{Deserialize, Deserializer};

use crate::finding::Severity;
use crate::provenance::Origin;

/// A property that may not be known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Known {
    /// It is so.
    Yes,
    /// It is not.
    No,
    /// Nobody knows.
    Unknown,
}

impl<'de> Deserialize<'de> for Known {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match serde_json::Value::deserialize(deserializer)? {
            serde_json::Value::Bool(true) => Ok(Self::Yes),
            serde_json::Value::Bool(false) => Ok(Self::No),
            serde_json::Value::String(word) if word == "unknown" => Ok(Self::Unknown),
            other => Err(serde::de::Error::custom(format!(
                "`{other}` is not true, false or unknown"
            ))),
        }
    }
}

/// A vessel to mix, keep, use or collect in.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vessel {
    /// Stable id.
    pub id: String,
    /// Names taken on the way in; the first is printed.
    pub names: Vec<String>,
    /// What it is made of.
    pub material: String,
    /// The hottest content it stands in °C, where known.
    pub max_c: Option<f64>,
    /// Keeps light out.
    pub light_tight: Known,
    /// Keeps air out.
    pub airtight: Known,
    /// Lets gas out.
    pub vented: Known,
    /// Made for food or drink, or held it.
    pub food_container: Known,
    /// The metal it is made of.
    pub metal: Option<String>,
    /// mixing, storage, tray, waste: what it is good for.
    #[serde(rename = "for")]
    pub good_for: Vec<String>,
    /// Remarks.
    pub note: String,
    /// Where it is from.
    pub from: Origin,
}

/// What must not be kept in which vessel.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StorageRule {
    /// Stable id.
    pub id: String,
    /// Contents by reactive group …
    #[serde(default)]
    pub groups: Vec<String>,
    /// … hazard family …
    #[serde(default)]
    pub families: Vec<String>,
    /// … kind of solution …
    #[serde(default)]
    pub kinds: Vec<String>,
    /// … waste stream …
    #[serde(default)]
    pub streams: Vec<String>,
    /// … or chemical; anything where none is given.
    #[serde(default)]
    pub chemicals: Vec<String>,
    /// mixing, storage, tray, waste: where it counts.
    #[serde(rename = "use")]
    pub in_use: Vec<String>,
    /// Properties refused.
    #[serde(default)]
    pub never: Properties,
    /// Properties asked for.
    #[serde(default)]
    pub need: Properties,
    /// How much it weighs.
    pub severity: Severity,
    /// Why it matters.
    pub why: String,
    /// What to use instead.
    pub advice: String,
    /// Where it is from.
    pub from: Origin,
}

/// Properties of a vessel that a rule looks at.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Properties {
    #[serde(default)]
    metal: Vec<String>,
    #[serde(default)]
    food_container: Option<Known>,
    #[serde(default)]
    light_tight: Option<Known>,
    #[serde(default)]
    airtight: Option<Known>,
    #[serde(default)]
    vented: Option<Known>,
    #[serde(default)]
    vessel: Vec<String>,
    #[serde(default)]
    any: bool,
}

impl Properties {
    fn pairs<'a>(&'a self, vessel: &'a Vessel) -> impl Iterator<Item = (Known, Known)> + 'a {
        [
            (self.food_container, vessel.food_container),
            (self.light_tight, vessel.light_tight),
            (self.airtight, vessel.airtight),
            (self.vented, vessel.vented),
        ]
        .into_iter()
        .filter_map(|(rule, has)| rule.map(|rule| (rule, has)))
    }

    fn any_holds(&self, vessel: &Vessel) -> bool {
        self.any
            || vessel
                .metal
                .as_ref()
                .is_some_and(|metal| self.metal.contains(metal))
            || self.vessel.contains(&vessel.id)
            || self.pairs(vessel).any(|(rule, has)| rule == has)
    }

    /// What is not known does not count as held.
    fn all_hold(&self, vessel: &Vessel) -> bool {
        self.pairs(vessel).all(|(rule, has)| rule == has)
    }
}

impl StorageRule {
    /// Whether a vessel in this use is against the rule.
    pub fn refuses(&self, vessel: &Vessel, in_use: &str) -> bool {
        let counts = self.in_use.iter().any(|other| other == in_use);
        counts && (self.never.any_holds(vessel) || !self.need.all_hold(vessel))
    }

    /// Whether the rule is for everything.
    pub fn is_general(&self) -> bool {
        [
            &self.groups,
            &self.families,
            &self.kinds,
            &self.streams,
            &self.chemicals,
        ]
        .iter()
        .all(|list| list.is_empty())
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct VesselsFile {
    pub vessels: Vec<Vessel>,
    #[serde(rename = "rules")]
    pub storage: Vec<StorageRule>,
}

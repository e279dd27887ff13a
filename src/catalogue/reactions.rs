//! What must not meet, by reactive group: `hazards/reactions.yaml`.

use serde::Deserialize;

use crate::finding::Severity;
use crate::provenance::Origin;

use super::Chemical;

/// One rule: what comes of two groups meeting, or of one against its vessel or on its own.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reaction {
    /// Stable id.
    pub id: String,
    /// Groups or single chemicals on one side.
    pub a: Vec<String>,
    /// Groups or single chemicals on the other.
    #[serde(default)]
    pub b: Vec<String>,
    /// Chemicals left out, because a narrower rule or ordinary practice covers them.
    #[serde(default)]
    pub except: Vec<String>,
    /// Metals of the vessel it attacks, instead of `b`.
    #[serde(default)]
    pub vessel: Vec<String>,
    /// What it does by itself: standing, drying, heat or light, instead of `b`.
    #[serde(default)]
    pub alone: Option<String>,
    /// toxic gas, heat, fire, explosive solid, spoiled bath, gas pressure.
    pub consequence: String,
    /// The gas set free.
    #[serde(default)]
    pub gas: Option<String>,
    /// How much it weighs for powders and concentrates in one session.
    pub severity: Severity,
    /// … for baths of working strength; the same where absent.
    #[serde(default)]
    pub diluted: Option<Severity>,
    /// … for waste poured together and left; the same where absent.
    #[serde(default)]
    pub in_waste: Option<Severity>,
    /// What happens.
    pub text: String,
    /// What to do instead.
    pub advice: String,
    /// The chart it follows.
    #[serde(default)]
    pub epa: Option<serde_json::Value>,
    /// Where it is from.
    pub from: Origin,
}

impl Reaction {
    /// Whether a chemical is on the first side.
    pub fn is_a(&self, chemical: &Chemical) -> bool {
        self.includes(&self.a, chemical)
    }

    /// Whether a chemical is on the other side.
    pub fn is_b(&self, chemical: &Chemical) -> bool {
        self.includes(&self.b, chemical)
    }

    fn includes(&self, side: &[String], chemical: &Chemical) -> bool {
        let left_out = self
            .except
            .iter()
            .any(|name| chemical.id == *name || chemical.root() == name);
        !left_out && side.iter().any(|name| chemical.belongs_to(name))
    }
}

/// A reactive group.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Group {
    /// What chemicals name it by.
    pub id: String,
    /// In words.
    pub title: String,
    /// Where the grouping is from.
    pub from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ReactionsFile {
    pub groups: Vec<Group>,
    pub reactions: Vec<Reaction>,
}

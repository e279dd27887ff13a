//! What to wear: `hazards/wear.yaml`.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::provenance::Origin;

/// The wear list.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WearList {
    /// Things that can be worn.
    pub items: Vec<WearItem>,
    /// By part of the body: things that may stand in for each other, weakest first.
    pub ranks: BTreeMap<String, Vec<String>>,
    /// The baseline by step.
    pub steps: Vec<WearStep>,
    /// What a hazard family asks beyond it, by family and step.
    pub families: BTreeMap<String, BTreeMap<String, BTreeMap<Part, Asked>>>,
    /// What does not protect against what.
    pub not_enough: Vec<NotEnough>,
    /// Cautions on wearing.
    #[serde(default)]
    pub cautions: Vec<super::Text>,
}

/// Something that can be worn.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WearItem {
    /// Stable id.
    pub id: String,
    /// Names taken on the way in.
    pub names: Vec<String>,
    /// The part it protects.
    pub protects: Part,
    /// The name printed.
    pub title: String,
    /// What to look for on it.
    #[serde(default)]
    pub mark: Option<String>,
    /// What it really stops; nothing else.
    pub against: Vec<String>,
    /// Where it is from.
    pub from: Origin,
}

/// A part of the body.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Part {
    /// Eyes.
    Eyes,
    /// Face.
    Face,
    /// Hands.
    Hands,
    /// Body.
    Body,
    /// Feet.
    Feet,
    /// Breathing.
    Breathing,
}

/// One kind of step and its baseline. (A field that is no part of the body does not parse.)
#[derive(Debug, Clone, Deserialize)]
pub struct WearStep {
    /// weigh, dissolve, dilute, tray, decant or spill.
    pub id: String,
    /// In words.
    pub title: String,
    /// By part.
    #[serde(flatten)]
    pub parts: BTreeMap<Part, Asked>,
}

/// What is asked for one part.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    /// Items of which any one is enough; none: nothing is asked, the text stands.
    pub items: Vec<String>,
    /// Asked for only where no exhaust and no open window is stated.
    #[serde(default)]
    pub without_exhaust: Vec<String>,
    /// Only for liquids of this strength or more, per cent by weight.
    #[serde(default)]
    pub at_least_percent: Option<f64>,
    /// In words.
    pub text: String,
    /// Where it is from.
    pub from: Origin,
}

/// An item taken for protection that it is not.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NotEnough {
    /// The item.
    pub item: String,
    /// The hazard it is taken for.
    pub against: String,
    /// Groups and chemicals whose presence makes it matter; none: it always does.
    #[serde(default)]
    pub when: Vec<String>,
    /// What to say.
    pub text: String,
    /// Where it is from.
    pub from: Origin,
}

impl WearList {
    /// The item of an id or name.
    pub fn item(&self, name: &str) -> Option<&WearItem> {
        // Most that is asked for is asked for by its id, which needs no folding.
        if let Some(item) = self.items.iter().find(|item| item.id == name) {
            return Some(item);
        }
        let key = super::fold(name);
        let is = |item: &&WearItem| {
            super::fold(&item.id) == key
                || super::fold(&item.title) == key
                || item.names.iter().any(|other| super::fold(other) == key)
        };
        self.items.iter().find(is)
    }

    /// The step of an id.
    pub fn step(&self, id: &str) -> Option<&WearStep> {
        self.steps.iter().find(|step| step.id == id)
    }
}

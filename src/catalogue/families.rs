//! Hazard families: first aid, signs, cautions and spills that many chemicals share.

use serde::Deserialize;

use crate::provenance::Origin;

use super::Text;

/// One family of `hazards/families.yaml`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Family {
    /// What chemicals name it by.
    pub id: String,
    /// In words.
    pub title: String,
    /// 0 to 100; the higher is printed first where families are merged.
    pub rank: u8,
    /// First aid by route.
    pub first_aid: FirstAid,
    /// Signs at the bench or days later.
    #[serde(default)]
    pub watch: Vec<Text>,
    /// Cautions when weighing, dissolving, diluting.
    #[serde(default)]
    pub handling: Vec<Text>,
    /// Spills.
    pub spill: Text,
    /// What to say when calling.
    #[serde(default)]
    pub tell_the_phone: Option<Text>,
}

/// First aid by the way it got in.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FirstAid {
    /// In the eyes.
    pub eyes: Rinse,
    /// On the skin.
    pub skin: Rinse,
    /// Breathed in.
    pub breathed: Text,
    /// Swallowed.
    pub swallowed: Text,
}

/// Rinsing, and how long at least.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rinse {
    /// What to do.
    pub text: String,
    /// Minutes; the longest of all families on a sheet is printed.
    pub minutes: u32,
    /// Where it is from.
    pub from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FamiliesFile {
    pub families: Vec<Family>,
}

//! How a chemical is worked with, kept and got rid of.

use serde::Deserialize;

use crate::provenance::Origin;

use super::Text;

/// What it does, by route.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cautions {
    /// Breathed in.
    #[serde(default)]
    pub breathing: Option<Text>,
    /// On the skin.
    #[serde(default)]
    pub skin: Option<Text>,
    /// In the eyes.
    #[serde(default)]
    pub eyes: Option<Text>,
    /// Swallowed.
    #[serde(default)]
    pub swallowing: Option<Text>,
}

/// First aid by route, said for one chemical; a route that is left out is its families'.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnFirstAid {
    /// In the eyes.
    #[serde(default)]
    pub eyes: Option<Text>,
    /// On the skin.
    #[serde(default)]
    pub skin: Option<Text>,
    /// Breathed in.
    #[serde(default)]
    pub breathed: Option<Text>,
    /// Swallowed.
    #[serde(default)]
    pub swallowed: Option<Text>,
}

/// Glove materials.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gloves {
    /// Enough for a splash, changed at once.
    #[serde(default)]
    pub splash: Vec<String>,
    /// For longer contact.
    #[serde(default)]
    pub long: Vec<String>,
    /// Do not use.
    #[serde(default)]
    pub unsuitable: Vec<String>,
    /// The letter EN ISO 374-1 prints on gloves tested against this chemical.
    #[serde(default)]
    pub letter: Option<String>,
    /// Remarks.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it was read.
    pub from: Origin,
}

/// A partner it must not meet.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MustNotMeet {
    /// The partner.
    pub with: String,
    /// What comes of it.
    pub result: String,
    /// Where it was read.
    pub from: Origin,
}

/// How it is kept.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Storage {
    /// In words.
    pub text: String,
    /// light, air, moisture, heat, cold, metal.
    #[serde(default)]
    pub keeps_from: Vec<String>,
    /// Reactive groups to keep it away from.
    #[serde(default)]
    pub away_from: Vec<String>,
    /// Where it was read.
    pub from: Origin,
}

/// Where it goes unused.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Disposal {
    /// A waste stream.
    pub stream: String,
    /// The concern, in words.
    pub text: String,
    /// Where it was read.
    pub from: Origin,
}

/// A jar it is taken for.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LookAlike {
    /// The other entry.
    #[serde(default)]
    pub id: Option<String>,
    /// Its name, when it is not in the catalogue.
    #[serde(default)]
    pub name: Option<String>,
    /// How to tell the jars apart.
    pub tell: String,
    /// What the wrong one does.
    pub wrong: String,
    /// Where it was read.
    pub from: Origin,
}

/// Kinds of recipe in which this is most likely a slip.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UnlikelyIn {
    /// Kinds, their children included.
    pub kinds: Vec<String>,
    /// What is most likely meant.
    pub meant: String,
    /// Why it matters.
    pub why: String,
    /// Where it was read.
    pub from: Origin,
}

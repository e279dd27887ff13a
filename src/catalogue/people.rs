//! Who is asked to speak with someone before, and because of which hazards: `hazards/people.yaml`.

use serde::Deserialize;

use crate::provenance::Origin;

use super::Chemical;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PeopleFile {
    pub groups: Vec<PeopleGroup>,
    pub supervising: Vec<String>,
}

/// People for whom a hazard weighs more. Never said of a person, only of chemicals.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PeopleGroup {
    /// Code of the finding.
    pub code: String,
    /// Set for a group of age: people younger than this, in years.
    #[serde(default)]
    pub below_age: Option<u32>,
    /// What sets it off.
    pub because: Vec<PeopleReason>,
}

/// One thing that sets it off; any of its conditions is enough.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PeopleReason {
    /// Hazard statements, as they begin.
    #[serde(default)]
    pub statements: Vec<String>,
    /// Hazard families.
    #[serde(default)]
    pub families: Vec<String>,
    /// By skin or by breathing.
    #[serde(default)]
    pub sensitiser: Option<Sensitising>,
    /// Only while it is a solid that can dust.
    #[serde(default)]
    pub powders_only: bool,
    /// On whose word.
    pub from: Origin,
}

/// The way an allergy comes about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Sensitising {
    /// Skin.
    Skin,
    /// Breathing.
    Breathing,
}

impl PeopleReason {
    /// Whether it holds for a chemical that carries these statements.
    pub fn holds(&self, chemical: &Chemical, statements: &[&str]) -> bool {
        let stated = |code: &String| statements.iter().any(|s| s.starts_with(code.as_str()));
        let sensitiser = self.sensitiser.is_some_and(|way| {
            chemical.sensitiser.as_ref().is_some_and(|known| {
                let says = match way {
                    Sensitising::Skin => &known.skin,
                    Sensitising::Breathing => &known.breathing,
                };
                *says == serde_json::Value::Bool(true)
            })
        });
        let any = self.statements.iter().any(stated)
            || self
                .families
                .iter()
                .any(|family| chemical.families.contains(family))
            || sensitiser;
        any && (!self.powders_only || chemical.is_solid())
    }
}

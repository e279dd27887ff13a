//! One chemical as it stands in a jar: what `hazards/chemicals/<id>.yaml` says of it.

mod handling;
mod hazards;
mod law;

use std::collections::BTreeMap;

use serde::Deserialize;
use validator::Validate;

use crate::provenance::Origin;

pub use handling::{
    Cautions, Disposal, Gloves, LookAlike, MustNotMeet, OwnFirstAid, Storage, UnlikelyIn,
};
pub use hazards::{
    AcuteToxicity, Added, ClassificationData, Dust, ExposureLimit, Flag, Harmonised, Idlh,
    MFactors, Sensitiser, Unclassified,
};
pub use law::{Restriction, Transport};

/// What is in one jar. A hydrate or a solution of a strength is an entry of its own whose
/// `form_of` names the root entry; what it does not state itself it takes from the root.
#[derive(Debug, Clone, Deserialize, Validate)]
#[serde(deny_unknown_fields)]
pub struct Chemical {
    /// The file's name; exact on the way out.
    #[validate(length(min = 2, max = 60))]
    pub id: String,
    /// The entry this is a form of.
    #[serde(default)]
    pub form_of: Option<String>,
    /// The name printed, hydrate or strength included.
    #[validate(length(min = 2, max = 90))]
    pub name: String,
    /// Synonyms taken on the way in.
    #[serde(default)]
    pub names: Vec<String>,
    /// Names that leave the hydrate or strength open.
    #[serde(default)]
    pub bare_names: Vec<String>,
    /// The name in other languages, by language code.
    #[serde(default)]
    pub translations: BTreeMap<String, String>,
    /// What it is used for.
    #[serde(default)]
    pub roles: Vec<String>,
    /// Chemical Abstracts Service number.
    #[serde(default)]
    pub cas: Option<String>,
    /// Why there is no CAS number, or which of several is meant.
    #[serde(default)]
    pub cas_note: Option<String>,
    /// European Community number.
    #[serde(default)]
    pub ec: Option<String>,
    /// Formula with water of crystallisation: `Na2CO3.10H2O`.
    #[serde(default)]
    pub formula: Option<String>,
    /// Where name, numbers and formula are from.
    #[serde(default)]
    pub identity_from: Option<Origin>,
    /// Powder, crystals, liquid, solution …
    #[serde(default)]
    pub state: Option<String>,
    /// Strength of a commercial solution.
    #[serde(default)]
    #[validate(nested)]
    pub strength: Option<Strength>,
    /// Density of liquids and solutions.
    #[serde(default)]
    #[validate(nested)]
    pub density: Option<DensityDatum>,
    /// Flash point, where a data sheet or the catalogue states one.
    #[serde(default)]
    pub flash_point: Option<Text>,
    /// pH as it is sold, likewise.
    #[serde(default)]
    pub ph: Option<Text>,
    /// Hazard classes and on whose word.
    #[serde(default)]
    pub classification: ClassificationData,
    /// Measured acute toxicity.
    #[serde(default)]
    pub acute_toxicity: Vec<AcuteToxicity>,
    /// Workplace exposure limits.
    #[serde(default)]
    #[validate(nested)]
    pub limits: Vec<ExposureLimit>,
    /// Immediately dangerous to life or health.
    #[serde(default)]
    pub idlh: Option<Idlh>,
    /// Whether it goes through skin.
    #[serde(default)]
    pub skin_absorption: Option<Flag>,
    /// Whether it makes people allergic.
    #[serde(default)]
    pub sensitiser: Option<Sensitiser>,
    /// What it does, by route.
    #[serde(default)]
    pub cautions: Cautions,
    /// Which gloves.
    #[serde(default)]
    pub gloves: Option<Gloves>,
    /// First aid of its own, in place of its families'.
    #[serde(default)]
    pub first_aid: OwnFirstAid,
    /// Hazard families: first aid, spill, cautions.
    #[serde(default)]
    pub families: Vec<String>,
    /// Reactive groups: what it must not meet.
    #[serde(default)]
    pub groups: Vec<String>,
    /// What it must not meet, said for this chemical.
    #[serde(default)]
    pub must_not_meet: Vec<MustNotMeet>,
    /// How it is kept.
    #[serde(default)]
    pub storage: Option<Storage>,
    /// What to do when it is spilled.
    #[serde(default)]
    pub spill: Option<Text>,
    /// Where it goes when it is not wanted.
    #[serde(default)]
    pub disposal: Option<Disposal>,
    /// Jars it is taken for by mistake.
    #[serde(default)]
    pub look_alikes: Vec<LookAlike>,
    /// Kinds of recipe in which it is most likely a slip of the pen.
    #[serde(default)]
    pub unlikely_in: Vec<UnlikelyIn>,
    /// Transport number.
    #[serde(default)]
    pub transport: Option<Transport>,
    /// Who may hold it.
    #[serde(default)]
    pub restrictions: Vec<Restriction>,
    /// How much it dusts when weighed.
    #[serde(default)]
    pub dust: Option<Dust>,
    /// Anything else, conflicts between sources above all.
    #[serde(default)]
    pub notes: Vec<Text>,
}

/// A sentence and where it is from.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Text {
    /// The sentence.
    pub text: String,
    /// Where it is from.
    pub from: Origin,
}

/// Strength of a solution.
#[derive(Debug, Clone, Deserialize, Validate)]
#[serde(deny_unknown_fields)]
pub struct Strength {
    /// Percent of the root's formula.
    #[validate(range(min = 0.0, max = 100.0))]
    pub percent: f64,
    /// By weight, or weight in volume.
    pub basis: Basis,
}

/// What a percentage is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub enum Basis {
    /// Grams in 100 g.
    #[serde(rename = "w/w")]
    ByWeight,
    /// Grams in 100 mL.
    #[serde(rename = "w/v")]
    WeightInVolume,
}

/// A density at a temperature.
#[derive(Debug, Clone, Deserialize, Validate)]
#[serde(deny_unknown_fields)]
pub struct DensityDatum {
    /// kg/L.
    #[validate(range(min = 0.5, max = 4.0))]
    pub kg_per_l: f64,
    /// °C.
    #[serde(default)]
    pub at_c: Option<f64>,
    /// Where it is from.
    pub from: Origin,
}

impl Chemical {
    /// The entry all forms of this substance share.
    pub fn root(&self) -> &str {
        self.form_of.as_deref().unwrap_or(&self.id)
    }

    /// The name in a language, English where there is none.
    pub fn name_in(&self, language: &str) -> &str {
        self.translations.get(language).unwrap_or(&self.name)
    }

    /// Whether it is weighed out as a solid.
    pub fn is_solid(&self) -> bool {
        !matches!(self.state.as_deref(), Some("liquid" | "solution"))
    }

    /// Whether it belongs to a reactive group, or is that entry or a form of it.
    pub fn belongs_to(&self, name: &str) -> bool {
        self.id == name || self.root() == name || self.groups.iter().any(|group| group == name)
    }

    /// The classes that are printed, each with its origin: the harmonised entry, and what others
    /// add to it where that was adopted.
    pub fn classes(&self) -> Vec<(&str, &Origin)> {
        let data = &self.classification;
        let harmonised = data
            .harmonised
            .iter()
            .flat_map(|h| h.classes.iter().map(|c| (c.as_str(), &h.from)));
        let added = data.added.iter().filter(|a| a.adopted);
        harmonised
            .chain(added.flat_map(|a| a.classes.iter().map(|c| (c.as_str(), &a.from))))
            .collect()
    }

    /// The statements of its classes and its supplemental ones, without stars.
    pub fn statements(&self) -> impl Iterator<Item = &str> {
        let of_classes = self
            .classes()
            .into_iter()
            .filter_map(|(class, _)| Some(class.rsplit_once(' ')?.1.trim_end_matches('*')));
        let supplemental = self.classification.supplemental.iter();
        of_classes.chain(supplemental.map(String::as_str))
    }

    /// Whether nobody has said anything about its hazards: to be treated as the worse case.
    pub fn is_unclassified(&self) -> bool {
        self.classes().is_empty() && self.classification.none.is_none()
    }
}

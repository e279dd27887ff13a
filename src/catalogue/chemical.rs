//! One chemical as it stands in a jar: what `hazards/chemicals/<id>.yaml` says of it.

use std::collections::BTreeMap;

use serde::Deserialize;
use validator::Validate;

use crate::provenance::Origin;

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

/// Hazard classes by who assigned them.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClassificationData {
    /// The binding EU/UK entry.
    #[serde(default)]
    pub harmonised: Option<Harmonised>,
    /// What others add.
    #[serde(default)]
    pub added: Vec<Added>,
    /// EUH statements.
    #[serde(default)]
    pub supplemental: Vec<String>,
    /// Where those are from.
    #[serde(default)]
    pub supplemental_from: Option<Origin>,
    /// On whose word nothing is classified.
    #[serde(default)]
    pub none: Option<Unclassified>,
}

/// An entry of CLP Annex VI, Table 3.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Harmonised {
    /// Index number.
    pub index: String,
    /// Classes in the table's notation, `Acute Tox. 4* H302`.
    pub classes: Vec<String>,
    /// Specific concentration limits, `Skin Corr. 1B H314 >= 5`.
    #[serde(default)]
    pub limits: Vec<String>,
    /// M-factors.
    #[serde(default)]
    pub m: MFactors,
    /// Acute toxicity estimates by route: mg/kg; gas ppm; vapour, dust mg/L.
    #[serde(default)]
    pub ate: BTreeMap<String, f64>,
    /// Notes of the table.
    #[serde(default)]
    pub notes: String,
    /// Where it was read.
    pub from: Origin,
}

/// Multiplying factors of the aquatic classes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MFactors {
    /// Acute.
    #[serde(default)]
    pub acute: Option<f64>,
    /// Chronic.
    #[serde(default)]
    pub chronic: Option<f64>,
}

/// Classes that suppliers or other authorities add.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Added {
    /// Who says so.
    pub by: String,
    /// Classes in the same notation.
    pub classes: Vec<String>,
    /// Whether they are part of what is printed.
    pub adopted: bool,
    /// Why, or why not.
    #[serde(default)]
    pub why: String,
    /// Specific limits they state.
    #[serde(default)]
    pub limits: Vec<String>,
    /// M-factors they state.
    #[serde(default)]
    pub m: MFactors,
    /// Acute toxicity estimates they state.
    #[serde(default)]
    pub ate: BTreeMap<String, f64>,
    /// Where it was read.
    pub from: Origin,
}

/// The statement that a chemical is not classified.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unclassified {
    /// On what ground.
    pub why: String,
    /// Where it was read.
    pub from: Origin,
}

/// A lethal dose or concentration.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AcuteToxicity {
    /// oral, dermal, inhalation.
    pub route: String,
    /// The animal.
    #[serde(default)]
    pub species: Option<String>,
    /// The figure; none when only its absence is known.
    #[serde(default)]
    pub value: Option<f64>,
    /// Its unit.
    #[serde(default)]
    pub unit: Option<String>,
    /// Remarks.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it was read.
    pub from: Origin,
}

/// A workplace exposure limit.
#[derive(Debug, Clone, Deserialize, Validate)]
#[serde(deny_unknown_fields)]
pub struct ExposureLimit {
    /// OSHA PEL, NIOSH REL, UK WEL …
    pub body: String,
    /// us, eu, uk, ca, de …
    pub region: String,
    /// TWA, STEL or ceiling.
    pub kind: String,
    /// The figure; none when the body lists the chemical without one.
    #[serde(default)]
    #[validate(range(min = 0.0))]
    pub value: Option<f64>,
    /// mg/m3 or ppm.
    #[serde(default)]
    pub unit: Option<String>,
    /// Inhalable, respirable, total.
    #[serde(default)]
    pub fraction: Option<String>,
    /// Averaging time.
    #[serde(default)]
    pub minutes: Option<f64>,
    /// Remarks.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it was read.
    pub from: Origin,
}

/// Immediately dangerous concentration, or why none is known.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Idlh {
    /// The figure.
    #[serde(default)]
    pub value: Option<f64>,
    /// mg/m3 or ppm.
    #[serde(default)]
    pub unit: Option<String>,
    /// Why there is none.
    #[serde(default)]
    pub unknown: Option<String>,
    /// Remarks.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it was read.
    pub from: Origin,
}

/// Yes, no or not known.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Flag {
    /// `true`, `false` or `unknown`.
    pub value: serde_json::Value,
    /// Remarks.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it was read.
    pub from: Origin,
}

impl Flag {
    /// Unknown counts as yes.
    pub fn worse_case(&self) -> bool {
        self.value.as_bool().unwrap_or(true)
    }
}

/// Allergy by route.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sensitiser {
    /// Through skin.
    pub skin: serde_json::Value,
    /// Through breathing.
    pub breathing: serde_json::Value,
    /// Remarks.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it was read.
    pub from: Origin,
}

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

/// Dustiness of a powder.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dust {
    /// high, medium or low.
    pub band: String,
    /// Where it was read.
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

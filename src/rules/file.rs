//! A local rule file as it was taken: every name known, every value a quantity, every place kept.

use chrono::NaiveDate;
use serde::Serialize;

use crate::air::{Gas, LimitKind, Region};
use crate::catalogue::ExposureLimit;
use crate::provenance::Origin;
use crate::session::Written;
use crate::source::Place;
use crate::units::{AirFlow, Duration};
use crate::waste::Effect;

use super::{Concentration, Target};

/// One rule, with what the file says beside it.
#[derive(Debug, Clone)]
pub struct Rule<T> {
    /// What it sets.
    pub what: T,
    /// Why, in the file's words.
    pub why: Option<String>,
    /// The permit, order or law it goes by.
    pub authority: Option<String>,
    /// Where it stands.
    pub place: Place,
}

/// Who issued the rules, and what they cite.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Authority {
    /// Who issued them.
    pub issued_by: Option<String>,
    /// The order, permit or law.
    pub cites: Option<String>,
}

/// A rule file.
#[derive(Debug, Clone)]
pub struct RuleFile {
    /// Its name.
    pub file: String,
    /// Where it begins.
    pub top: Place,
    /// What the rules are called.
    pub title: String,
    /// Who issued them.
    pub authority: Option<Authority>,
    /// Their day.
    pub date: NaiveDate,
    /// The day they must be looked at again.
    pub review_by: Option<NaiveDate>,
    /// Packs (`eu`) and rule files they build on.
    pub based_on: Vec<Written<String>>,
    /// Exposure limits.
    pub limits: Vec<Rule<Limit>>,
    /// What may not be opened here.
    pub forbid: Vec<Rule<Forbid>>,
    /// What must be there.
    pub require: Vec<Rule<Require>>,
    /// What may go down which drain.
    pub drain: Vec<Rule<Drain>>,
    /// How long waste may stay.
    pub days: Vec<Rule<Days>>,
    /// Lines on labels.
    pub labels: Vec<Rule<Label>>,
    /// Numbers.
    pub emergency: Option<Rule<Emergency>>,
    /// How old people must be.
    pub ages: Vec<Rule<Age>>,
    /// How long records are kept.
    pub retention: Vec<Rule<Retention>>,
    /// How often people are briefed anew.
    pub briefing_every: Option<Rule<Duration>>,
    /// Lines on documents.
    pub text: Vec<Rule<TextRule>>,
}

impl RuleFile {
    /// Where everything in it is from.
    pub fn origin(&self) -> Origin {
        Origin::LocalRule {
            file: self.file.clone(),
        }
    }
}

/// An exposure limit.
#[derive(Debug, Clone)]
pub struct Limit {
    /// The name it is set for.
    pub name: String,
    /// The gas of that name, by id.
    pub gas: Option<String>,
    /// The chemical of that name, by root id.
    pub chemical: Option<String>,
    /// What it limits.
    pub kind: LimitKind,
    /// How much.
    pub value: Concentration,
}

impl Limit {
    /// As a limit of a gas; nothing where ppm cannot be turned into mg/m³.
    pub fn of_gas(&self, gas: &Gas, title: &str, origin: &Origin) -> Option<crate::air::Limit> {
        Some(crate::air::Limit {
            body: title.to_owned(),
            region: Region::Local,
            kind: self.kind,
            mg_per_m3: self.value.mg_per_m3(Some(gas.molar_mass.value))?,
            converted: self.value.is_ppm(),
            ppm: self.value.ppm(),
            minutes: minutes(self.kind),
            note: String::new(),
            origin: origin.clone(),
        })
    }
}

impl Limit {
    /// As a limit of a chemical.
    pub fn of_chemical(&self, title: &str, origin: &Origin) -> ExposureLimit {
        let (value, unit) = self.value.parts();
        ExposureLimit {
            body: title.to_owned(),
            region: "local".to_owned(),
            kind: self.kind.to_string(),
            value: Some(value),
            unit: Some(unit.to_owned()),
            fraction: None,
            minutes: Some(minutes(self.kind)),
            note: None,
            from: origin.clone(),
        }
    }
}

/// Averaging time of a kind of limit: 8 h, 15 min, at no moment.
pub(super) const fn minutes(kind: LimitKind) -> f64 {
    match kind {
        LimitKind::WorkingDay => 480.0,
        LimitKind::ShortTerm => 15.0,
        LimitKind::Ceiling => 0.0,
    }
}

/// What may not be opened here.
#[derive(Debug, Clone)]
pub struct Forbid {
    /// Which chemicals.
    pub target: Target,
}

/// Something that must be there.
#[derive(Debug, Clone)]
pub struct Require {
    /// What.
    pub need: Need,
    /// Only where one of these is opened.
    pub about: Option<Target>,
}

/// What can be required.
#[derive(Debug, Clone, PartialEq)]
pub enum Need {
    /// An item of the wear list, by id.
    Wear(String),
    /// Changes of the room's air an hour.
    Changes(f64),
    /// Fresh air.
    FreshAir(AirFlow),
    /// Someone of this role; anyone who supervises where empty.
    Supervision(String),
    /// Nobody alone.
    SecondPerson,
    /// An eyewash.
    Eyewash,
    /// A spill kit.
    SpillKit,
}

/// What may become of a stream at a drain.
#[derive(Debug, Clone, PartialEq)]
pub struct Drain {
    /// The stream.
    pub stream: String,
    /// What is said of it.
    pub is: DrainIs,
}

/// Whether a drain is open to a stream.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DrainIs {
    /// It is not.
    None,
    /// Someone is asked first.
    Ask,
    /// Only so, by a permit that is cited.
    Conditions(String),
}

impl Drain {
    /// As a rule of a pack, in words: nothing here allows.
    pub fn in_words(&self) -> (Effect, String) {
        match &self.is {
            DrainIs::None => (Effect::Forbids, "no drain".to_owned()),
            DrainIs::Ask => (Effect::Ask, "ask before any drain".to_owned()),
            DrainIs::Conditions(text) => (Effect::Limits, text.clone()),
        }
    }
}

/// How long waste of a stream may stay.
#[derive(Debug, Clone, PartialEq)]
pub struct Days {
    /// The stream.
    pub stream: String,
    /// Days.
    pub at_most: f64,
}

/// A line on a label.
#[derive(Debug, Clone)]
pub struct Label {
    /// On which labels.
    pub on: LabelOn,
    /// Only where one of these is in it.
    pub about: Option<Target>,
    /// The line.
    pub text: String,
}

/// Kinds of label.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LabelOn {
    /// Bottles.
    Bottle,
    /// Waste containers.
    Waste,
    /// Both.
    All,
}

/// Numbers to call.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Emergency {
    /// Emergency number.
    pub emergency: Option<String>,
    /// Poison advice.
    pub poison: Option<String>,
    /// Others: who, number.
    pub others: Vec<(String, String)>,
}

/// How old people must be.
#[derive(Debug, Clone)]
pub struct Age {
    /// Only where one of these is opened.
    pub about: Option<Target>,
    /// Years.
    pub at_least: u32,
}

/// How long records are kept.
#[derive(Debug, Clone)]
pub struct Retention {
    /// Which.
    pub records: Records,
    /// How long at least.
    pub at_least: Duration,
}

/// Records of a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Records {
    /// The book of waste and its receipts.
    Waste,
    /// Who was briefed.
    Briefings,
    /// Data sheets.
    DataSheets,
}

/// A line on documents.
#[derive(Debug, Clone)]
pub struct TextRule {
    /// On which documents.
    pub on: Vec<Document>,
    /// Only where one of these is in them.
    pub about: Option<Target>,
    /// The line.
    pub text: String,
}

/// Documents that take a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Document {
    Sheet,
    Brief,
    Label,
    Card,
    Solution,
    Meet,
    Air,
    Codes,
    Tally,
    Report,
    Compare,
    Classify,
    Check,
}

impl Document {
    /// All of them, each with the name it goes by in a rule file.
    pub const ALL: [(&'static str, Self); 13] = [
        ("sheet", Self::Sheet),
        ("brief", Self::Brief),
        ("label", Self::Label),
        ("card", Self::Card),
        ("solution", Self::Solution),
        ("meet", Self::Meet),
        ("air", Self::Air),
        ("codes", Self::Codes),
        ("tally", Self::Tally),
        ("report", Self::Report),
        ("compare", Self::Compare),
        ("classify", Self::Classify),
        ("check", Self::Check),
    ];
}

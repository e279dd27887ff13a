//! The bench sheet: an assessment told to whoever stands at the bench.
//!
//! [`BenchSheet::of`] gathers what the page says; the template decides the words around it and the
//! order. The same gathering is what `sheet --format json` prints.

mod aid;
mod air;
mod hazards;
mod near;
mod solutions;
mod sources;
mod wear;

use serde::Serialize;

use crate::assessment::{Assessment, Rules};
use crate::catalogue::{Catalogue, DataError, Guidance, Sign, Statements};
use crate::finding::{Finding, Severity};
use crate::provenance::Origin;

use super::{Told, Wording};

pub(super) use aid::Said;
pub use aid::{Aid, Route};
pub use air::{AirView, PictureView, drawing};
pub use hazards::{LabelView, PictogramView};
pub(super) use hazards::{bath_label, carried};
pub use near::{LookAlikeView, MeetView};
pub use solutions::SolutionView;
pub use sources::SourceView;
pub(super) use wear::enough;
pub use wear::{WearRow, WearSummary};

/// Everything on a bench sheet.
#[derive(Debug, Serialize)]
pub struct BenchSheet {
    title: String,
    date: String,
    place: Option<String>,
    people: String,
    responsible: Option<String>,
    phone: Option<String>,
    note: Option<String>,
    makes: Vec<String>,
    stops: Vec<FindingView>,
    attentions: Vec<FindingView>,
    powders: LabelView,
    finished: Vec<LabelView>,
    /// The strongest signal word of the solutions.
    finished_signal: Option<String>,
    /// All pictograms of the solutions.
    finished_pictograms: Vec<PictogramView>,
    wear_summary: WearSummary,
    wear: Vec<WearRow>,
    wear_cautions: Vec<Line>,
    meet: Vec<MeetView>,
    signs: Vec<Line>,
    stop_rule: Vec<Line>,
    first_aid: Aid,
    call: Call,
    solutions: Vec<SolutionView>,
    air: AirView,
    look_alikes: Vec<LookAlikeView>,
    spill: Vec<ForLine>,
    watch: Vec<ForLine>,
    sources: Vec<SourceView>,
    deference: String,
}

/// A sentence with the mark of where it is from: † common practice, ‡ from memory.
#[derive(Debug, Clone, Serialize)]
pub struct Line {
    /// The sentence.
    pub text: String,
    /// `†`, `‡`, `§` or nothing.
    pub mark: &'static str,
}

/// A sentence and what it is about.
#[derive(Debug, Clone, Serialize)]
pub struct ForLine {
    /// The chemicals.
    pub about: String,
    /// The sentence.
    pub text: String,
    /// `†`, `‡`, `§` or nothing.
    pub mark: &'static str,
}

/// A finding in words.
#[derive(Debug, Serialize)]
pub struct FindingView {
    code: String,
    subject: String,
    #[serde(flatten)]
    told: Told,
}

/// Whom to call and what to say.
#[derive(Debug, Serialize)]
pub struct Call {
    emergency: Option<String>,
    poison: Option<String>,
    poison_note: Option<String>,
    pub(super) eyewash: Option<String>,
    pub(super) spill_kit: Option<String>,
    pub(super) way_out: Option<String>,
    address: Option<String>,
    say: Vec<Line>,
    names: Vec<NameView>,
}

/// A name to read out on the phone.
#[derive(Debug, Serialize)]
struct NameView {
    name: String,
    cas: Option<String>,
    formula: Option<String>,
    amount: String,
}

/// What a sheet is made from besides the assessment.
#[derive(Debug, Clone, Copy)]
pub struct Material<'a> {
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// Classes and labels.
    pub rules: &'a Rules,
    /// Statements in the sheet's language.
    pub statements: &'a Statements,
    /// Words in the sheet's language.
    pub wording: &'a Wording,
    /// The sheet's language.
    pub language: &'a str,
}

impl BenchSheet {
    /// Gathers the sheet of an assessment.
    ///
    /// # Errors
    /// When a data file it needs cannot be read.
    pub fn of(assessment: &Assessment, material: &Material<'_>) -> Result<Self, DataError> {
        let guidance = Guidance::load(material.catalogue.files())?;
        let plan = &assessment.plan;
        let setting = &plan.setting;
        let told = |severity| findings(assessment, material, severity);
        let finished = hazards::finished(assessment, material);
        let (finished_signal, finished_pictograms) = hazards::of_all(assessment, material);
        Ok(Self {
            title: plan.title.clone(),
            date: plan
                .date
                .map(|date| material.wording.date(date))
                .unwrap_or_default(),
            place: setting.name.clone(),
            people: people(assessment),
            responsible: setting.responsible.clone(),
            phone: setting.phone.clone(),
            note: plan.note.clone(),
            makes: plan
                .solutions
                .iter()
                .map(|s| format!("{} of {}", s.volume, s.title))
                .collect(),
            stops: told(Severity::Stop),
            attentions: told(Severity::Attention),
            powders: hazards::powders(assessment, material),
            finished,
            finished_signal,
            finished_pictograms,
            wear_summary: wear::summary(assessment, material.catalogue),
            wear: wear::rows(assessment, material.catalogue),
            wear_cautions: lines(&material.catalogue.wear().cautions),
            meet: near::meet(assessment, material.wording),
            signs: signs(assessment, &guidance),
            stop_rule: lines(&guidance.symptoms.stop_rule),
            first_aid: aid::aid(assessment),
            call: call(assessment, material, &guidance),
            solutions: solutions::views(assessment, material),
            air: air::view(assessment, material, &guidance),
            look_alikes: near::look_alikes(assessment),
            spill: for_lines(&assessment.first_aid.spill),
            watch: for_lines(&assessment.first_aid.watch),
            sources: sources::list(assessment, material, &guidance),
            deference: material.wording.word("deference").to_owned(),
        })
    }
}

impl BenchSheet {
    /// Takes the curve of the air off, for a medium without pictures: its figures stay.
    pub fn take_picture(&mut self) {
        self.air.picture = None;
    }
}

/// † common practice, ‡ from memory, § the place's own data sheet or rule, nothing for what has another source.
pub fn mark(origin: &Origin) -> &'static str {
    match origin {
        Origin::Practice => "\u{a0}†",
        Origin::Memory => "\u{a0}‡",
        Origin::DataSheet { .. } | Origin::LocalRule { .. } => "\u{a0}§",
        _ => "",
    }
}

pub(super) fn line(text: &str, origin: &Origin) -> Line {
    Line {
        text: text.to_owned(),
        mark: mark(origin),
    }
}

pub fn lines(texts: &[crate::catalogue::Text]) -> Vec<Line> {
    texts
        .iter()
        .map(|text| line(&text.text, &text.from))
        .collect()
}

fn for_lines(list: &[(String, Vec<String>, Origin)]) -> Vec<ForLine> {
    let view = |(text, names, origin): &(String, Vec<String>, Origin)| ForLine {
        about: names.join(", "),
        text: text.clone(),
        mark: mark(origin),
    };
    list.iter().map(view).collect()
}

/// Findings of one weight, but for those that have a place of their own on the sheet.
fn findings(
    assessment: &Assessment,
    material: &Material<'_>,
    severity: Severity,
) -> Vec<FindingView> {
    let elsewhere = |finding: &Finding| {
        let code = finding.code.as_str();
        severity != Severity::Stop && (code == "meet/reaction" || code.starts_with("air/"))
    };
    let shown = assessment
        .findings
        .iter()
        .filter(|f| f.severity == severity && !elsewhere(f));
    shown
        .map(|finding| FindingView::of(finding, material))
        .collect()
}

impl FindingView {
    fn of(finding: &Finding, material: &Material<'_>) -> Self {
        Self {
            code: finding.code.to_string(),
            subject: finding.subject.to_string(),
            told: material.wording.tell(finding),
        }
    }
}

fn people(assessment: &Assessment) -> String {
    let one = |person: &crate::session::Person| match person.count {
        1 => person.name.clone(),
        count => format!("{} ({count})", person.name),
    };
    assessment
        .plan
        .people
        .iter()
        .map(one)
        .collect::<Vec<_>>()
        .join(", ")
}

fn signs(assessment: &Assessment, guidance: &Guidance) -> Vec<Line> {
    signs_today(assessment, guidance)
        .into_iter()
        .map(|sign| line(&sign.text, &sign.from))
        .collect()
}

/// The signs of the gases that could come up today, and those of any.
pub(super) fn signs_today<'g>(assessment: &Assessment, guidance: &'g Guidance) -> Vec<&'g Sign> {
    let gases: Vec<&str> = assessment
        .findings
        .iter()
        .filter_map(|finding| finding.facts.get("gas").and_then(|gas| gas.as_str()))
        .collect();
    let today = |sign: &&Sign| {
        sign.gases.is_empty() || sign.gases.iter().any(|gas| gases.contains(&gas.as_str()))
    };
    guidance.symptoms.signs.iter().filter(today).collect()
}

pub(super) fn call(assessment: &Assessment, material: &Material<'_>, guidance: &Guidance) -> Call {
    let setting = &assessment.plan.setting;
    let rules = setting.rules.first().map_or("eu", String::as_str);
    let region = guidance
        .emergency
        .regions
        .iter()
        .find(|region| region.id == rules);
    let emergency = region.and_then(|region| region.emergency.number.clone());
    Call {
        emergency: setting.emergency.clone().or(emergency),
        poison: setting
            .poison
            .clone()
            .or_else(|| region.and_then(|region| region.poison.number.clone())),
        poison_note: region
            .filter(|_| setting.poison.is_none())
            .map(|region| region.poison.text.clone()),
        eyewash: setting.eyewash.clone(),
        spill_kit: setting.spill_kit.clone(),
        way_out: setting.way_out.clone(),
        address: setting.address.clone(),
        say: lines(&guidance.emergency.say),
        names: names(assessment, material),
    }
}

/// Everything that is opened today, with how much of it is handled.
fn names(assessment: &Assessment, material: &Material<'_>) -> Vec<NameView> {
    let handled = |id: &str| -> f64 {
        let additions = assessment.plan.solutions.iter().flat_map(|s| s.additions());
        additions
            .filter(|(_, added)| added.jar.id == id)
            .map(|(_, added)| added.mass.grams())
            .sum()
    };
    let view = |hazards: &crate::assessment::ChemicalHazards| {
        let chemical = &hazards.chemical;
        let mass = crate::units::Mass::from_grams(handled(&chemical.id));
        NameView {
            name: chemical.name_in(material.language).to_owned(),
            cas: chemical.cas.clone(),
            formula: chemical
                .formula
                .as_deref()
                .map(crate::catalogue::formula::pretty),
            amount: mass.map(|mass| mass.to_string()).unwrap_or_default(),
        }
    };
    assessment
        .chemicals
        .iter()
        .filter(|hazards| hazards.chemical.id != "water")
        .map(view)
        .collect()
}

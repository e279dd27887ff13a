//! The briefing: an assessment told to someone who has never opened a jar.
//!
//! [`Brief::of`] gathers what the pages say; the template decides the words around it. The
//! paragraphs that the law asks for are named in `hazards/briefing.yaml`.

mod make;
mod questions;
mod wear;
mod words;

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::assessment::{Assessment, Measure};
use crate::catalogue::{DataError, Family, Guidance, Named, Sign};
use crate::finding::Finding;
use crate::provenance::Origin;

use super::Wording;
use super::sheet::{self, Call, Line, Material, line, mark};

pub use make::{HarmView, MakeView};
pub use questions::Question;
pub use wear::WearView;
pub use words::BriefWords;

/// Cautions at the bench that are told, the gravest first; the bench sheet has the rest.
const CAUTIONS: usize = 5;
/// Empty lines to sign on where nobody is named, and the most there are.
const LINES: u32 = 6;
const MOST_LINES: u32 = 40;

/// Everything a briefing says.
#[derive(Debug, Serialize)]
pub struct Brief {
    title: String,
    date: String,
    place: Option<String>,
    responsible: Option<String>,
    phone: Option<String>,
    /// Set for eyes that need large print.
    large: bool,
    stops: Vec<String>,
    makes: Vec<MakeView>,
    harms: Vec<HarmView>,
    /// Jars nobody has classified.
    no_data: Vec<String>,
    signs: Vec<SignView>,
    wear: Vec<WearView>,
    cautions: Vec<Line>,
    never: Vec<NeverView>,
    call: Call,
    eyes: Aid,
    skin: Aid,
    breathed: Aid,
    swallowed: Aid,
    people: Vec<PeopleView>,
    names: Vec<NameView>,
    questions: Vec<Question>,
    sign_off: Vec<String>,
    covers: Vec<CoverView>,
    deference: String,
}

/// A sign that something is wrong.
#[derive(Debug, Serialize)]
struct SignView {
    text: String,
    means: Option<String>,
    emergency: bool,
    mark: &'static str,
}

/// Two things that must not meet.
#[derive(Debug, Clone, Serialize)]
struct NeverView {
    a: String,
    b: String,
    comes: String,
}

/// The first minute for one route.
#[derive(Debug, Serialize)]
struct Aid {
    minutes: Option<u32>,
    text: String,
    mark: &'static str,
}

/// Whom to ask before, and because of what; never who.
#[derive(Debug, Serialize)]
struct PeopleView {
    id: String,
    names: Vec<String>,
}

/// A name as it stands on the jar, and the limits in air.
#[derive(Debug, Serialize)]
struct NameView {
    name: String,
    cas: Option<String>,
    limits: Vec<String>,
}

/// What a law asks to be told, and where the page tells it.
#[derive(Debug, Serialize)]
struct CoverView {
    says: String,
    paragraphs: Vec<String>,
    law: String,
    at: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Cover {
    says: String,
    paragraphs: Vec<String>,
    from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BriefingFile {
    covers: Vec<Cover>,
}

impl Brief {
    /// Gathers the briefing of an assessment.
    ///
    /// # Errors
    /// When a data file it needs cannot be read.
    pub fn of(
        assessment: &Assessment,
        material: &Material<'_>,
        words: &BriefWords,
        large: bool,
    ) -> Result<Self, DataError> {
        let files = material.catalogue.files();
        let guidance = Guidance::load(files)?;
        let (plan, aid) = (&assessment.plan, &assessment.first_aid);
        let mut brief = Self {
            title: plan.title.clone(),
            date: plan
                .date
                .map(|date| material.wording.date(date))
                .unwrap_or_default(),
            place: plan.setting.name.clone(),
            responsible: plan.setting.responsible.clone(),
            phone: plan.setting.phone.clone(),
            large,
            stops: stops(assessment, material),
            makes: make::makes(assessment, material, words),
            harms: make::harms(&assessment.chemicals, material, words),
            no_data: no_data(assessment, material),
            signs: signs(assessment, &guidance),
            wear: wear::wear(assessment, material.catalogue),
            cautions: cautions(assessment, material),
            never: never(assessment, material.wording),
            call: sheet::call(assessment, material, &guidance),
            eyes: first_minute(&aid.eyes),
            skin: first_minute(&aid.skin),
            breathed: first_minute(&aid.breathed),
            swallowed: first_minute(&aid.swallowed),
            people: people(assessment, material),
            names: names(assessment, material),
            questions: Vec::new(),
            sign_off: sign_off(assessment),
            covers: covers(files.read("hazards/briefing.yaml")?, material),
            deference: material.wording.word("deference").to_owned(),
        };
        brief.questions = questions::questions(words, &brief.facts(assessment, material))?;
        Ok(brief)
    }

    /// Words that a reader takes from the label as they stand: names and titles of this day.
    pub fn names_on_labels(&self) -> BTreeSet<String> {
        let titles = self.makes.iter().map(|make| make.title.as_str());
        let names = self.names.iter().map(|name| name.name.as_str());
        let words = titles
            .chain(names)
            .flat_map(|name| name.split(|c: char| !c.is_alphanumeric()));
        words.map(str::to_lowercase).collect()
    }

    /// What is asked about; nothing is an empty text.
    fn facts(
        &self,
        assessment: &Assessment,
        material: &Material<'_>,
    ) -> BTreeMap<&'static str, String> {
        let known = |fact: &Option<String>| fact.clone().unwrap_or_default();
        let never = self.never.first();
        let glove = self.wear.iter().find(|wear| wear.is_glove());
        let mut facts = BTreeMap::from([
            ("eyewash", known(&self.call.eyewash)),
            ("spill_kit", known(&self.call.spill_kit)),
            ("way_out", known(&self.call.way_out)),
            ("a", never.map(|n| n.a.clone()).unwrap_or_default()),
            ("b", never.map(|n| n.b.clone()).unwrap_or_default()),
            ("comes", never.map(|n| n.comes.clone()).unwrap_or_default()),
            (
                "sign",
                self.signs
                    .first()
                    .map(|s| s.text.clone())
                    .unwrap_or_default(),
            ),
            ("glove", glove.map(|g| g.title.clone()).unwrap_or_default()),
            (
                "glove_step",
                glove
                    .and_then(|g| g.steps.first().cloned())
                    .unwrap_or_default(),
            ),
            (
                "eyes_minutes",
                self.eyes.minutes.map(|m| m.to_string()).unwrap_or_default(),
            ),
        ]);
        facts.extend(make::first_in(assessment, material));
        facts
    }
}

/// A briefing does not hide that the day may not begin yet.
fn stops(assessment: &Assessment, material: &Material<'_>) -> Vec<String> {
    let stops = assessment
        .findings
        .iter()
        .filter(|finding| finding.severity == crate::finding::Severity::Stop);
    stops
        .map(|finding| {
            let message = material.wording.tell(finding).message;
            message.trim_end_matches('.').to_owned()
        })
        .collect()
}

fn no_data(assessment: &Assessment, material: &Material<'_>) -> Vec<String> {
    let unknown = assessment
        .chemicals
        .iter()
        .filter(|hazards| hazards.chemical.is_unclassified());
    unknown
        .map(|hazards| hazards.chemical.name_in(material.language).to_owned())
        .collect()
}

fn signs(assessment: &Assessment, guidance: &Guidance) -> Vec<SignView> {
    let view = |sign: &Sign| SignView {
        text: sign.text.clone(),
        means: sign.means.clone(),
        emergency: sign.emergency,
        mark: mark(&sign.from),
    };
    sheet::signs_today(assessment, guidance)
        .into_iter()
        .map(view)
        .collect()
}

fn cautions(assessment: &Assessment, material: &Material<'_>) -> Vec<Line> {
    let ids: BTreeSet<&String> = assessment
        .chemicals
        .iter()
        .flat_map(|hazards| &hazards.chemical.families)
        .collect();
    let mut families: Vec<&Family> = ids
        .into_iter()
        .filter_map(|id| material.catalogue.family(id))
        .collect();
    families.sort_by_key(|family| std::cmp::Reverse(family.rank));
    let mut lines: Vec<Line> = Vec::new();
    for caution in families.iter().filter_map(|family| family.handling.first()) {
        if !lines.iter().any(|line| line.text == caution.text) {
            lines.push(line(&caution.text, &caution.from));
        }
    }
    lines.truncate(CAUTIONS);
    lines
}

fn fact(finding: &Finding, name: &str) -> Option<String> {
    let text = finding.facts.get(name)?.as_str()?;
    (!text.is_empty()).then(|| text.to_owned())
}

fn never(assessment: &Assessment, wording: &Wording) -> Vec<NeverView> {
    let mut pairs: Vec<NeverView> = Vec::new();
    let met = assessment
        .findings
        .iter()
        .filter(|finding| finding.code.as_str() == "meet/reaction");
    for finding in met {
        let (Some(a), Some(b)) = (fact(finding, "a"), fact(finding, "b")) else {
            continue;
        };
        let comes = fact(finding, "gas").or_else(|| fact(finding, "consequence"));
        // The worst comes first: one reason is enough to keep two things apart.
        if !pairs
            .iter()
            .any(|other| other.a == a && other.b.contains(&b))
        {
            pairs.push(NeverView {
                a: wording.known(&a),
                b: wording.known(&b),
                comes: comes.unwrap_or_default(),
            });
        }
    }
    pairs
}

fn first_minute(measure: &Measure) -> Aid {
    let first = measure.lines.first();
    Aid {
        minutes: measure.minutes,
        text: first.map(|line| line.text.clone()).unwrap_or_default(),
        mark: first.map_or("", |line| mark(&line.origin)),
    }
}

fn people(assessment: &Assessment, material: &Material<'_>) -> Vec<PeopleView> {
    let in_language = |name: &str| match material.catalogue.named(name) {
        Some(Named::Entry(chemical)) => chemical.name_in(material.language).to_owned(),
        _ => name.to_owned(),
    };
    let asked = assessment.findings.iter().filter_map(|finding| {
        let id = finding.code.as_str().strip_prefix("people/")?;
        // Findings on single people carry no such list.
        let names = finding.facts.get("all")?.as_array()?;
        Some(PeopleView {
            id: id.to_owned(),
            names: names
                .iter()
                .filter_map(|name| name.as_str().map(in_language))
                .collect(),
        })
    });
    asked.collect()
}

/// Everything that is opened today, with the limits in air of the rules in force.
fn names(assessment: &Assessment, material: &Material<'_>) -> Vec<NameView> {
    let region = assessment.plan.setting.rules.first();
    let region = region.map_or("eu", String::as_str);
    let jars = assessment
        .chemicals
        .iter()
        .map(|hazards| &hazards.chemical)
        .filter(|chemical| chemical.id != "water");
    let view = |chemical: &std::sync::Arc<crate::catalogue::Chemical>| {
        let limits = chemical
            .limits
            .iter()
            .filter(|limit| limit.region == region || limit.region == "local");
        let told = limits.filter_map(|limit| {
            let (value, unit) = (limit.value?, limit.unit.as_deref().unwrap_or_default());
            let unit = unit.replace("m3", "m³");
            let origin = mark(&limit.from);
            Some(format!(
                "{} {} {value} {unit}{origin}",
                limit.body, limit.kind
            ))
        });
        NameView {
            name: chemical.name_in(material.language).to_owned(),
            cas: chemical.cas.clone(),
            limits: told.collect(),
        }
    };
    jars.map(view).collect()
}

/// Named people, then an empty line for everyone of a group.
fn sign_off(assessment: &Assessment) -> Vec<String> {
    let people = &assessment.plan.people;
    let named = people.iter().filter(|person| person.count == 1);
    let others: u32 = people
        .iter()
        .map(|person| person.count)
        .filter(|count| *count != 1)
        .fold(0, u32::saturating_add);
    let empty = if people.is_empty() {
        LINES
    } else {
        others.min(MOST_LINES)
    };
    named
        .map(|person| person.name.clone())
        .chain((0..empty).map(|_| String::new()))
        .collect()
}

fn covers(file: BriefingFile, material: &Material<'_>) -> Vec<CoverView> {
    let view = |cover: Cover| {
        let (id, at) = match cover.from {
            Origin::Published { reference, at } => (reference, at),
            other => (other.kind().to_owned(), String::new()),
        };
        let law = material.catalogue.bibliography().get(&id);
        CoverView {
            says: cover.says,
            paragraphs: cover.paragraphs,
            law: law.map_or(id, |law| law.title.clone()),
            at,
        }
    };
    file.covers.into_iter().map(view).collect()
}

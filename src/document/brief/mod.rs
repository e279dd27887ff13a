//! The briefing: an assessment told to someone who has never opened a jar.
//!
//! [`Brief::of`] gathers what the pages say; the template decides the words around it. The
//! paragraphs that the law asks for are named in `hazards/briefing.yaml`.

mod make;
mod questions;
mod told;
mod warnings;
mod wear;
mod words;

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::assessment::Assessment;
use crate::catalogue::{DataError, Guidance};

use super::sheet::{self, Call, Line, Material};

use self::told::{CoverView, NameView, PeopleView, covers, names, people, sign_off};
use self::warnings::{
    Aid, NeverView, SignView, cautions, first_minute, never, no_data, signs, stops,
};

pub use make::{HarmView, MakeView};
pub use questions::Question;
pub use wear::WearView;
pub use words::BriefWords;

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

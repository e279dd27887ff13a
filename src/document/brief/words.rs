//! The briefing's own words: `templates/briefing.yaml`.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use minijinja::{Environment, UndefinedBehavior};
use serde::Deserialize;

use crate::catalogue::{Catalogue, DataError, DataFiles, Kind};

use super::super::tongue::Tongue;
use super::super::wording::{speak, template};

/// The words of one language.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BriefWords {
    does: BTreeMap<String, String>,
    hurts: Vec<Hurt>,
    /// Words of the trade that a reader is told on the first day.
    pub dictionary: BTreeSet<String>,
    pub(super) questions: Vec<Ask>,
    /// The data's sentences in the language.
    #[serde(skip)]
    pub(super) tongue: Tongue,
}

/// What some hazard statements mean, in plain words.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Hurt {
    statements: Vec<String>,
    /// Statements that say it already.
    #[serde(default)]
    but_not: Vec<String>,
    text: String,
}

/// A question as Jinja over the facts of a briefing.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Ask {
    pub id: String,
    pub ask: String,
    pub right: String,
    pub wrong: Vec<String>,
}

impl BriefWords {
    /// The words of a language, English where there are none.
    ///
    /// # Errors
    /// When the file is missing or misshapen, or a question cannot be filled in.
    pub fn load(files: &DataFiles, language: &str) -> Result<Self, DataError> {
        let path = template(files, language, "briefing.yaml");
        let mut words: Self = files.read(&path)?;
        words.tongue = Tongue::load(files, language)?;
        Ok(words)
    }

    /// What a kind of solution is for; nothing for a kind without words.
    pub(super) fn does(&self, kind: &Kind, catalogue: &Catalogue) -> Option<&str> {
        let exact = self.does.get(&kind.id);
        let above = || {
            let of = |id: &&String| catalogue.is_kind(kind, &[(*id).clone()]);
            self.does.keys().find(of).and_then(|id| self.does.get(id))
        };
        exact.or_else(above).map(String::as_str)
    }

    /// Everything that statements can mean, worst first.
    pub(super) fn hurts_in_order(&self) -> Vec<&str> {
        self.hurts.iter().map(|hurt| hurt.text.as_str()).collect()
    }

    /// What statements mean, worst first, each thing once.
    pub fn hurts(&self, codes: &[&str]) -> Vec<&str> {
        let any = |stems: &[String]| {
            codes
                .iter()
                .any(|code| stems.iter().any(|stem| code.starts_with(stem.as_str())))
        };
        let said = self
            .hurts
            .iter()
            .filter(|hurt| any(&hurt.statements) && !any(&hurt.but_not));
        said.map(|hurt| hurt.text.as_str()).collect()
    }
}

/// Fills the questions' templates.
pub(super) fn environment(tongue: &Tongue) -> Environment<'static> {
    let mut environment = Environment::new();
    speak(&mut environment, &Arc::new(tongue.clone()));
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment
}

//! Sentences of the waste pages and of the terminal's tally, in the language asked for.

use std::collections::BTreeMap;

use minijinja::{Environment, UndefinedBehavior};
use serde::Serialize;

use crate::catalogue::{DataError, DataFiles};
use crate::document::template::{Sentences, known, sentences};

const FILE: &str = "waste-words.yaml";

/// The sentences of one language; English where it has none.
pub struct Phrases {
    phrases: BTreeMap<String, String>,
    sentences: Sentences,
    environment: Environment<'static>,
}

impl Phrases {
    /// The sentences of a language.
    ///
    /// # Errors
    /// When a file is missing or misshapen.
    pub fn load(files: &DataFiles, language: &str) -> Result<Self, DataError> {
        let mut phrases: BTreeMap<String, String> = files.read(&format!("templates/{FILE}"))?;
        let own = format!("templates/{language}/{FILE}");
        if files.text(&own).is_some() {
            phrases.extend(files.read::<BTreeMap<_, _>>(&own)?);
        }
        let translated =
            sentences(files, language).map_err(|error| DataError::new("sentences.yaml", error))?;
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        let own = translated.clone();
        environment.add_filter("known", move |text: String| known(&own, &text));
        Ok(Self {
            phrases,
            sentences: translated,
            environment,
        })
    }

    /// A sentence filled with facts; one that fails says so instead of hiding the facts.
    pub fn say(&self, name: &str, facts: &impl Serialize) -> String {
        let Some(phrase) = self.phrases.get(name) else {
            return name.to_owned();
        };
        let facts = minijinja::value::Serde(facts);
        let said = self.environment.render_str(phrase.trim(), facts);
        said.unwrap_or_else(|error| format!("{name}: the wording cannot be filled in: {error:#}"))
    }

    /// A sentence of the data in the language, English where it has none.
    pub fn known(&self, text: &str) -> String {
        known(&self.sentences, text)
    }

    /// A word that takes no facts.
    pub fn word(&self, name: &str) -> String {
        self.say(name, &BTreeMap::<String, String>::new())
    }
}

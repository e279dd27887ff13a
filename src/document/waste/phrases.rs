//! Sentences of the waste pages and of the terminal's tally, in the language asked for.

use std::collections::BTreeMap;
use std::sync::Arc;

use minijinja::{Environment, UndefinedBehavior};
use serde::Serialize;

use crate::catalogue::{DataError, DataFiles};
use crate::document::Tongue;
use crate::document::wording::{in_language, speak};

const FILE: &str = "waste-words.yaml";

/// The sentences of one language; English where it has none.
pub struct Phrases {
    phrases: BTreeMap<String, String>,
    tongue: Arc<Tongue>,
    environment: Environment<'static>,
}

impl Phrases {
    /// The sentences of a language.
    ///
    /// # Errors
    /// When a file is missing or misshapen.
    pub fn load(files: &DataFiles, language: &str) -> Result<Self, DataError> {
        Self::of(files, language, FILE)
    }

    /// The sentences of another file of `templates/` in a language.
    ///
    /// # Errors
    /// As [`Self::load`].
    pub fn of(files: &DataFiles, language: &str, file: &str) -> Result<Self, DataError> {
        let phrases = in_language(files, language, file)?;
        let tongue = Arc::new(Tongue::load(files, language)?);
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        speak(&mut environment, &tongue);
        Ok(Self {
            phrases,
            tongue,
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
        self.tongue.known(text)
    }

    /// What one of the book's own accounts is called; other places are as their people call them.
    pub fn account(&self, name: &str) -> String {
        let word = format!("account_{}", name.replace(' ', "_"));
        match self.phrases.contains_key(&word) {
            true => self.word(&word),
            false => name.to_owned(),
        }
    }

    /// A word that takes no facts.
    pub fn word(&self, name: &str) -> String {
        self.say(name, &BTreeMap::<String, String>::new())
    }
}

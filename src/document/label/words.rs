//! The words of labels by language: `templates/label.yaml`, `templates/de/label.yaml` …

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::catalogue::{DataError, DataFiles, Spelling, Statements};
use crate::classify::Profile;
use crate::document::tongue::{FOREIGN, Tongue};

/// The words and phrases of one language.
#[derive(Debug)]
pub struct LabelWords {
    /// Its tag.
    pub language: String,
    words: BTreeMap<String, String>,
    statements: Statements,
    tongue: Tongue,
    spelling: Spelling,
}

impl LabelWords {
    /// The words of a language; English ones as the rules in force spell them.
    ///
    /// # Errors
    /// When there are none: a label in another language than asked for would be a trap.
    pub fn load(files: &DataFiles, language: &str, profile: Profile) -> Result<Self, DataError> {
        let folder = if language == "en" {
            String::new()
        } else {
            format!("{language}/")
        };
        let spelling = match profile {
            Profile::Us => Spelling::of_the_us(files)?,
            Profile::Eu | Profile::Ghs => Spelling::default(),
        };
        let mut words: BTreeMap<String, String> =
            files.read(&format!("templates/{folder}label.yaml"))?;
        if language == "en" {
            for word in words.values_mut() {
                *word = spelling.of(word);
            }
        }
        Ok(Self {
            language: language.to_owned(),
            words,
            statements: Statements::load(files, language)?.spelled(spelling.clone()),
            tongue: Tongue::load(files, language)?,
            spelling,
        })
    }

    /// A word, or its name where it is missing.
    pub fn word<'w>(&'w self, name: &'w str) -> &'w str {
        self.words.get(name).map_or(name, String::as_str)
    }

    /// A word with `{what}` filled in.
    pub fn filled(&self, name: &str, what: &str, with: &str) -> String {
        self.word(name).replace(&format!("{{{what}}}"), with)
    }

    /// A date as labels write it.
    pub fn date(&self, date: NaiveDate) -> String {
        date.format(self.word("date")).to_string()
    }

    /// A sentence of the data in the language; English and marked where there is none.
    pub fn said(&self, text: &str) -> String {
        if self.language == "en" {
            return self.spelling.of(text);
        }
        self.tongue.said(text)
    }

    /// The same within a sentence: English names lose their capital, others keep what their language
    /// asks for.
    pub fn named(&self, title: &str) -> String {
        if self.language == "en" {
            self.said(&title.to_lowercase())
        } else {
            self.said(title)
        }
    }

    /// A statement as a sentence, with the names it asks for; of choices the label's own, where the
    /// words have one. Where the language lacks it, it is in English and marked: said wrongly it
    /// would be worse.
    pub fn sentence(&self, code: &str, about: &[String]) -> String {
        if let Some(chosen) = self.words.get(code) {
            return chosen.clone();
        }
        match self.statements.phrase_about(code, about) {
            Some((text, true)) => format!("{text}. {FOREIGN}"),
            Some((text, false)) => format!("{text}."),
            None => code.to_owned(),
        }
    }
}

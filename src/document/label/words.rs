//! The words of labels by language: `templates/label.yaml`, `templates/de/label.yaml` …

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::catalogue::{DataError, DataFiles, Statements};

/// The words and phrases of one language.
#[derive(Debug)]
pub struct LabelWords {
    /// Its tag.
    pub language: String,
    words: BTreeMap<String, String>,
    statements: Statements,
}

impl LabelWords {
    /// The words of a language.
    ///
    /// # Errors
    /// When there are none: a label in another language than asked for would be a trap.
    pub fn load(files: &DataFiles, language: &str) -> Result<Self, DataError> {
        let folder = if language == "en" {
            String::new()
        } else {
            format!("{language}/")
        };
        Ok(Self {
            language: language.to_owned(),
            words: files.read(&format!("templates/{folder}label.yaml"))?,
            statements: Statements::load(files, language)?,
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

    /// A statement as a sentence, with the names it asks for; of choices the label's own, where the
    /// words have one. Where the language lacks it, it is in English: said wrongly it would be worse.
    pub fn sentence(&self, code: &str, about: &[String]) -> String {
        if let Some(chosen) = self.words.get(code) {
            return chosen.clone();
        }
        self.statements
            .phrase_about(code, about)
            .map_or_else(|| code.to_owned(), |(text, _)| format!("{text}."))
    }
}

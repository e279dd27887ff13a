//! Words that the United States spell otherwise: `hazards/us-spelling.yaml`.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::provenance::Origin;

use super::{DataError, DataFiles};

const FILE: &str = "hazards/us-spelling.yaml";

/// A way of spelling; the default leaves every word as it is.
#[derive(Debug, Clone, Default)]
pub struct Spelling(BTreeMap<String, String>);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SpellingFile {
    #[serde(rename = "from")]
    _from: Origin,
    words: BTreeMap<String, String>,
}

impl Spelling {
    /// How the United States spell.
    ///
    /// # Errors
    /// When the file is missing or misshapen.
    pub fn of_the_us(files: &DataFiles) -> Result<Self, DataError> {
        Ok(Self(files.read::<SpellingFile>(FILE)?.words))
    }

    /// A text, each word in this spelling; capitals stay where they were.
    pub fn of(&self, text: &str) -> String {
        if self.0.is_empty() {
            return text.to_owned();
        }
        let mut spelled = String::with_capacity(text.len());
        let mut word = String::new();
        for c in text.chars() {
            if c.is_alphabetic() {
                word.push(c);
            } else {
                spelled.push_str(&self.word(&word));
                word.clear();
                spelled.push(c);
            }
        }
        spelled.push_str(&self.word(&word));
        spelled
    }

    fn word(&self, word: &str) -> String {
        let Some(own) = self.0.get(&word.to_lowercase()) else {
            return word.to_owned();
        };
        let is_upper = |c: char| c.is_uppercase();
        if word.chars().all(is_upper) {
            own.to_uppercase()
        } else if word.starts_with(is_upper) {
            let mut rest = own.chars();
            let first = rest.next().into_iter().flat_map(char::to_uppercase);
            first.chain(rest).collect()
        } else {
            own.clone()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_spelled_and_capitals_kept() {
        let us = Spelling::of_the_us(&DataFiles::embedded()).unwrap();
        assert_eq!(
            us.of("Flammable liquid and vapour; Oxidisers. OXIDISING"),
            "Flammable liquid and vapor; Oxidizers. OXIDIZING"
        );
        assert_eq!(Spelling::default().of("vapour"), "vapour");
    }
}

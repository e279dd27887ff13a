//! An assumption in words, with what is needed to say it in another language.

use std::fmt;

/// Something that was assumed or is to be known beside the figures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// Which of the sentences of `hazards/air-model.yaml`.
    pub id: String,
    /// What is filled in, by name.
    pub facts: Vec<(String, String)>,
    /// The sentence in English.
    pub text: String,
}

impl fmt::Display for Said {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// A sentence with `{name}` filled in.
pub fn filled<'f>(text: &str, facts: impl Iterator<Item = (&'f str, &'f str)>) -> String {
    facts.fold(text.to_owned(), |text, (name, value)| {
        text.replace(&format!("{{{name}}}"), value)
    })
}

//! The list of published sources that data refer to.

use std::collections::BTreeMap;
use std::fmt;

use serde::Deserialize;

/// How a source was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Reading {
    /// The whole text.
    Full,
    /// The parts that are cited.
    Part,
    /// The opening of the text.
    Opening,
    /// A copy or mirror of it, or a text that restates it.
    Copy,
    /// A value printed by a named library.
    Library,
}

/// One published source.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reference {
    /// What data refer to it by.
    pub id: String,
    /// Title, issuing body, number.
    pub title: String,
    /// Year of the edition, where known.
    #[serde(default)]
    pub year: Option<serde_json::Value>,
    /// Regulation, handbook, agency, paper, library, standard …
    pub kind: String,
    /// How it was seen.
    pub read: Reading,
    /// Anything a reader should know about it.
    #[serde(default)]
    pub note: String,
}

impl Reference {
    /// The year of the edition as printed; empty where it is not known.
    pub fn year_shown(&self) -> String {
        match &self.year {
            None | Some(serde_json::Value::Null) => String::new(),
            Some(serde_json::Value::String(year)) => year.clone(),
            Some(year) => year.to_string(),
        }
    }
}

/// All sources, by id.
#[derive(Debug, Clone, Default)]
pub struct Bibliography {
    references: BTreeMap<String, Reference>,
}

/// Why a bibliography cannot be read.
#[derive(Debug)]
pub struct BibliographyError(pub String);

impl fmt::Display for BibliographyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for BibliographyError {}

impl Bibliography {
    /// Adds the sources of one file, given as JSON text.
    ///
    /// # Errors
    /// When the text is not a list of sources, or an id is there already.
    pub fn add(&mut self, file: &str, json: &str) -> Result<(), BibliographyError> {
        let list: Vec<Reference> = serde_json::from_str(json)
            .map_err(|error| BibliographyError(format!("{file}: {error}")))?;
        for reference in list {
            let id = reference.id.clone();
            if self.references.insert(id.clone(), reference).is_some() {
                return Err(BibliographyError(format!(
                    "{file}: the source `{id}` is listed twice"
                )));
            }
        }
        Ok(())
    }

    /// The source of an id.
    pub fn get(&self, id: &str) -> Option<&Reference> {
        self.references.get(id)
    }

    /// All sources in order of id.
    pub fn iter(&self) -> impl Iterator<Item = &Reference> {
        self.references.values()
    }
}

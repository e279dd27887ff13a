//! How data sheets name things: `hazards/data-sheet-terms.yaml`.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::catalogue::{DataError, DataFiles, Statements, fold};
use crate::classify::Classes;

const FILE: &str = "hazards/data-sheet-terms.yaml";

/// The names of things on data sheets, in every language on file.
#[derive(Debug, Deserialize)]
pub struct Terms {
    pub(super) sections: Sections,
    pub(super) labels: Labels,
    pub(super) earlier: Words,
    pub(super) months: Months,
    pub(super) about: Words,
    pub(super) between: Words,
    pub(super) beside: Words,
    pub(super) dilution: Words,
    pub(super) unclassified: Words,
    pub(super) unregulated: Words,
    pub(super) categories: Words,
    pub(super) classes: Vec<ClassNames>,
    pub(super) limits: Limits,
    /// Codes of hazard statements with their words, folded, in each language on file.
    #[serde(skip)]
    pub(super) statements: Vec<(String, String)>,
}

#[derive(Debug, Deserialize)]
pub(super) struct Sections {
    pub words: Vec<String>,
    /// How the heading of each begins, by its number.
    pub headings: BTreeMap<u8, Vec<String>>,
}

/// What stands before a value.
#[derive(Debug, Deserialize)]
pub(super) struct Labels {
    pub product: Vec<String>,
    pub cas: Vec<String>,
    pub supplier: Vec<String>,
    pub revised: Vec<String>,
    pub ph: Vec<String>,
    pub flash_point: Vec<String>,
    pub un: Vec<String>,
    pub transport_class: Vec<String>,
    pub packing_group: Vec<String>,
}

#[derive(Debug, Deserialize)]
pub(super) struct Words {
    pub words: Vec<String>,
}

impl Words {
    /// Whether one of them stands in a text.
    pub fn are_in(&self, text: &str) -> bool {
        let text = text.to_lowercase();
        self.words.iter().any(|word| text.contains(word.as_str()))
    }
}

#[derive(Debug, Deserialize)]
pub(super) struct Months {
    pub names: BTreeMap<String, u32>,
}

/// Long names of a hazard class.
#[derive(Debug, Deserialize)]
pub(super) struct ClassNames {
    /// As Annex VI of CLP writes it, without the category.
    pub class: String,
    /// The route or effect that the names tell.
    pub kind: Option<String>,
    pub names: Vec<String>,
}

#[derive(Debug, Deserialize)]
pub(super) struct Limits {
    pub bodies: BTreeMap<String, Vec<String>>,
    pub others: Vec<String>,
    pub kinds: BTreeMap<String, Vec<String>>,
}

impl Terms {
    /// Reads the list.
    ///
    /// # Errors
    /// When the file is missing or misshapen.
    pub fn read(files: &DataFiles, classes: &Classes) -> Result<Self, DataError> {
        const STATEMENTS: &str = "hazards/statements/";
        let mut terms: Self = files.read(FILE)?;
        for path in files.below(STATEMENTS) {
            let language = path
                .trim_start_matches(STATEMENTS)
                .trim_end_matches(".yaml");
            let statements = Statements::load(files, language)?;
            let codes = classes.iter().filter_map(|row| row.statement.as_ref());
            let own = codes.filter_map(|code| match statements.phrase(code)? {
                (words, false) => Some((code.clone(), fold(&words))),
                _ => None,
            });
            terms.statements.extend(own);
        }
        Ok(terms)
    }
}

/// What follows a label that begins a text, and nothing where none does. The longest label counts.
pub(super) fn after<'t>(text: &'t str, labels: &[String]) -> Option<&'t str> {
    let rests = labels.iter().filter_map(|label| after_one(text, label));
    rests.min_by_key(|rest| rest.len()).map(|rest| {
        rest.trim_start_matches(|c: char| " \t:.|=–-*·)]".contains(c))
            .trim_end()
    })
}

/// The same for a label anywhere in a text.
pub(super) fn within<'t>(text: &'t str, labels: &[String]) -> Option<&'t str> {
    let mut before = ' ';
    for (at, c) in text.char_indices() {
        let begins = c.is_alphanumeric() && !before.is_alphanumeric();
        let rest = text.get(at..).filter(|_| begins);
        if let Some(rest) = rest.and_then(|text| after(text, labels)) {
            return Some(rest);
        }
        before = c;
    }
    None
}

fn after_one<'t>(text: &'t str, label: &str) -> Option<&'t str> {
    let wanted = fold(label);
    let mut read = String::new();
    for (at, c) in text.char_indices() {
        if read == wanted {
            return (!c.is_alphanumeric()).then(|| &text[at..]);
        }
        if c.is_alphanumeric() {
            read.extend(c.to_lowercase());
            if !wanted.starts_with(&read) {
                return None;
            }
        }
    }
    (read == wanted).then_some("")
}

/// Words of a text: letters and digits.
pub(super) fn tokens(text: &str) -> Vec<&str> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect()
}

/// How many words from a place on make up a name; 0 where they do not.
pub(super) fn spell(tokens: &[&str], name: &str) -> usize {
    let wanted = fold(name);
    let mut read = String::new();
    for (index, token) in tokens.iter().enumerate() {
        read.push_str(&token.to_lowercase());
        if read == wanted {
            return index + 1;
        }
        if !wanted.starts_with(&read) {
            return 0;
        }
    }
    0
}

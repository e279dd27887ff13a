//! A label: what a bottle or waste jug says, in one language or two.

mod bottle;
mod house;
mod sizes;
mod waste;
mod words;

use serde::Serialize;
use serde_json::{Value, json};

use crate::assessment::Assessment;
use crate::units::Volume;

use super::{Wording, findings_json};

pub use bottle::bottles;
pub use house::{add_house_to_bottles, add_house_to_stream, add_house_to_waste};
pub use sizes::{LabelRules, Side, Sides, Size};
pub use waste::{of_session, of_stream};
pub use words::LabelWords;

/// What one label says, in the order of importance. Texts of several languages follow one another.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Label {
    /// What is in it.
    pub title: Vec<String>,
    /// Strength, volume.
    pub details: String,
    /// Tells this label from all others of the workspace.
    pub id: String,
    /// The signal word, in each language.
    pub signal: Vec<String>,
    /// Pictograms.
    pub pictograms: Vec<Pictogram>,
    /// Hazard statements, one text a language.
    pub hazards: Vec<String>,
    /// Precautions, one text a language.
    pub precautions: Vec<String>,
    /// Supplemental statements and remarks, one text a language.
    pub supplements: Vec<String>,
    /// What is filled in by hand where it is not known.
    pub fields: Vec<Field>,
    /// Whose, and what outranks it.
    pub foot: Vec<String>,
    /// What the second of two labels is called, in the languages.
    pub further: String,
    /// What the container holds.
    #[serde(rename = "capacity_l", serialize_with = "litres")]
    pub capacity: Volume,
    /// How many of it.
    pub copies: u32,
}

impl Label {
    /// The label of one of several bottles: its id carries the number.
    pub fn numbered(&self, number: u32) -> Self {
        let id = match self.copies {
            0 | 1 => self.id.clone(),
            _ => format!("{}/{number}", self.id),
        };
        Self { id, ..self.clone() }
    }
}

/// A pictogram and its words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Pictogram {
    /// `GHS05`.
    pub id: String,
    /// In words.
    pub words: String,
}

/// A line with something on it, or to write on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Field {
    /// What stands before it.
    pub name: String,
    /// What is known.
    pub value: Option<String>,
}

/// Two texts in two languages, `one · other`; once where they are the same.
fn both<'t>(words: &'t [LabelWords], of: impl Fn(&'t LabelWords) -> String) -> String {
    each(words, of).join(" · ")
}

/// A text in every language, each only once.
fn each<'t>(words: &'t [LabelWords], of: impl Fn(&'t LabelWords) -> String) -> Vec<String> {
    let mut texts: Vec<String> = Vec::new();
    for text in words.iter().map(of) {
        if !text.is_empty() && !texts.contains(&text) {
            texts.push(text);
        }
    }
    texts
}

fn litres<S: serde::Serializer>(volume: &Volume, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64(volume.litres())
}

/// The object of `label --format json`.
pub fn labels_json(
    labels: &[Label],
    assessment: Option<&Assessment>,
    session: &str,
    wording: &Wording,
) -> Value {
    let mut object = match assessment {
        Some(assessment) => findings_json(assessment, session, wording),
        None => json!({"session": session, "findings": [], "deference": wording.word("deference")}),
    };
    object["labels"] = json!(labels);
    object
}

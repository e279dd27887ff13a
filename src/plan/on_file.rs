//! The data sheets on file, as the workspace has them: plain facts, read elsewhere.

use std::fmt;

use chrono::NaiveDate;

use crate::source::Place;
use crate::units::Percent;

/// What the workspace holds of data sheets.
#[derive(Debug, Clone)]
pub struct OnFile {
    /// Whether data sheets are kept here at all.
    pub kept: bool,
    /// The day they were looked at; counts where a session states no day.
    pub day: NaiveDate,
    /// Those in force: of each chemical and supplier the newest.
    pub sheets: Vec<SheetOnFile>,
}

/// One data sheet on file.
#[derive(Debug, Clone)]
pub struct SheetOnFile {
    /// Id of the chemical.
    pub chemical: String,
    /// Id of the entry all forms of it share.
    pub root: String,
    /// Its name.
    pub name: String,
    /// Who sold it.
    pub supplier: String,
    /// The day the supplier revised it.
    pub revised: NaiveDate,
    /// The file it is recorded in.
    pub file: String,
    /// Where that names the chemical.
    pub place: Place,
    /// The document itself.
    pub document: DocumentState,
    /// What it is for, where that is not the jar of the catalogue.
    pub other_form: Option<SheetForm>,
}

/// What became of the document that was put on file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DocumentState {
    /// No document is named: only what it says was recorded.
    NotNamed,
    /// It is there, and the same where its fingerprint was taken.
    There,
    /// It is not where it was.
    Missing(String),
    /// It is not the one that was put on file.
    Changed(String),
}

/// What a data sheet is for.
#[derive(Debug, Clone, PartialEq)]
pub enum SheetForm {
    /// Another strength.
    Strength(Percent),
    /// Another form: liquid, powder …
    Form(String),
}

impl DocumentState {
    /// One word for lists and JSON.
    pub const fn as_str(&self) -> &'static str {
        match self {
            Self::NotNamed => "not kept",
            Self::There => "there",
            Self::Missing(_) => "missing",
            Self::Changed(_) => "changed",
        }
    }
}

impl fmt::Display for SheetForm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Strength(percent) => write!(f, "{} %", percent.percent()),
            Self::Form(form) => f.write_str(form),
        }
    }
}

//! The data sheets on file, as the workspace has them: plain facts, read elsewhere.

use std::fmt;

use chrono::NaiveDate;

use crate::catalogue::Chemical;
use crate::source::Place;
use crate::units::{Duration, Percent};

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
#[derive(Debug, Clone, PartialEq)]
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

/// What is wanting in the data sheets for one jar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wanting<'a> {
    /// None is on file.
    Sheet,
    /// Only this one is, and it is for another form or strength.
    Form(&'a SheetOnFile),
    /// The newest is older than it may be.
    Newer(&'a SheetOnFile),
    /// The document of one is not where it was.
    Document(&'a SheetOnFile, &'a str),
    /// The document of one is not the one that was put on file.
    Fingerprint(&'a SheetOnFile, &'a str),
}

impl OnFile {
    /// How old a data sheet may be where the place has no rule of its own: three years. Common
    /// practice, not a law: a supplier revises a sheet when something new is known.
    pub fn usual_age() -> Option<Duration> {
        Duration::from_hours(3.0 * 8760.0).ok()
    }

    /// What is wanting for a jar on a day.
    pub fn wanting(&self, jar: &Chemical, every: Duration, day: NaiveDate) -> Vec<Wanting<'_>> {
        let of_root = self.sheets.iter().filter(|sheet| sheet.root == jar.root());
        let (own, others): (Vec<_>, Vec<_>) =
            of_root.partition(|sheet| sheet.chemical == jar.id && sheet.other_form.is_none());
        let Some(newest) = own.iter().copied().max_by_key(|sheet| sheet.revised) else {
            let other = others.first().copied();
            return vec![other.map_or(Wanting::Sheet, Wanting::Form)];
        };
        let documents = own.iter().filter_map(|sheet| match &sheet.document {
            DocumentState::NotNamed | DocumentState::There => None,
            DocumentState::Missing(path) => Some(Wanting::Document(sheet, path)),
            DocumentState::Changed(path) => Some(Wanting::Fingerprint(sheet, path)),
        });
        let is_old = (day - newest.revised).num_days() as f64 > every.days();
        let old = is_old.then_some(Wanting::Newer(newest));
        documents.chain(old).collect()
    }
}

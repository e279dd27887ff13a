//! The table of hazard classes and categories: `hazards/classes.yaml`.

use std::collections::HashMap;
use std::sync::Arc;

use serde::Deserialize;

use super::notation::{fold, spellings};
use super::{Profile, Signal};
use crate::catalogue::{DataError, DataFiles};
use crate::provenance::Origin;

/// Where the table is kept.
pub const FILE: &str = "hazards/classes.yaml";

/// One category of a hazard class (for one route or effect where that makes a difference).
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Category {
    /// Class and category as Annex VI of CLP writes them: `Acute Tox. 4`.
    pub class: String,
    /// Other ways of writing it.
    #[serde(default)]
    pub names: Vec<String>,
    /// The route or effect, where one category has several statements.
    #[serde(default)]
    pub kind: Option<String>,
    /// Hazards that exclude one another.
    pub family: String,
    /// Severity within the family; 1 is the most severe.
    pub rank: u8,
    /// The class in words.
    pub title: String,
    /// The hazard statement; a few categories have none.
    #[serde(default)]
    pub statement: Option<String>,
    /// Statements that always stand beside it.
    #[serde(default)]
    pub also: Vec<String>,
    /// Longer forms of the statement: `H350i`, `H360FD`.
    #[serde(default)]
    pub variants: Vec<String>,
    /// The signal word, if any.
    #[serde(default)]
    pub signal: Option<Signal>,
    /// Pictograms before precedence.
    #[serde(default)]
    pub pictograms: Vec<String>,
    /// Precautions by the four kinds.
    #[serde(default)]
    pub precautions: Precautions,
    /// The forms of the system that have this category.
    pub used_in: Vec<Profile>,
    /// Where this row was read.
    pub from: Origin,
    /// Place in the table: physical, health, environment.
    #[serde(skip)]
    pub order: usize,
}

/// Precautionary statements of one category.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Precautions {
    /// Before anything happens.
    pub prevention: Vec<String>,
    /// When something has happened.
    pub response: Vec<String>,
    /// How it is kept.
    pub storage: Vec<String>,
    /// How it is got rid of.
    pub disposal: Vec<String>,
}

impl Precautions {
    /// All of them, in the order prevention, response, storage, disposal.
    pub fn iter(&self) -> impl Iterator<Item = &String> {
        let Self {
            prevention,
            response,
            storage,
            disposal,
        } = self;
        [prevention, response, storage, disposal]
            .into_iter()
            .flatten()
    }
}

impl Category {
    /// Whether a statement, longer forms included, is this category's.
    pub fn has_statement(&self, statement: &str) -> bool {
        self.statement.as_deref() == Some(statement)
            || self.variants.iter().any(|variant| variant == statement)
    }

    /// Whether a form of the system has this category.
    pub fn is_used_in(&self, profile: Profile) -> bool {
        self.used_in.contains(&profile)
    }
}

/// All classes and categories.
#[derive(Debug, Clone)]
pub struct Classes {
    list: Vec<Arc<Category>>,
    /// Rows by every way of writing them, folded: each chemical of every run is looked up here.
    by_spelling: HashMap<String, Vec<Arc<Category>>>,
}

impl Classes {
    /// Reads the table.
    ///
    /// # Errors
    /// When the file is missing, malformed, or holds a category twice.
    pub fn read(files: &DataFiles) -> Result<Self, DataError> {
        let mut rows: Vec<Category> = files.read(FILE)?;
        for (order, row) in rows.iter_mut().enumerate() {
            row.order = order;
        }
        if let Some(twice) = rows.iter().find(|row| {
            rows.iter().any(|other| {
                other.order < row.order && other.class == row.class && other.kind == row.kind
            })
        }) {
            let message = format!("`{}` stands in the table twice", twice.class);
            return Err(DataError::new(FILE, message));
        }
        let list: Vec<Arc<Category>> = rows.into_iter().map(Arc::new).collect();
        let mut by_spelling: HashMap<String, Vec<Arc<Category>>> = HashMap::new();
        for row in &list {
            for spelling in spellings(row) {
                let rows = by_spelling.entry(spelling).or_default();
                if !rows.iter().any(|other| other.order == row.order) {
                    rows.push(Arc::clone(row));
                }
            }
        }
        Ok(Self { list, by_spelling })
    }

    /// The categories written so, whatever the case, spaces and points.
    pub(super) fn spelled(&self, class: &str) -> &[Arc<Category>] {
        self.by_spelling
            .get(&fold(class))
            .map_or(&[], Vec::as_slice)
    }

    /// Every category in the order of the table.
    pub fn iter(&self) -> impl Iterator<Item = &Arc<Category>> {
        self.list.iter()
    }

    /// The category of this name and, where it has several, of this route or effect.
    pub fn get(&self, class: &str, kind: Option<&str>) -> Option<&Arc<Category>> {
        self.iter()
            .find(|row| row.class == class && (kind.is_none() || row.kind.as_deref() == kind))
    }
}

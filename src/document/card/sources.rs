//! Where each datum of a card is from: numbered in order of appearance, each source listed once.

use serde::Serialize;

use crate::provenance::{Bibliography, Origin, Reading};

/// A datum and where it is from.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Cited<T> {
    /// The datum.
    text: T,
    #[serde(flatten)]
    pub cite: Cite,
}

/// Where a datum is from, for the page and for other programs.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Cite {
    /// published, practice, memory, computed, data sheet, local rule.
    origin: &'static str,
    /// In words: the source's id and the place in it.
    source: String,
    /// What stands behind the datum on the page: †, ‡ or the source's number.
    mark: String,
    /// Whether nobody has checked it against a source.
    unchecked: bool,
}

/// One source of a card.
#[derive(Debug, Serialize)]
pub(super) struct SourceView {
    number: usize,
    id: String,
    title: String,
    year: String,
    /// How it was seen.
    read: &'static str,
    /// The places cited.
    at: Vec<String>,
}

/// The sources cited so far.
pub(super) struct Sources<'a> {
    bibliography: &'a Bibliography,
    cited: Vec<(String, Vec<String>)>,
}

impl<'a> Sources<'a> {
    pub(super) fn new(bibliography: &'a Bibliography) -> Self {
        Self {
            bibliography,
            cited: Vec::new(),
        }
    }

    /// A datum with its source.
    pub(super) fn cite<T>(&mut self, text: T, origin: &Origin) -> Cited<T> {
        Cited {
            text,
            cite: self.of(origin),
        }
    }

    /// The source of a datum.
    pub(super) fn of(&mut self, origin: &Origin) -> Cite {
        let mark = match origin {
            Origin::Practice => "†".to_owned(),
            Origin::Memory => "‡".to_owned(),
            Origin::Published { reference, at } => format!("[{}]", self.number(reference, at)),
            Origin::Computed { .. } => "[computed]".to_owned(),
            Origin::DataSheet { file, revised } if revised.is_empty() => {
                format!("[data sheet {file}]")
            }
            Origin::DataSheet { revised, .. } => format!("[data sheet, {revised}]"),
            Origin::LocalRule { file } => format!("[rule {file}]"),
        };
        Cite {
            origin: origin.kind(),
            source: origin.to_string(),
            mark,
            unchecked: origin.mark().is_some(),
        }
    }

    fn number(&mut self, reference: &str, at: &str) -> usize {
        let known = self.cited.iter().position(|(id, _)| id == reference);
        let index = known.unwrap_or_else(|| {
            self.cited.push((reference.to_owned(), Vec::new()));
            self.cited.len() - 1
        });
        if let Some((_, places)) = self.cited.get_mut(index)
            && !at.is_empty()
            && !places.iter().any(|place| place == at)
        {
            places.push(at.to_owned());
        }
        index + 1
    }

    /// What was cited, in order of number.
    pub(super) fn list(self) -> Vec<SourceView> {
        let view = |(index, (id, at)): (usize, (String, Vec<String>))| {
            let reference = self.bibliography.get(&id);
            SourceView {
                number: index + 1,
                title: reference.map_or_else(|| id.clone(), |reference| reference.title.clone()),
                year: reference
                    .map(|reference| reference.year_shown())
                    .unwrap_or_default(),
                read: reference.map_or("not listed", |reference| seen(reference.read)),
                id,
                at,
            }
        };
        self.cited.into_iter().enumerate().map(view).collect()
    }
}

fn seen(reading: Reading) -> &'static str {
    match reading {
        Reading::Full => "read in full",
        Reading::Part => "read in part",
        Reading::Opening => "its opening read",
        Reading::Copy => "a copy read",
        Reading::Library => "values printed by it",
    }
}

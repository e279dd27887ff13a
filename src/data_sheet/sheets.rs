//! All data sheets of a workspace, and which of them are in force.

use std::collections::BTreeMap;

use super::DataSheet;
use crate::catalogue::fold;
use crate::source::Mistake;

/// The data sheets on file.
#[derive(Debug, Clone, Default)]
pub struct DataSheets {
    sheets: Vec<DataSheet>,
}

impl DataSheets {
    /// Data sheets, each for another chemical, supplier or day.
    ///
    /// # Errors
    /// Where two of them are for the same chemical, supplier and day: which holds cannot be told.
    pub fn new(sheets: Vec<DataSheet>) -> Result<Self, Vec<Mistake>> {
        let mut seen: BTreeMap<(String, String, chrono::NaiveDate), &DataSheet> = BTreeMap::new();
        let mut mistakes = Vec::new();
        for sheet in &sheets {
            let (id, supplier) = key(sheet);
            if let Some(other) = seen.insert((id, supplier, sheet.revised), sheet) {
                let message = format!(
                    "{} of {}, {}, stands in {} too: which of the two holds?",
                    sheet.chemical.name, sheet.supplier, sheet.revised, other.name
                );
                let help = "keep one of the two files, or correct the date";
                mistakes.push(Mistake::at(sheet.place.clone(), message, help));
            }
        }
        if mistakes.is_empty() {
            Ok(Self { sheets })
        } else {
            Err(mistakes)
        }
    }

    /// Every sheet, older revisions too, by chemical, supplier and day.
    pub fn all(&self) -> Vec<&DataSheet> {
        let mut all: Vec<&DataSheet> = self.sheets.iter().collect();
        all.sort_by_key(|sheet| (key(sheet), sheet.revised));
        all
    }

    /// Those in force: of each chemical and supplier the newest, the oldest of them first.
    pub fn current(&self) -> Vec<&DataSheet> {
        let mut newest: BTreeMap<(String, String), &DataSheet> = BTreeMap::new();
        for sheet in self.all() {
            newest.insert(key(sheet), sheet);
        }
        let mut current: Vec<&DataSheet> = newest.into_values().collect();
        current.sort_by(|a, b| (a.revised, &a.name).cmp(&(b.revised, &b.name)));
        current
    }

    /// Whether a newer one of the same chemical and supplier is on file.
    pub fn is_superseded(&self, sheet: &DataSheet) -> bool {
        self.sheets
            .iter()
            .any(|other| key(other) == key(sheet) && other.revised > sheet.revised)
    }
}

fn key(sheet: &DataSheet) -> (String, String) {
    (sheet.chemical.id.clone(), fold(&sheet.supplier))
}

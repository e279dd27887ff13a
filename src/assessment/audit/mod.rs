//! The catalogue held against itself: how each datum is sourced, what is missing, what contradicts.

mod classes;
mod identity;
mod missing;
mod references;
mod sourcing;

use serde::Serialize;

use crate::catalogue::Catalogue;

use super::Rules;

pub use missing::Missing;
pub use sourcing::{Count, SourceUse, Sourcing};

/// What the audit found.
#[derive(Debug, Clone, Serialize)]
pub struct Audit {
    /// How many entries there are.
    pub chemicals: usize,
    /// How the data are sourced.
    pub sourcing: Sourcing,
    /// Entries that print a class nobody has checked against a source.
    pub classes_from_memory: Vec<String>,
    /// What is not known, by entry.
    pub missing: Vec<Missing>,
    /// What contradicts itself or leads nowhere.
    pub faults: Vec<Fault>,
}

/// Something to correct.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Fault {
    /// The file.
    pub file: String,
    /// What is wrong.
    pub message: String,
}

impl Fault {
    fn new(file: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            file: file.into(),
            message: message.into(),
        }
    }

    fn of_chemical(id: &str, message: impl Into<String>) -> Self {
        Self::new(format!("hazards/chemicals/{id}.yaml"), message)
    }
}

/// Audits a catalogue.
pub fn audit(catalogue: &Catalogue, rules: &Rules) -> Audit {
    let (sourcing, mut faults) = sourcing::sourcing(catalogue);
    for chemical in catalogue.chemicals() {
        faults.extend(identity::faults(chemical, catalogue));
        faults.extend(classes::faults(chemical, catalogue, rules));
        faults.extend(references::of_chemical(chemical, catalogue));
    }
    faults.extend(classes::phrases(catalogue, rules));
    faults.extend(references::of_tables(catalogue));
    faults.sort();
    faults.dedup();
    Audit {
        chemicals: catalogue.chemicals().count(),
        sourcing,
        classes_from_memory: missing::classes_from_memory(catalogue),
        missing: catalogue
            .chemicals()
            .filter_map(|c| missing::missing(c))
            .collect(),
        faults,
    }
}

//! Hazards of what is in the jars.

use std::sync::Arc;

use crate::catalogue::{Catalogue, Chemical, DataError, DataFiles};
use crate::classify::{
    Classes, HazardClass, LabelElements, Labelling, Profile, label_elements, union,
};
use crate::provenance::Origin;

/// The tables that turn hazard classes into label elements.
#[derive(Debug)]
pub struct Rules {
    /// Classes and categories.
    pub classes: Classes,
    /// Precedence and choice.
    pub labelling: Labelling,
    /// Whose form of the system.
    pub profile: Profile,
}

/// What one jar can do, by its hazard classes.
#[derive(Debug, Clone)]
pub struct ChemicalHazards {
    /// The jar.
    pub chemical: Arc<Chemical>,
    /// Its classes, the more cautious of what sources say.
    pub classes: Vec<HazardClass>,
    /// On whose word, class by class as written.
    pub basis: Vec<(String, Origin)>,
    /// Signal word, pictograms, statements.
    pub label: LabelElements,
}

impl Rules {
    /// Reads the tables.
    ///
    /// # Errors
    /// When a table is missing or misshapen, or a chemical's class is not in it.
    pub fn load(files: &DataFiles, profile: Profile) -> Result<Self, DataError> {
        Ok(Self {
            classes: Classes::read(files)?,
            labelling: Labelling::read(files)?,
            profile,
        })
    }

    /// Checks that every class written in the catalogue is one the tables know.
    ///
    /// # Errors
    /// The first that is not, with its file.
    pub fn check(&self, catalogue: &Catalogue) -> Result<(), DataError> {
        for chemical in catalogue.chemicals() {
            let harmonised = chemical
                .classification
                .harmonised
                .iter()
                .flat_map(|h| &h.classes);
            let added = chemical
                .classification
                .added
                .iter()
                .flat_map(|a| &a.classes);
            for class in harmonised.chain(added) {
                self.classes.parse(class).map_err(|error| {
                    DataError::new(format!("hazards/chemicals/{}.yaml", chemical.id), error)
                })?;
            }
        }
        Ok(())
    }
}

/// The hazards of one jar: the union of the harmonised entry and what was adopted beside it.
pub fn hazards_of(chemical: &Arc<Chemical>, rules: &Rules) -> ChemicalHazards {
    let written = chemical.classes();
    let parsed: Vec<Vec<HazardClass>> = written
        .iter()
        .filter_map(|(class, _)| rules.classes.parse(class).ok())
        .map(|class| vec![class])
        .collect();
    let classes = union(parsed.iter().map(Vec::as_slice));
    let label = label_elements(
        &classes,
        &chemical.classification.supplemental,
        rules.profile,
        &rules.labelling,
    );
    let basis = written
        .iter()
        .map(|(class, origin)| ((*class).to_owned(), (*origin).clone()))
        .collect();
    ChemicalHazards {
        chemical: Arc::clone(chemical),
        classes,
        basis,
        label,
    }
}

/// The label elements of several jars taken together: what meets the person who opens them all.
pub fn together(hazards: &[&ChemicalHazards], rules: &Rules) -> LabelElements {
    let classes = union(hazards.iter().map(|one| one.classes.as_slice()));
    let supplemental: Vec<String> = hazards
        .iter()
        .flat_map(|one| one.chemical.classification.supplemental.iter().cloned())
        .collect();
    label_elements(&classes, &supplemental, rules.profile, &rules.labelling)
}

impl ChemicalHazards {
    /// Whether it can damage an eye for good: corrosive, or serious eye damage.
    pub fn damages_eyes(&self) -> bool {
        self.chemical.is_unclassified() || self.has_statement(&["H314", "H318"])
    }

    /// Whether any of its classes carries one of these statements.
    pub fn has_statement(&self, statements: &[&str]) -> bool {
        self.classes.iter().any(|class| {
            statements
                .iter()
                .any(|code| class.statement.starts_with(code))
        })
    }
}

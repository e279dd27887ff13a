//! Hazards of what is in the jars.

use std::sync::Arc;

use crate::air::{AirModel, Gases};
use crate::catalogue::{Catalogue, Chemical, DataError, DataFiles, PeopleGroup, PeopleReason};
use crate::classify::{self, HazardClass, LabelElements, Profile, label_elements, union};
use crate::provenance::Origin;
use crate::rules::InForce;

/// The tables that turn hazard classes into label elements, and whose form of the law applies.
#[derive(Debug)]
pub struct Rules {
    /// Classes, limits and labels.
    pub tables: classify::Rules,
    /// Whose form of the system.
    pub profile: Profile,
    /// Gases and their limits.
    pub gases: Gases,
    /// How the air of a room is reckoned.
    pub air: AirModel,
    /// The rules in force at the place.
    pub local: InForce,
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
            tables: classify::Rules::read(files)?,
            profile,
            gases: Gases::read(files)?,
            air: AirModel::read(files)?,
            local: InForce::default(),
        })
    }

    /// The same with the rules of a place: their limits hold beside those of the law.
    #[must_use]
    pub fn with_local(mut self, rules: &InForce) -> Self {
        for (gas, limit) in rules.gas_limits(&self.gases) {
            self.gases.add_limit(&gas, limit);
        }
        self.local = rules.clone();
        self
    }

    /// The same, with the limits of data sheets for vapours.
    #[must_use]
    pub fn heeding(mut self, catalogue: &Catalogue) -> Self {
        let own = |origin: &Origin| matches!(origin, Origin::DataSheet { .. });
        for chemical in catalogue.chemicals() {
            for limit in chemical.limits.iter().filter(|limit| own(&limit.from)) {
                if let Some(cas) = &chemical.cas {
                    self.gases.heed(cas, limit);
                }
            }
        }
        self
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
                self.tables.classes.parse(class).map_err(|error| {
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
        .filter_map(|(class, _)| rules.tables.classes.parse(class).ok())
        .map(|class| vec![class])
        .collect();
    let classes = union(parsed.iter().map(Vec::as_slice));
    let label = label_elements(
        &classes,
        &chemical.classification.supplemental,
        rules.profile,
        &rules.tables.labelling,
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
    label_elements(
        &classes,
        &supplemental,
        rules.profile,
        &rules.tables.labelling,
    )
}

impl ChemicalHazards {
    /// Whether it can damage an eye for good: corrosive, or serious eye damage.
    pub fn damages_eyes(&self) -> bool {
        self.chemical.is_unclassified() || self.has_statement(&["H314", "H318"])
    }

    /// Whether people of this group ask someone before: for a reason, or because nothing is known.
    pub fn concerns(&self, group: &PeopleGroup) -> bool {
        self.chemical.is_unclassified() || self.reason(group).is_some()
    }

    /// The first reason of a group that holds; the file lists the surest first.
    pub fn reason<'g>(&self, group: &'g PeopleGroup) -> Option<&'g PeopleReason> {
        let classes = self.classes.iter().map(|class| class.statement.as_str());
        let supplemental = self.chemical.classification.supplemental.iter();
        let statements: Vec<&str> = classes.chain(supplemental.map(String::as_str)).collect();
        let holds = |reason: &&PeopleReason| reason.holds(&self.chemical, &statements);
        group.because.iter().find(holds)
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

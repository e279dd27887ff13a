//! Which solute a chemical is, and what that gives in water.

use std::collections::BTreeMap;

use crate::catalogue::DataError;
use crate::chemistry::component::Components;
use crate::chemistry::file::{DissolutionFile, Kind};
use crate::provenance::Origin;

const FILE: &str = "hazards/physical/dissolution.yaml";

/// What a solute gives in water.
#[derive(Debug, Clone)]
pub struct Solute {
    /// Its id in the data.
    pub name: String,
    /// Its formula without crystal water, where there is one.
    pub formula: Option<String>,
    /// g/mol without crystal water, where there is a formula.
    pub molar_mass: Option<f64>,
    /// (component number, mol per mol).
    pub gives: Vec<(usize, f64)>,
    /// mol of water set free per mol; negative: taken up.
    pub water: f64,
    /// What sort of matter it is.
    pub kind: Kind,
    /// Why its acid constants are not known, if so.
    pub unknown: Option<String>,
    /// How much acid or alkali it might bring, mol per g.
    pub could_shift: f64,
    /// Where this is from.
    pub origin: Origin,
}

/// All solutes, and which of them a chemical is.
#[derive(Debug, Clone)]
pub struct Dissolution {
    chemicals: BTreeMap<String, String>,
    solutes: BTreeMap<String, Solute>,
    /// The share of a chemical that may be something else (one standard deviation).
    pub impurity: f64,
}

impl Dissolution {
    /// From `dissolution.yaml`.
    pub(super) fn from_file(
        file: DissolutionFile,
        components: &Components,
    ) -> Result<Self, DataError> {
        let mut solutes = BTreeMap::new();
        for (name, solute) in file.solutes {
            let mut gives = Vec::new();
            for (component, count) in solute.gives {
                gives.push((components.require(&component, FILE)?, count));
            }
            if solute.molar_mass.is_none() && solute.unknown.is_none() {
                return Err(DataError::new(FILE, format!("`{name}` has no molar mass")));
            }
            solutes.insert(
                name.clone(),
                Solute {
                    name,
                    formula: solute.formula,
                    molar_mass: solute.molar_mass,
                    gives,
                    water: solute.water,
                    kind: solute.kind,
                    unknown: solute.unknown,
                    could_shift: solute.could_shift / 1000.0,
                    origin: solute.from,
                },
            );
        }
        for (chemical, solute) in &file.chemicals {
            if !solutes.contains_key(solute) {
                return Err(DataError::new(
                    FILE,
                    format!("`{chemical}` is `{solute}`, which is no solute"),
                ));
            }
        }
        Ok(Self {
            chemicals: file.chemicals,
            solutes,
            impurity: file.impurity.value,
        })
    }

    /// A solute by its id.
    pub fn solute(&self, name: &str) -> Option<&Solute> {
        self.solutes.get(name)
    }

    /// The solute a chemical is.
    pub fn of_chemical(&self, chemical: &str, form_of: Option<&str>) -> Option<&Solute> {
        let name = self
            .chemicals
            .get(chemical)
            .or_else(|| form_of.and_then(|root| self.chemicals.get(root)))?;
        self.solutes.get(name)
    }

    /// All chemicals that have a line.
    pub fn chemicals(&self) -> impl Iterator<Item = &str> {
        self.chemicals.keys().map(String::as_str)
    }
}

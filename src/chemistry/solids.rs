//! What is known of solids and of dissolving.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::DataError;
use crate::chemistry::component::Components;
use crate::chemistry::dissolution::Dissolution;
use crate::chemistry::file::{HinderedFile, RemarkFile, SolubilityFile};
use crate::provenance::Origin;

const FILE: &str = "hazards/physical/solubility.yaml";

/// A solid and how much of it water holds.
#[derive(Debug, Clone)]
pub(super) struct Solid {
    pub name: String,
    pub solute: String,
    /// (form number, count).
    pub ions: Vec<(usize, f64)>,
    pub at: Vec<(f64, f64)>,
    pub origin: Origin,
}

/// Solids and what is known of dissolving.
#[derive(Debug, Clone)]
pub(super) struct Solids {
    pub list: Vec<Solid>,
    pub doubt: f64,
    /// Solutes without a limit.
    pub miscible: BTreeSet<String>,
    pub miscible_from: Origin,
    pub slow: Vec<RemarkFile>,
    pub no_data: BTreeMap<String, String>,
    pub hindered: Vec<HinderedFile>,
}

impl Solids {
    pub(super) fn from_file(
        file: SolubilityFile,
        components: &Components,
        dissolution: &Dissolution,
    ) -> Result<Self, DataError> {
        let mut list = Vec::new();
        for solid in file.solids {
            if dissolution.solute(&solid.solute).is_none() {
                return Err(DataError::new(
                    FILE,
                    format!("`{}` is no solute", solid.solute),
                ));
            }
            let mut ions = Vec::new();
            for (ion, count) in &solid.ions {
                let number = components.form_number(ion);
                ions.push((
                    number
                        .ok_or_else(|| DataError::new(FILE, format!("no component has `{ion}`")))?,
                    *count,
                ));
            }
            list.push(Solid {
                name: solid.solid,
                solute: solid.solute,
                ions,
                at: solid.at,
                origin: solid.from,
            });
        }
        let mix = file.mix_with_water_in_any_proportion;
        let mut miscible = BTreeSet::new();
        for chemical in &mix.chemicals {
            let solute = dissolution
                .of_chemical(chemical, None)
                .ok_or_else(|| DataError::new(FILE, format!("`{chemical}` is not known")))?;
            miscible.insert(solute.name.clone());
        }
        Ok(Self {
            list,
            doubt: file.doubt.value,
            miscible_from: mix.from,
            miscible,
            slow: file.dissolve_slowly,
            no_data: file
                .no_data
                .into_iter()
                .map(|row| (row.chemical, row.unknown))
                .collect(),
            hindered: file.hindered,
        })
    }
}

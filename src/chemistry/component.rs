//! Components: what dissolved matter is counted in, and the forms each can take.

use std::collections::BTreeMap;

use core::f64::consts::LN_10;

use libm::exp;

use crate::catalogue::DataError;
use crate::chemistry::file::{AcidsFile, ComponentFile, PhWithinFile, ReactsFurtherFile};
use crate::chemistry::system::Species;
use crate::chemistry::water::{ROOM, VanTHoff};
use crate::provenance::Origin;

const FILE: &str = "hazards/physical/acids.yaml";

/// No pK lies beyond this either way.
const GREATEST_PK: f64 = 30.0;
/// No ion carries more charges.
pub(super) const GREATEST_CHARGE: usize = 6;

/// The constant by which a form comes from the form before it.
#[derive(Debug, Clone)]
pub struct Constant {
    /// pK at 25 °C and zero ionic strength.
    pub pk: f64,
    /// Enthalpy of giving up the proton, kJ/mol, where it is known.
    pub enthalpy: Option<f64>,
    /// Heat capacity of the same, J/(mol K).
    pub heat_capacity: f64,
    /// One standard deviation of the pK.
    pub uncertainty: f64,
    /// Where the pK is from.
    pub origin: Origin,
    /// Where enthalpy and heat capacity are from, if from elsewhere.
    pub thermal_origin: Option<Origin>,
}

impl Constant {
    /// pK at a temperature.
    pub fn pk_at(&self, celsius: f64) -> f64 {
        self.ln_k(&VanTHoff::at(celsius)) / LN_10
    }

    /// pK × ln 10.
    fn ln_k(&self, moved: &VanTHoff) -> f64 {
        self.pk * LN_10 - moved.shift(self.enthalpy.unwrap_or(0.0), self.heat_capacity)
    }

    /// The standard deviation at a temperature: where no enthalpy is known, acids of unlike sort
    /// move by up to 0.03 a degree.
    pub fn uncertainty_at(&self, celsius: f64) -> f64 {
        let away = (celsius - 25.0).abs();
        let by_temperature = if self.enthalpy.is_some() {
            0.001
        } else {
            0.012
        };
        libm::hypot(self.uncertainty, by_temperature * away)
    }
}

/// One ion or molecule of a component.
#[derive(Debug, Clone)]
pub struct Form {
    /// Its formula, charge as trailing signs.
    pub name: String,
    /// Its charge.
    pub charge: f64,
    /// Protons bound beyond the base.
    pub protons: f64,
    /// How many of the component it is made of.
    pub units: f64,
    /// How it comes from the form before it; nothing for the base.
    pub constant: Option<Constant>,
    /// For a cluster: the index of the form it is made of.
    pub cluster_of: Option<usize>,
}

/// What dissolved matter is counted in.
#[derive(Debug, Clone)]
pub struct Component {
    /// Its id in the data.
    pub name: String,
    /// The base, its acids one proton at a time, then the clusters.
    pub forms: Vec<Form>,
    /// The number of its base among all forms; the others follow.
    pub first_number: usize,
    /// Its forms for the solver, at room temperature.
    pub(super) room_species: Vec<Species>,
    /// Where the constants stop describing it.
    pub ph_within: Option<PhWithinFile>,
}

impl Component {
    /// Its forms for the solver, with their formation constants from base and protons.
    pub(super) fn species(&self, moved: &VanTHoff) -> Vec<Species> {
        let mut list: Vec<Species> = Vec::with_capacity(self.forms.len());
        let mut bound = 0.0;
        for (form, number) in self.forms.iter().zip(self.first_number..) {
            let constant = form.constant.as_ref();
            let ln_k = constant.map_or(0.0, |constant| constant.ln_k(moved));
            let ln_formation = match form.cluster_of {
                None => {
                    bound += ln_k;
                    bound
                }
                Some(of) => {
                    let single = list.get(of).map_or(0.0, |single| single.ln_formation);
                    form.units * single - ln_k
                }
            };
            list.push(Species {
                number,
                charge: form.charge,
                protons: form.protons,
                units: form.units,
                ln_formation,
                formation: exp(ln_formation),
            });
        }
        list
    }

    /// Enthalpies of all forms against base and free protons, J per mol of the form; clusters
    /// count as the forms they are made of.
    pub fn enthalpies(&self) -> Vec<f64> {
        let mut enthalpies: Vec<f64> = Vec::with_capacity(self.forms.len());
        let mut sum = 0.0;
        for form in &self.forms {
            match form.cluster_of {
                None => {
                    let step = form
                        .constant
                        .as_ref()
                        .and_then(|constant| constant.enthalpy);
                    sum -= step.unwrap_or(0.0) * 1000.0;
                    enthalpies.push(sum);
                }
                Some(of) => {
                    enthalpies.push(form.units * enthalpies.get(of).copied().unwrap_or(0.0));
                }
            }
        }
        enthalpies
    }
}

/// All components, in order of their ids.
#[derive(Debug, Clone, Default)]
pub struct Components {
    list: Vec<Component>,
    by_name: BTreeMap<String, usize>,
    /// Pairs that react further than acids and bases do.
    pub reacts_further: Vec<ReactsFurtherFile>,
}

impl Components {
    /// From `acids.yaml`.
    pub(super) fn from_file(file: AcidsFile) -> Result<Self, DataError> {
        let mut components = Self::default();
        for (name, component) in file.acid_steps {
            components
                .by_name
                .insert(name.clone(), components.list.len());
            let first_number = components.form_count();
            components
                .list
                .push(component_from_file(name, component, first_number)?);
        }
        for pair in &file.reacts_further {
            for name in pair.these.iter().chain(&pair.with) {
                components.require(name, FILE)?;
            }
        }
        components.reacts_further = file.reacts_further;
        Ok(components)
    }

    /// The number of a component.
    pub fn index(&self, name: &str) -> Option<usize> {
        self.by_name.get(name).copied()
    }

    /// The number of a component that a data file refers to.
    pub(super) fn require(&self, name: &str, file: &str) -> Result<usize, DataError> {
        self.index(name)
            .ok_or_else(|| DataError::new(file, format!("`{name}` is no component of {FILE}")))
    }

    /// A component by number.
    pub fn get(&self, index: usize) -> Option<&Component> {
        self.list.get(index)
    }

    /// The component and form that bear a name (`HSO3-`).
    pub fn form(&self, name: &str) -> Option<(usize, usize)> {
        self.list.iter().enumerate().find_map(|(at, component)| {
            component
                .forms
                .iter()
                .position(|form| form.name == name)
                .map(|form| (at, form))
        })
    }

    /// How many forms there are in all, H⁺ and OH⁻ included.
    pub fn form_count(&self) -> usize {
        self.list
            .last()
            .map_or(2, |last| last.first_number + last.forms.len())
    }

    /// The number of a form among all: 0 is H⁺, 1 is OH⁻.
    pub fn form_number(&self, name: &str) -> Option<usize> {
        match name {
            "H+" => Some(0),
            "OH-" => Some(1),
            _ => {
                let (component, form) = self.form(name)?;
                Some(self.get(component)?.first_number + form)
            }
        }
    }

    /// All components.
    pub fn iter(&self) -> impl Iterator<Item = &Component> {
        self.list.iter()
    }
}

fn component_from_file(
    name: String,
    file: ComponentFile,
    first_number: usize,
) -> Result<Component, DataError> {
    let mut forms = vec![Form {
        name: file.base,
        charge: file.charge,
        protons: 0.0,
        units: 1.0,
        constant: None,
        cluster_of: None,
    }];
    for (protons, acid) in (1..).zip(file.acids) {
        let protons = f64::from(protons);
        forms.push(Form {
            name: acid.name,
            charge: file.charge + protons,
            protons,
            units: 1.0,
            constant: Some(Constant {
                pk: acid.pka,
                enthalpy: acid.enthalpy,
                heat_capacity: acid.heat_capacity,
                uncertainty: acid.uncertainty,
                origin: acid.from,
                thermal_origin: acid.thermal_from,
            }),
            cluster_of: None,
        });
    }
    for cluster in file.clusters {
        let of = forms
            .iter()
            .position(|form| form.name == cluster.of)
            .ok_or_else(|| {
                DataError::new(
                    FILE,
                    format!(
                        "`{}` is made of `{}`, which `{name}` has not",
                        cluster.name, cluster.of
                    ),
                )
            })?;
        let protons =
            cluster.units * forms.get(of).map_or(0.0, |form| form.protons) - cluster.releases;
        forms.push(Form {
            name: cluster.name,
            charge: cluster.units * file.charge + protons,
            protons,
            units: cluster.units,
            constant: Some(Constant {
                pk: cluster.pk,
                enthalpy: None,
                heat_capacity: 0.0,
                uncertainty: cluster.uncertainty,
                origin: cluster.from,
                thermal_origin: None,
            }),
            cluster_of: Some(of),
        });
    }
    let possible = |form: &Form| {
        let pk = form.constant.as_ref().map_or(0.0, |constant| constant.pk);
        pk.abs() <= GREATEST_PK
            && form.charge.abs() <= GREATEST_CHARGE as f64
            && form.charge.fract() == 0.0
            && form.units >= 1.0
    };
    if let Some(form) = forms.iter().find(|form| !possible(form)) {
        return Err(DataError::new(
            FILE,
            format!(
                "`{}` has a pK, charge or number of units that cannot be",
                form.name
            ),
        ));
    }
    let mut component = Component {
        name,
        forms,
        first_number,
        room_species: Vec::new(),
        ph_within: file.ph_within,
    };
    component.room_species = component.species(&VanTHoff::at(ROOM));
    Ok(component)
}

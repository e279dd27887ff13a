//! What is known of the gases and vapours a darkroom makes.

mod limit;
mod volatile;

use std::collections::BTreeMap;

use crate::air::dilution;
use crate::catalogue::ExposureLimit;
use crate::provenance::{Origin, Sourced};
use crate::source::nearest;

pub use limit::{Idlh, Limit, LimitKind, Odour, Region};
pub use volatile::{Antoine, Henry};

/// A datum, or the reason why there is none.
#[derive(Debug, Clone, PartialEq)]
pub enum Known<T> {
    /// The datum and where it is from.
    Known(Sourced<T>),
    /// Nothing is on file: never taken as harmless.
    Unknown { why: String, origin: Origin },
}

impl<T> Known<T> {
    /// The datum, if there is one.
    pub fn known(&self) -> Option<&Sourced<T>> {
        match self {
            Self::Known(value) => Some(value),
            Self::Unknown { .. } => None,
        }
    }
}

/// A gas or vapour.
#[derive(Debug, Clone, PartialEq)]
pub struct Gas {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its symbol, as in the output.
    pub symbol: String,
    /// Other names.
    pub names: Vec<String>,
    /// CAS number.
    pub cas: String,
    /// Formula.
    pub formula: String,
    /// Molar mass, g/mol.
    pub molar_mass: Sourced<f64>,
    /// Exposure limits on file, of all regions.
    pub limits: Vec<Limit>,
    /// Immediately dangerous to life or health.
    pub idlh: Known<Idlh>,
    /// Odour.
    pub odour: Known<Odour>,
    /// Solubility in water.
    pub henry: Known<Henry>,
    /// Vapour pressure of the liquid, where it stands open as itself.
    pub vapour_pressure: Option<Sourced<Antoine>>,
    /// Diffusion in air at 25 °C, cm²/s.
    pub diffusion_cm2_per_s: Known<f64>,
    /// Chemicals of the catalogue that hold it as a solvent, and its share of them by weight.
    pub also_in: BTreeMap<String, Sourced<f64>>,
    /// Things to know.
    pub notes: Vec<Sourced<String>>,
}

impl Gas {
    /// The limits to compare with: those of the rules in force, or of all where these have none;
    /// always those the place has of its own, from a data sheet or a rule.
    pub fn limits_in_force(&self, rules: &[Region]) -> (Vec<&Limit>, bool) {
        let (law, own): (Vec<&Limit>, Vec<&Limit>) =
            self.limits.iter().partition(|limit| !limit.is_own());
        let mut here: Vec<&Limit> = law
            .iter()
            .copied()
            .filter(|limit| rules.contains(&limit.region))
            .collect();
        let known = !here.is_empty();
        if !known {
            here = law;
        }
        here.extend(own);
        (here, known)
    }

    /// A limit of a chemical as one of its vapour.
    fn own_limit(&self, own: &ExposureLimit) -> Option<Limit> {
        let value = own.value?;
        let in_ppm = own.unit.as_deref() == Some("ppm");
        let mg_per_m3 = if in_ppm {
            dilution::mg_per_m3(value, self.molar_mass.value, 25.0)
        } else {
            value
        };
        Some(Limit {
            body: own.body.clone(),
            region: Region::from_code(&own.region)?,
            kind: LimitKind::from_word(&own.kind)?,
            mg_per_m3,
            converted: in_ppm,
            ppm: in_ppm.then_some(value),
            minutes: own.minutes.unwrap_or(0.0),
            note: own.note.clone().unwrap_or_default(),
            origin: own.from.clone(),
        })
    }

    /// Its share by weight of a chemical of the catalogue that holds it as a solvent.
    pub fn share_in(&self, chemical: &str) -> Option<f64> {
        self.also_in.get(chemical).map(|share| share.value)
    }

    fn answers_to(&self, name: &str) -> bool {
        self.all_names()
            .any(|other| other.eq_ignore_ascii_case(name))
    }

    fn all_names(&self) -> impl Iterator<Item = &str> {
        [&self.id, &self.name, &self.symbol, &self.cas]
            .into_iter()
            .chain(&self.names)
            .map(String::as_str)
    }
}

/// All gases on file.
#[derive(Debug, Clone, Default)]
pub struct Gases {
    list: Vec<Gas>,
}

impl Gases {
    /// From a list.
    ///
    /// # Errors
    /// Names the gas whose name is another's too.
    pub fn new(list: Vec<Gas>) -> Result<Self, String> {
        for (at, gas) in list.iter().enumerate() {
            for other in list.iter().skip(at + 1) {
                if let Some(name) = gas.all_names().find(|name| other.answers_to(name)) {
                    return Err(format!("`{name}` names both {} and {}", gas.id, other.id));
                }
            }
        }
        Ok(Self { list })
    }

    /// A gas by id, name, symbol, CAS number or other name, whatever the case.
    pub fn find(&self, name: &str) -> Option<&Gas> {
        self.list.iter().find(|gas| gas.answers_to(name.trim()))
    }

    /// Adds a limit to a gas, such as a rule of the place sets.
    pub fn add_limit(&mut self, id: &str, limit: Limit) {
        if let Some(gas) = self.list.iter_mut().find(|gas| gas.id == id) {
            gas.limits.push(limit);
        }
    }

    /// The name nearest to one that is not known.
    pub fn nearest(&self, name: &str) -> Option<&str> {
        nearest(name, self.list.iter().flat_map(Gas::all_names))
    }

    /// Puts a place's own limit for the gas of a CAS number where the same body's over the same
    /// time stood; a figure in ppm is converted at 25 °C and 1 atm.
    pub fn heed(&mut self, cas: &str, own: &ExposureLimit) {
        let Some(gas) = self.list.iter_mut().find(|gas| gas.cas == cas) else {
            return;
        };
        let Some(limit) = gas.own_limit(own) else {
            return;
        };
        let is_same = |old: &Limit| old.body == limit.body && old.kind == limit.kind;
        match gas.limits.iter_mut().find(|old| is_same(old)) {
            Some(old) => *old = limit,
            None => gas.limits.push(limit),
        }
    }

    /// All gases.
    pub fn iter(&self) -> impl Iterator<Item = &Gas> {
        self.list.iter()
    }
}

//! What is known of the gases and vapours a darkroom makes.

use std::collections::BTreeMap;
use std::fmt;

use serde::Deserialize;

use super::dilution;
use crate::catalogue::ExposureLimit;
use crate::provenance::{Origin, Sourced};
use crate::source::nearest;

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

/// Whose limits these are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Region {
    /// United States: law and recommendations.
    Us,
    /// European Union.
    Eu,
    /// United Kingdom.
    Uk,
    /// Germany.
    De,
    /// Canada (Ontario).
    Ca,
    /// A rule of the place; always in force.
    Local,
}

impl Region {
    /// All with limits on file.
    pub const ALL: [Self; 5] = [Self::Us, Self::Eu, Self::Uk, Self::De, Self::Ca];

    /// The code of a region, as in `--rules eu`.
    pub fn from_code(code: &str) -> Option<Self> {
        match code {
            "us" => Some(Self::Us),
            "eu" => Some(Self::Eu),
            "uk" => Some(Self::Uk),
            "de" => Some(Self::De),
            "ca" => Some(Self::Ca),
            _ => None,
        }
    }
}

impl fmt::Display for Region {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Us => "us",
            Self::Eu => "eu",
            Self::Uk => "uk",
            Self::De => "de",
            Self::Ca => "ca",
            Self::Local => "local",
        })
    }
}

/// What a limit limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum LimitKind {
    /// The average over a working day.
    #[serde(rename = "TWA")]
    WorkingDay,
    /// The average over a short time.
    #[serde(rename = "STEL")]
    ShortTerm,
    /// Never to be passed.
    #[serde(rename = "ceiling")]
    Ceiling,
}

impl LimitKind {
    /// The kind by its word in data files.
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "TWA" => Some(Self::WorkingDay),
            "STEL" => Some(Self::ShortTerm),
            "ceiling" => Some(Self::Ceiling),
            _ => None,
        }
    }
}

impl Limit {
    /// Whether the place has it from its own data sheet or rule.
    pub const fn is_own(&self) -> bool {
        matches!(
            self.origin,
            Origin::DataSheet { .. } | Origin::LocalRule { .. }
        )
    }
}

impl fmt::Display for LimitKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::WorkingDay => "TWA",
            Self::ShortTerm => "STEL",
            Self::Ceiling => "ceiling",
        })
    }
}

/// One exposure limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Who set it.
    pub body: String,
    /// Where it holds.
    pub region: Region,
    /// What it limits.
    pub kind: LimitKind,
    /// The limit, mg/m³.
    pub mg_per_m3: f64,
    /// Whether mg/m³ is computed from the printed ppm (25 °C, 1 atm).
    pub converted: bool,
    /// The limit as printed in ppm, if it is.
    pub ppm: Option<f64>,
    /// Averaging time; 0 for at no moment.
    pub minutes: f64,
    /// Skin, sensitiser and the like.
    pub note: String,
    /// Where it is from.
    pub origin: Origin,
}

/// What is immediately dangerous to life or health.
#[derive(Debug, Clone, PartialEq)]
pub struct Idlh {
    /// The concentration, mg/m³.
    pub mg_per_m3: f64,
    /// Anything said beside it.
    pub note: String,
}

/// Where noses begin to notice. Never used as protection.
#[derive(Debug, Clone, PartialEq)]
pub struct Odour {
    /// Lowest threshold found, ppm.
    pub low_ppm: f64,
    /// Highest threshold found, ppm.
    pub high_ppm: f64,
    /// Anything said beside it.
    pub note: String,
}

/// Solubility of a gas, k(T) = k exp(b (1/T − 1/298.15 K)).
#[derive(Debug, Clone, PartialEq)]
pub struct Henry {
    /// At 25 °C, mol/(L atm).
    pub mol_per_l_atm: f64,
    /// Its rise on cooling, K.
    pub b_kelvin: f64,
    /// The molecule it counts.
    pub of: String,
    /// Anything said beside it.
    pub note: String,
}

impl Henry {
    /// mol/(L atm) at a temperature.
    pub fn at(&self, kelvin: f64) -> f64 {
        self.mol_per_l_atm * libm::exp(self.b_kelvin * (1.0 / kelvin - 1.0 / 298.15))
    }
}

/// Vapour pressure of a pure liquid, log10(p/Pa) = a − b/(T/K + c).
#[derive(Debug, Clone, PartialEq)]
pub struct Antoine {
    /// a.
    pub a: f64,
    /// b, K.
    pub b: f64,
    /// c, K.
    pub c: f64,
    /// Holds from here, °C.
    pub low_c: f64,
    /// Holds to here, °C.
    pub high_c: f64,
}

impl Antoine {
    /// Pa at a temperature.
    pub fn pascal(&self, kelvin: f64) -> f64 {
        libm::exp10(self.a - self.b / (kelvin + self.c))
    }

    /// Whether the constants are meant for a temperature.
    pub fn covers(&self, celsius: f64) -> bool {
        (self.low_c..=self.high_c).contains(&celsius)
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

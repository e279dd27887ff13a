//! What goes into a bath, and what it becomes in water.

use std::collections::BTreeMap;
use std::fmt;

use crate::catalogue::DataError;
use crate::chemistry::component::Components;
use crate::chemistry::file::{DissolutionFile, Kind};
use crate::chemistry::water;
use crate::provenance::Origin;
use crate::units::Temperature;

const FILE: &str = "hazards/physical/dissolution.yaml";

/// A bath as it is put together.
#[derive(Debug, Clone, PartialEq)]
pub struct Makeup {
    /// Water added as such, g.
    pub water_g: f64,
    /// All else, in any order.
    pub dissolved: Vec<Dissolved>,
    /// The temperature of the bath.
    pub temperature: Temperature,
}

/// One weighed or measured chemical.
#[derive(Debug, Clone, PartialEq)]
pub struct Dissolved {
    /// Its catalogue id.
    pub chemical: String,
    /// The entry it is a form of, if it is one.
    pub form_of: Option<String>,
    /// What was weighed, g: crystal water and, in bottled solutions, the water of the bottle
    /// included.
    pub grams: f64,
    /// g/mol of its formula, crystal water included.
    pub molar_mass: f64,
    /// The share of the grams that is that formula (1 for solids); the rest is water.
    pub strength: f64,
}

impl Dissolved {
    /// A solid or pure liquid.
    pub fn pure(chemical: impl Into<String>, grams: f64, molar_mass: f64) -> Self {
        Self {
            chemical: chemical.into(),
            form_of: None,
            grams,
            molar_mass,
            strength: 1.0,
        }
    }

    /// The same as a bottled solution, `strength` g of the formula in 1 g.
    pub fn at_strength(mut self, strength: f64) -> Self {
        self.strength = strength;
        self
    }

    /// The same as a form of another entry.
    pub fn form_of(mut self, root: impl Into<String>) -> Self {
        self.form_of = Some(root.into());
        self
    }
}

/// Why nothing can be computed about a bath.
#[derive(Debug, Clone, PartialEq)]
pub enum ChemistryError {
    /// A chemical the dissolution data do not know.
    UnknownChemical(String),
    /// An amount that is no amount.
    NoAmount { what: String, value: f64 },
    /// A molar mass that cannot belong to the chemical.
    MolarMass {
        chemical: String,
        given: f64,
        least: f64,
    },
    /// A component no data file knows.
    UnknownComponent(String),
}

impl fmt::Display for ChemistryError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownChemical(id) => {
                write!(
                    f,
                    "what `{id}` becomes in water is not known: no line for it in {FILE}"
                )
            }
            Self::NoAmount { what, value } => write!(f, "{value} is no amount of {what}"),
            Self::MolarMass {
                chemical,
                given,
                least,
            } => write!(
                f,
                "`{chemical}` cannot weigh {given} g/mol: without crystal water it is {least} g/mol"
            ),
            Self::UnknownComponent(name) => write!(f, "`{name}` is no component of the acid data"),
        }
    }
}

impl std::error::Error for ChemistryError {}

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

/// One chemical in a bath.
#[derive(Debug, Clone)]
pub struct Content {
    /// Its catalogue id.
    pub chemical: String,
    /// The solute it is, by id.
    pub solute: String,
    /// g weighed in.
    pub grams: f64,
    /// g of the solute without any water.
    pub solute_grams: f64,
    /// mol of the solute; zero where it has no formula.
    pub moles: f64,
    /// mol crystal water per mol.
    pub crystal_water: f64,
    /// mol water per mol of the solute in the bottle it came from, crystal water excluded.
    pub bottle_water: f64,
}

/// A bath in terms of components.
#[derive(Debug, Clone)]
pub struct Bath {
    /// Solvent water, kg.
    pub water_kg: f64,
    /// All matter, kg.
    pub mass_kg: f64,
    /// °C.
    pub celsius: f64,
    /// The chemicals, as listed.
    pub contents: Vec<Content>,
    /// (component number, mol).
    pub amounts: Vec<(usize, f64)>,
}

impl Bath {
    /// mol of a component.
    pub fn moles_of(&self, component: usize) -> f64 {
        self.amounts
            .iter()
            .filter(|(index, _)| *index == component)
            .map(|(_, moles)| moles)
            .sum()
    }

    /// mol of a component per kg water; zero without water.
    pub fn molality_of(&self, component: usize) -> f64 {
        if self.water_kg > 0.0 {
            self.moles_of(component) / self.water_kg
        } else {
            0.0
        }
    }

    /// (component number, mol per kg water).
    pub fn molalities(&self) -> Vec<(usize, f64)> {
        if self.water_kg > 0.0 {
            self.amounts
                .iter()
                .map(|(index, moles)| (*index, moles / self.water_kg))
                .collect()
        } else {
            Vec::new()
        }
    }

    /// Share of solvent water in the mass; one for nothing at all.
    pub fn water_share(&self) -> f64 {
        if self.mass_kg > 0.0 {
            self.water_kg / self.mass_kg
        } else {
            1.0
        }
    }

    /// So many times as much of everything.
    pub fn scaled(&self, factor: f64) -> Self {
        let mut bath = self.clone();
        bath.water_kg *= factor;
        bath.mass_kg *= factor;
        for content in &mut bath.contents {
            content.grams *= factor;
            content.solute_grams *= factor;
            content.moles *= factor;
        }
        for amount in &mut bath.amounts {
            amount.1 *= factor;
        }
        bath
    }

    /// This bath and another in one vessel; the temperature is the mean by mass.
    pub fn with(&self, other: &Self) -> Self {
        let mut bath = self.clone();
        let mass = self.mass_kg + other.mass_kg;
        if mass > 0.0 {
            bath.celsius = (self.celsius * self.mass_kg + other.celsius * other.mass_kg) / mass;
        }
        bath.water_kg += other.water_kg;
        bath.mass_kg = mass;
        bath.contents.extend(other.contents.iter().cloned());
        bath.amounts.extend(other.amounts.iter().copied());
        bath
    }
}

impl Dissolution {
    /// What a makeup becomes in water.
    ///
    /// # Errors
    /// A chemical without dissolution data; an amount below zero or not finite; a molar mass
    /// below that of the dry formula.
    pub fn bath(&self, makeup: &Makeup) -> Result<Bath, ChemistryError> {
        let mut bath = Bath {
            water_kg: amount("water", makeup.water_g)? / 1000.0,
            mass_kg: makeup.water_g / 1000.0,
            celsius: makeup.temperature.celsius(),
            contents: Vec::new(),
            amounts: Vec::new(),
        };
        for dissolved in &makeup.dissolved {
            self.add(&mut bath, dissolved)?;
        }
        bath.water_kg = bath.water_kg.max(0.0);
        Ok(bath)
    }

    fn add(&self, bath: &mut Bath, dissolved: &Dissolved) -> Result<(), ChemistryError> {
        let solute = self
            .of_chemical(&dissolved.chemical, dissolved.form_of.as_deref())
            .ok_or_else(|| ChemistryError::UnknownChemical(dissolved.chemical.clone()))?;
        let grams = amount(&dissolved.chemical, dissolved.grams)?;
        let strength = dissolved.strength.clamp(0.0, 1.0);
        bath.mass_kg += grams / 1000.0;
        if solute.kind == Kind::Water {
            bath.water_kg += grams / 1000.0;
            return Ok(());
        }
        let content = content(solute, dissolved, grams, strength)?;
        let set_free = content.moles * (content.crystal_water + solute.water) * water::MOLAR_MASS;
        bath.water_kg += (grams * (1.0 - strength) + set_free) / 1000.0;
        bath.amounts.extend(
            solute
                .gives
                .iter()
                .map(|(index, count)| (*index, count * content.moles)),
        );
        bath.contents.push(content);
        Ok(())
    }
}

fn content(
    solute: &Solute,
    dissolved: &Dissolved,
    grams: f64,
    strength: f64,
) -> Result<Content, ChemistryError> {
    let mut content = Content {
        chemical: dissolved.chemical.clone(),
        solute: solute.name.clone(),
        grams,
        solute_grams: grams * strength,
        moles: 0.0,
        crystal_water: 0.0,
        bottle_water: 0.0,
    };
    let Some(dry) = solute.molar_mass else {
        return Ok(content);
    };
    let given = amount("molar mass", dissolved.molar_mass)?;
    // Half a gram: rounded molar masses of large formulas differ by tenths.
    if given < dry - 0.5 {
        return Err(ChemistryError::MolarMass {
            chemical: dissolved.chemical.clone(),
            given,
            least: dry,
        });
    }
    let whole = given.max(dry);
    let crystal_water = (whole - dry) / water::MOLAR_MASS;
    content.crystal_water = if crystal_water < 0.03 {
        0.0
    } else {
        crystal_water
    };
    content.moles = grams * strength / whole;
    content.solute_grams = content.moles * dry;
    if content.moles > 0.0 {
        content.bottle_water = grams * (1.0 - strength) / water::MOLAR_MASS / content.moles;
    }
    Ok(content)
}

fn amount(what: &str, value: f64) -> Result<f64, ChemistryError> {
    if value.is_finite() && value >= 0.0 {
        Ok(value)
    } else {
        Err(ChemistryError::NoAmount {
            what: what.to_owned(),
            value,
        })
    }
}

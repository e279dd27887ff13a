//! What goes into a bath, and why that may not do.

use std::fmt;

use crate::units::Temperature;

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
                    "what `{id}` becomes in water is not known: no line for it in hazards/physical/dissolution.yaml"
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

//! A bath in terms of components, from what was put together.

use crate::chemistry::dissolution::{Dissolution, Solute};
use crate::chemistry::file::Kind;
use crate::chemistry::makeup::{ChemistryError, Dissolved, Makeup};
use crate::chemistry::water;
use crate::units::Temperature;

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
    /// An empty vessel at room temperature.
    pub fn nothing() -> Self {
        Self {
            water_kg: 0.0,
            mass_kg: 0.0,
            celsius: Temperature::ROOM.celsius(),
            contents: Vec::new(),
            amounts: Vec::new(),
        }
    }

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

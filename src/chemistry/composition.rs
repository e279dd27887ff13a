//! Composition of a bath in the usual measures.

use crate::chemistry::Chemistry;
use crate::chemistry::bath::Bath;
use crate::chemistry::figure::{Figure, Input};
use crate::provenance::Origin;

/// How much there is of one chemical.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// Its catalogue id.
    pub chemical: String,
    /// The solute it is.
    pub solute: String,
    /// g weighed in.
    pub grams: f64,
    /// g weighed in per litre of bath.
    pub grams_per_litre: f64,
    /// g of the dry solute per 100 g of bath.
    pub percent: f64,
    /// mol per litre of bath; nothing where it has no formula.
    pub mol_per_litre: Option<f64>,
    /// mol per kg of water; nothing where it has no formula or there is no water.
    pub mol_per_kg: Option<f64>,
}

/// Volume, mass and shares of a bath.
#[derive(Debug, Clone, PartialEq)]
pub struct Composition {
    /// Litres, from mass and density.
    pub volume: Figure,
    /// kg.
    pub mass_kg: f64,
    /// Solvent water, g per 100 g.
    pub water_percent: f64,
    /// One entry a chemical, in the order listed; the same chemical twice is one entry.
    pub shares: Vec<Share>,
}

impl Chemistry {
    /// The composition of a bath.
    pub fn composition(&self, bath: &Bath) -> Composition {
        let volume = volume(bath, self.density(bath));
        let litres = volume.value;
        let mut shares: Vec<Share> = Vec::new();
        let per = |amount: f64, of: f64| if of > 0.0 { amount / of } else { 0.0 };
        for content in &bath.contents {
            let known = content.moles > 0.0;
            let share = Share {
                chemical: content.chemical.clone(),
                solute: content.solute.clone(),
                grams: content.grams,
                grams_per_litre: per(content.grams, litres),
                percent: per(content.solute_grams / 10.0, bath.mass_kg),
                mol_per_litre: known.then(|| per(content.moles, litres)),
                mol_per_kg: (known && bath.water_kg > 0.0).then(|| content.moles / bath.water_kg),
            };
            match shares
                .iter_mut()
                .find(|other| other.chemical == share.chemical)
            {
                Some(other) => add(other, &share),
                None => shares.push(share),
            }
        }
        Composition {
            volume,
            mass_kg: bath.mass_kg,
            water_percent: bath.water_share() * 100.0,
            shares,
        }
    }
}

fn volume(bath: &Bath, density: Figure) -> Figure {
    let mut trace = density.trace;
    trace.inputs.push(Input::new(
        "mass",
        bath.mass_kg,
        "kg",
        &Origin::Computed {
            formula: "amounts weighed in".to_owned(),
        },
    ));
    let litres = bath.mass_kg / density.value;
    let margin = bath.mass_kg / density.low.max(0.1) - litres;
    Figure::around(litres, margin.max(0.0), "L", trace)
}

fn add(share: &mut Share, more: &Share) {
    share.grams += more.grams;
    share.grams_per_litre += more.grams_per_litre;
    share.percent += more.percent;
    share.mol_per_litre = sum(share.mol_per_litre, more.mol_per_litre);
    share.mol_per_kg = sum(share.mol_per_kg, more.mol_per_kg);
}

fn sum(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    match (a, b) {
        (Some(a), Some(b)) => Some(a + b),
        (one, other) => one.or(other),
    }
}

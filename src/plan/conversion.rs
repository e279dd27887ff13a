//! Recipe says one form, the jar holds another: what to weigh, with the working.

use crate::catalogue::{Catalogue, Chemical};
use crate::units::Mass;

/// The same moles from another form of the same substance.
#[derive(Debug, Clone, PartialEq)]
pub struct Conversion {
    /// What the recipe asks for.
    pub asked: Mass,
    /// What to weigh from the jar.
    pub weigh: Mass,
    /// The factor between them.
    pub factor: f64,
    /// The working in figures: `100 g × 286.14 / 124.01 = 231 g`.
    pub working: String,
}

/// Grams of form that hold one mole of the root's formula: molar mass over the root units in the
/// formula, over the strength of a solution by weight.
///
/// `None` when a formula or strength needed for it is not known.
fn grams_per_mole(catalogue: &Catalogue, chemical: &Chemical) -> Option<f64> {
    let molar = catalogue.molar_mass(chemical).filter(|mass| *mass > 0.0)?;
    match &chemical.strength {
        None => Some(molar),
        Some(strength) => {
            let by_weight = match strength.basis {
                crate::catalogue::StrengthBasis::ByWeight => strength.percent / 100.0,
                // Grams in 100 mL over grams of 100 mL.
                crate::catalogue::StrengthBasis::WeightInVolume => {
                    strength.percent / 100.0 / chemical.density.as_ref()?.kg_per_l
                }
            };
            let solute = catalogue
                .chemical(chemical.root())
                .and_then(|root| catalogue.molar_mass(&root));
            (by_weight > 0.0).then(|| solute.unwrap_or(molar) / by_weight)
        }
    }
}

impl Conversion {
    /// What to weigh from a jar of `jar` where the recipe asks for a mass of `asked`.
    ///
    /// `None` when both are the same form, or when no factor can be had.
    pub fn between(
        catalogue: &Catalogue,
        asked: &Chemical,
        jar: &Chemical,
        mass: Mass,
    ) -> Option<Self> {
        if asked.id == jar.id {
            return None;
        }
        let (from, to) = (
            grams_per_mole(catalogue, asked)?,
            grams_per_mole(catalogue, jar)?,
        );
        let factor = to / from;
        let weigh = mass.scaled(factor).ok()?;
        let working = format!(
            "{mass}\u{a0}× {} / {} = {weigh}",
            format_args!("{to:.2}"),
            format_args!("{from:.2}")
        );
        Some(Self {
            asked: mass,
            weigh,
            factor,
            working,
        })
    }
}

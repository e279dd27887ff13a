//! A recipe's amounts → steps, and what is in the vessel after each.

use std::sync::Arc;

use crate::catalogue::{Chemical, Named};
use crate::session::{Addition, Amount, Recipe, Start, Written};
use crate::source::{Mistake, Place};
use crate::units::{Density, Mass, Volume};

use crate::plan::{Action, Added, Composition, Conversion, Step};

use super::Resolver;
use super::names::{listed, unknown};

/// Millilitres that a gram of dissolved solid takes up. Apparent specific volumes of common salts
/// run from 0.1 to 0.7 mL/g (CRC Handbook, concentrative properties); the middle keeps the water
/// of a strong fixer within 5 %. Only used to say how much water a top-up takes.
const ML_PER_GRAM_DISSOLVED: f64 = 0.4;

impl Resolver<'_> {
    /// The steps of a recipe, each of its amounts taken so many times.
    pub(super) fn steps(&mut self, recipe: &Recipe, factor: f64) -> Option<Vec<Step>> {
        let mut steps: Vec<Step> = Vec::new();
        let mut vessel = Composition::default();
        if let Some(start) = &recipe.start {
            steps.push(self.start(start, factor, &mut vessel)?);
        }
        for addition in &recipe.add {
            let number = steps.len() + 1;
            steps.extend(self.addition(addition, factor, number, &mut vessel));
        }
        if let Some(mark) = &recipe.top_up {
            let to = self.within(mark.value.scaled(factor), &mark.place)?;
            self.top_up(&mut vessel, to, &mark.place);
            steps.push(Step {
                number: steps.len() + 1,
                action: Action::TopUp { to },
                place: mark.place.clone(),
                after: vessel,
                note: None,
            });
        }
        Some(steps)
    }

    /// The water a recipe starts with.
    fn start(&mut self, start: &Start, factor: f64, vessel: &mut Composition) -> Option<Step> {
        let water = self.scaled(&start.water, factor)?;
        vessel.add_water(water_mass(water));
        if let Amount::Volume(volume) = water {
            vessel.volume = Some(volume);
        }
        Some(Step {
            number: 1,
            action: Action::Start {
                water,
                at: start.at.as_ref().map(|at| at.value),
            },
            place: start.water.place.clone(),
            after: vessel.clone(),
            note: None,
        })
    }

    /// One thing put in.
    fn addition(
        &mut self,
        addition: &Addition,
        factor: f64,
        number: usize,
        vessel: &mut Composition,
    ) -> Option<Step> {
        let added = self.added(addition, factor)?;
        // Water may be written as an ingredient: it is the solvent all the same.
        if added.jar.id == "water" {
            vessel.add_water(added.mass);
        } else {
            vessel.add(&added.jar, added.mass);
        }
        Some(Step {
            number,
            action: Action::Add(Box::new(added)),
            place: addition.chemical.place.clone(),
            after: vessel.clone(),
            note: addition.note.clone(),
        })
    }

    fn top_up(&mut self, vessel: &mut Composition, to: Volume, place: &Place) {
        let dissolved: f64 = vessel.solutes.values().sum();
        let filled_ml = vessel.water_g + ML_PER_GRAM_DISSOLVED * dissolved;
        if vessel.water_g > to.millilitres() * 1.001 {
            let message =
                format!("the vessel already holds more than {to} of water before it is topped up");
            self.mistakes.note(Mistake::at(
                place.clone(),
                message,
                "start with less water, or top up to more",
            ));
        }
        if let Ok(water) = Mass::from_grams((to.millilitres() - filled_ml).max(0.0)) {
            vessel.add_water(water);
        }
        vessel.volume = Some(to);
    }

    pub(super) fn added(&mut self, addition: &Addition, factor: f64) -> Option<Added> {
        let written = &addition.chemical;
        let (asked, open_forms) = match self.catalogue.named(&written.value) {
            Some(Named::Entry(chemical)) => (chemical, Vec::new()),
            Some(Named::Bare(forms)) => (forms.first().cloned()?, forms),
            Some(Named::Several(forms)) => {
                let message = format!("`{}` is the formula of several chemicals", written.value);
                self.mistakes.note(Mistake::at(
                    written.place.clone(),
                    message,
                    format!("write one of {}", listed(&forms)),
                ));
                return None;
            }
            None => {
                self.mistakes.note(unknown(written, self.catalogue));
                return None;
            }
        };
        let amount = self.scaled(&addition.amount, factor)?;
        let jar = self.jar_for(&asked);
        let (asked_mass, density_assumed) = mass_of(amount, &asked);
        let conversion = Conversion::between(self.catalogue, &asked, &jar, asked_mass);
        let jar = if conversion.is_some() {
            jar
        } else {
            Arc::clone(&asked)
        };
        let (amount, mass) = match &conversion {
            Some(conversion) => (Amount::Mass(conversion.weigh), conversion.weigh),
            None => (amount, asked_mass),
        };
        Some(Added {
            jar,
            asked,
            written: written.value.clone(),
            open_forms,
            amount,
            mass,
            density_assumed,
            conversion,
        })
    }

    fn scaled(&mut self, written: &Written<Amount>, factor: f64) -> Option<Amount> {
        let scaled = match written.value {
            Amount::Mass(mass) => mass.scaled(factor).map(Amount::Mass),
            Amount::Volume(volume) => volume.scaled(factor).map(Amount::Volume),
        };
        self.within(scaled, &written.place)
    }

    pub(super) fn within<T>(
        &mut self,
        result: Result<T, crate::units::UnitError>,
        place: &Place,
    ) -> Option<T> {
        let help = "make less, or correct the recipe's amounts";
        self.mistakes
            .keep(result.map_err(|error| Mistake::at(place.clone(), error.to_string(), help)))
    }
}

/// The mass of an amount; `true` when water's density had to stand in for an unknown one.
fn mass_of(amount: Amount, chemical: &Chemical) -> (Mass, bool) {
    match amount {
        Amount::Mass(mass) => (mass, false),
        Amount::Volume(volume) => {
            let known = chemical
                .density
                .as_ref()
                .and_then(|d| Density::from_kg_per_l(d.kg_per_l).ok());
            (
                volume * known.unwrap_or(Density::WATER),
                known.is_none() && chemical.id != "water",
            )
        }
    }
}

fn water_mass(water: Amount) -> Mass {
    match water {
        Amount::Mass(mass) => mass,
        Amount::Volume(volume) => volume * Density::WATER,
    }
}

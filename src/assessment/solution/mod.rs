//! Figures of one solution: what it is after every step, and what the law would call it.

mod steps;

use crate::catalogue::{Catalogue, Chemical, StrengthBasis};
use crate::chemistry::{
    Bath, Chemistry, Composition, Dissolved, Dissolves, Equilibrium, Figure, Makeup, Solubility,
};
use crate::classify::{Balance, Classification, Form, Mixture, Ph, classify};
use crate::plan::{self, Action, Solution};
use crate::units::{Density, Percent, Temperature};

use crate::assessment::{Rules, ingredient};

/// What was computed about a solution.
#[derive(Debug, Clone)]
pub struct SolutionFigures {
    /// The stock as it is bottled.
    pub stock: BathFigures,
    /// The working solution, where the stock is diluted.
    pub working: Option<BathFigures>,
    /// After each step.
    pub steps: Vec<StepFigures>,
}

/// What was computed about one bath.
#[derive(Debug, Clone)]
pub struct BathFigures {
    /// What chemistry says of it, or why it can say nothing.
    pub chemistry: Result<Box<BathChemistry>, String>,
    /// What the law would call it.
    pub classification: Classification,
}

/// Chemistry of one bath.
#[derive(Debug, Clone)]
pub struct BathChemistry {
    /// The bath in terms of components.
    pub bath: Bath,
    /// Volume, mass and shares.
    pub composition: Composition,
    /// kg/L.
    pub density: Figure,
    /// pH and species.
    pub equilibrium: Equilibrium,
    /// How it stands against the solids it could hold, at room temperature.
    pub solubility: Solubility,
}

/// What a step does to the vessel.
#[derive(Debug, Clone)]
pub struct StepFigures {
    /// The step, from 1.
    pub number: usize,
    /// °C before, in a vessel that keeps all heat; nothing for the first thing in the vessel.
    pub before: Option<f64>,
    /// Temperature afterwards in the same vessel.
    pub temperature: Option<Figure>,
    /// How it stands against the solids it could hold at that temperature.
    pub solubility: Option<Solubility>,
}

impl StepFigures {
    /// Whether everything is dissolved; nothing where there are no data.
    pub fn dissolves(&self) -> Option<Dissolves> {
        self.solubility.as_ref().and_then(Solubility::dissolves)
    }

    /// How much warmer the vessel gets, K; below zero for colder.
    pub fn rise(&self) -> Option<f64> {
        Some(self.temperature.as_ref()?.value - self.before?)
    }
}

/// What the figures are computed with.
#[derive(Debug, Clone, Copy)]
pub struct Tools<'a> {
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// Classes, limits and labels.
    pub rules: &'a Rules,
    /// Dissolved matter.
    pub chemistry: &'a Chemistry,
}

impl Tools<'_> {
    /// All figures of a solution at a temperature. Powders, bottles and top-up water come at room temperature.
    pub fn figures(&self, solution: &Solution, at: Temperature) -> SolutionFigures {
        let stock = self.stock(solution, at);
        let working = solution.dilution.dilutes().then(|| {
            let diluted = stock
                .chemistry
                .as_ref()
                .map_err(String::clone)
                .map(|stock| {
                    self.diluted(
                        &stock.bath,
                        stock.composition.volume.value,
                        solution.dilution.stock_share(),
                    )
                });
            self.bath_figures(
                diluted,
                &solution.title,
                &solution.composition(),
                solution.dilution.stock_share(),
            )
        });
        SolutionFigures {
            steps: self.steps(solution),
            stock,
            working,
        }
    }

    fn stock(&self, solution: &Solution, at: Temperature) -> BathFigures {
        let made = solution.composition();
        let bath = self.bath(&made, at).map(|bath| self.filled(bath, solution));
        self.bath_figures(bath, &solution.title, &made, 1.0)
    }

    /// What a composition is in terms of components.
    fn bath(
        &self,
        composition: &plan::Composition,
        temperature: Temperature,
    ) -> Result<Bath, String> {
        let dissolved: Result<Vec<Dissolved>, String> = composition
            .solutes
            .iter()
            .map(|(id, grams)| self.dissolved(id, *grams))
            .collect();
        let makeup = Makeup {
            water_g: composition.water_g,
            dissolved: dissolved?,
            temperature,
        };
        self.chemistry
            .bath(&makeup)
            .map_err(|error| error.to_string())
    }

    fn dissolved(&self, id: &str, grams: f64) -> Result<Dissolved, String> {
        let chemical = self
            .catalogue
            .chemical(id)
            .ok_or_else(|| format!("`{id}` is not in the catalogue"))?;
        let molar_mass = self.catalogue.molar_mass(&chemical).unwrap_or(0.0);
        let mut dissolved =
            Dissolved::pure(id, grams, molar_mass).at_strength(by_weight(&chemical).unwrap_or(1.0));
        if let Some(root) = &chemical.form_of {
            dissolved = dissolved.form_of(root.clone());
        }
        Ok(dissolved)
    }

    /// A recipe that is topped up to a mark holds as much water as brings it there.
    fn filled(&self, mut bath: Bath, solution: &Solution) -> Bath {
        let mark = solution
            .steps
            .iter()
            .rev()
            .find_map(|step| match &step.action {
                Action::TopUp { to } => Some(to.litres()),
                _ => None,
            });
        let Some(litres) = mark else { return bath };
        // The volume changes by nearly the water's own volume, so a few rounds settle it.
        for _ in 0..6 {
            let missing = litres - bath.mass_kg / self.chemistry.density(&bath).value;
            let water = (bath.water_kg + missing).max(0.0);
            bath.mass_kg += water - bath.water_kg;
            bath.water_kg = water;
        }
        bath
    }

    fn diluted(&self, stock: &Bath, litres: f64, share: f64) -> Bath {
        let mut bath = stock.clone();
        let water_kg = litres * (1.0 / share - 1.0) * Density::WATER.kg_per_l();
        bath.water_kg += water_kg;
        bath.mass_kg += water_kg;
        bath
    }

    fn bath_figures(
        &self,
        bath: Result<Bath, String>,
        name: &str,
        made: &plan::Composition,
        share: f64,
    ) -> BathFigures {
        let chemistry = bath.map(|bath| {
            Box::new(BathChemistry {
                composition: self.chemistry.composition(&bath),
                density: self.chemistry.density(&bath),
                equilibrium: self.chemistry.equilibrium(&bath),
                solubility: self
                    .chemistry
                    .solubility(&bath, Temperature::ROOM.celsius()),
                bath,
            })
        });
        let mixture = self.mixture(name, made, chemistry.as_ref().ok().map(|c| &**c), share);
        let classification = classify(&mixture, self.rules.profile, &self.rules.tables);
        BathFigures {
            chemistry,
            classification,
        }
    }

    /// The bath as a mixture by weight; without chemistry a litre counts as a kilogram, which
    /// makes shares too high, not too low.
    fn mixture(
        &self,
        name: &str,
        made: &plan::Composition,
        chemistry: Option<&BathChemistry>,
        share: f64,
    ) -> Mixture {
        let total = chemistry.map_or(made.litres() * 1000.0 / share, |c| c.bath.mass_kg * 1000.0);
        let percent = |grams: f64| {
            if total > 0.0 {
                (100.0 * grams / total).min(100.0)
            } else {
                100.0
            }
        };
        let ingredients = made.solutes.iter().filter_map(|(id, grams)| {
            let chemical = self.catalogue.chemical(id)?;
            let percent = Percent::from_percent(percent(*grams)).ok()?;
            Some(ingredient(&chemical, percent, self.catalogue, self.rules))
        });
        let ph = chemistry.and_then(|c| c.equilibrium.ph.bounds());
        Mixture {
            name: name.to_owned(),
            form: Form::Liquid,
            ph: ph
                .and_then(|(low, _, high)| Ph::between(low.max(Ph::LOWEST), high.min(Ph::HIGHEST))),
            flash_point: None,
            boiling_point: None,
            viscosity: None,
            ingredients: ingredients.collect(),
            balance: Balance::Water,
        }
    }

    /// So much out of a jar, at room temperature.
    ///
    /// # Errors
    /// When it is not known what the chemical is in water.
    pub fn jar(&self, id: &str, grams: f64) -> Result<Bath, String> {
        let dissolved = if id == "water" {
            Vec::new()
        } else {
            vec![self.dissolved(id, grams)?]
        };
        let water_g = if id == "water" { grams } else { 0.0 };
        let makeup = Makeup {
            water_g,
            dissolved,
            temperature: Temperature::ROOM,
        };
        self.chemistry
            .bath(&makeup)
            .map_err(|error| error.to_string())
    }
}

/// Grams of the formula in a gram from the jar; `None` where weight in volume has no density.
pub fn by_weight(chemical: &Chemical) -> Option<f64> {
    let Some(strength) = &chemical.strength else {
        return Some(1.0);
    };
    match strength.basis {
        StrengthBasis::ByWeight => Some(strength.percent / 100.0),
        StrengthBasis::WeightInVolume => {
            Some(strength.percent / 100.0 / chemical.density.as_ref()?.kg_per_l)
        }
    }
}

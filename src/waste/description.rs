//! A waste as the person describes it, every chemical resolved.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Deserialize;

use crate::units::{Mass, Temperature, Volume};

use super::chemical::WasteChemical;

/// Who holds the waste; the duties differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Holder {
    /// A firm, studio or club.
    Business,
    /// A school or college.
    School,
    /// A private home.
    Private,
}

/// Solid or liquid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Form {
    /// Not flowing.
    Solid,
    /// Flowing.
    Liquid,
}

/// One stated part of the waste.
#[derive(Debug, Clone, PartialEq)]
pub struct Ingredient {
    /// What it is.
    pub chemical: WasteChemical,
    /// How much.
    pub share: Share,
}

/// How much of an ingredient is in the waste.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Share {
    /// Percent by weight.
    Percent(f64),
    /// Percent by volume.
    PercentByVolume(f64),
    /// Grams in a litre.
    GramsPerLitre(f64),
}

/// Where the drain of the place leads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum DrainKind {
    /// A public sewer with a treatment works.
    Sewer,
    /// A septic tank, pit or soakaway.
    Septic,
    /// No drain.
    None,
}

/// A question about a drain; the answer is never yes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drain {
    /// Where it leads.
    pub to: Option<DrainKind>,
    /// Hazardous waste that would go down it in a month, kg.
    pub kg_per_month: Option<f64>,
    /// Whether any of it is acute hazardous waste.
    pub acute: bool,
    /// Film and paper processed, m² a day.
    pub m2_per_day: Option<f64>,
    /// Discharged straight into water, with no public works between.
    pub direct: bool,
    /// The works' own limits, mg/L by metal.
    pub local_mg_per_l: BTreeMap<String, f64>,
}

/// A container that is said to be empty.
#[derive(Debug, Clone, PartialEq)]
pub struct Emptied {
    /// What it can hold.
    pub capacity: Volume,
    /// What is left, percent by weight of the capacity.
    pub residue_percent: Option<f64>,
    /// What is left, cm on the bottom.
    pub residue_cm: Option<f64>,
    /// The chemical it held, when it was one.
    pub held: Option<WasteChemical>,
    /// How often it was rinsed.
    pub rinses: u32,
}

/// A waste as described.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WasteDescription {
    /// What the person calls it.
    pub name: String,
    /// The stream it belongs to; `unused-chemical` for one never used.
    pub stream: String,
    /// The chemical, when it was never used.
    pub unused: Option<WasteChemical>,
    /// Who holds it; a business when not stated.
    pub holder: Option<Holder>,
    /// England, Wales, Scotland or Northern Ireland, where the rules differ.
    pub nation: Option<String>,
    /// Measured pH, 0 to 14 (a little beyond for concentrates).
    pub ph: Option<f64>,
    /// Measured closed-cup flash point.
    pub flash_point: Option<Temperature>,
    /// Water, percent by weight.
    pub water_percent: Option<f64>,
    /// Measured density, kg/L.
    pub density: Option<f64>,
    /// How much there is.
    pub volume: Option<Volume>,
    /// How much there is.
    pub mass: Option<Mass>,
    /// Measured metals, mg/L by name.
    pub mg_per_l: BTreeMap<String, f64>,
    /// Stated parts.
    pub contains: Vec<Ingredient>,
    /// Nothing hazardous left in it (packaging).
    pub clean: bool,
    /// Hazardous waste made this calendar month, kg.
    pub made_this_month_kg: Option<f64>,
    /// Acute hazardous waste made this month, kg.
    pub acute_this_month_kg: Option<f64>,
    /// Debris of acute spills this month, kg.
    pub acute_spill_kg: Option<f64>,
    /// Hazardous waste made this year, kg.
    pub made_this_year_kg: Option<f64>,
    /// Hazardous waste on site, kg.
    pub held_kg: Option<f64>,
    /// Acute hazardous waste on site, kg.
    pub acute_held_kg: Option<f64>,
    /// The day it began to be kept (or a mass limit was reached).
    pub since: Option<NaiveDate>,
    /// Way to the facility, miles.
    pub distance_miles: Option<f64>,
    /// Hazardous waste in the satellite area, L.
    pub satellite_l: Option<f64>,
    /// The day the satellite limit was passed.
    pub satellite_over_since: Option<NaiveDate>,
    /// A question about the drain.
    pub drain: Option<Drain>,
    /// A question about an emptied container.
    pub emptied: Option<Emptied>,
}

impl WasteDescription {
    /// The one chemical of a waste that was never used.
    ///
    /// A mixture has no sole active ingredient, so it has none.
    pub fn sole_unused(&self) -> Option<&WasteChemical> {
        match (&self.unused, self.contains.as_slice()) {
            (Some(chemical), _) => Some(chemical),
            (None, [only]) if self.stream == "unused-chemical" => Some(&only.chemical),
            _ => None,
        }
    }

    /// Whether it was never used.
    pub fn is_unused(&self) -> bool {
        self.unused.is_some() || self.stream == "unused-chemical"
    }

    /// Who holds it.
    pub fn holder(&self) -> Holder {
        self.holder.unwrap_or(Holder::Business)
    }
}

//! Dust when powders are handled: a band, never a figure.

use crate::units::Mass;

use super::model::{AirModel, DustBand};
use super::room::Zones;

/// A band: lowest, middle, highest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// The middle over the factor.
    pub low: f64,
    /// The middle.
    pub middle: f64,
    /// The middle times the factor.
    pub high: f64,
}

impl Band {
    fn around(middle: f64, factor: f64) -> Self {
        Self {
            low: middle / factor,
            middle,
            high: middle * factor,
        }
    }
}

/// Dust of one weighing.
#[derive(Debug, Clone, PartialEq)]
pub struct DustFigure {
    /// The powder.
    pub powder: String,
    /// What gets into the air, mg.
    pub airborne_mg: Band,
    /// Average in the breathing zone over 15 minutes, mg/m³: the puff divided by the air that
    /// passes the face in that time.
    pub near_15_min_mg_per_m3: Band,
}

/// The dust of a weighing; an unknown band is taken as the dustiest.
pub fn weighing(
    powder: &str,
    band: Option<DustBand>,
    mass: Mass,
    zones: &Zones,
    model: &AirModel,
) -> Option<DustFigure> {
    let share = model.airborne(band.unwrap_or(DustBand::High))?;
    let factor = model.dust_factor().value;
    let mg = share.value * mass.grams() / 1000.0;
    let passes = zones.near_m3 + zones.exchange_m3_per_h * 0.25;
    Some(DustFigure {
        powder: powder.to_owned(),
        airborne_mg: Band::around(mg, factor),
        near_15_min_mg_per_m3: Band::around(mg / passes, factor),
    })
}

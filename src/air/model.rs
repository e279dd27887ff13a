//! `hazards/air-model.yaml`: what is assumed where nobody said, the models, and the words.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::catalogue::{DataError, DataFiles};
use crate::provenance::{Origin, Sourced};

use super::said::{Said, filled};

const FILE: &str = "hazards/air-model.yaml";

/// A number that stands in for what was not stated.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Figure {
    value: f64,
    from: Origin,
    #[serde(default)]
    #[allow(dead_code, reason = "for readers of the file")]
    note: String,
}

/// A model as it is printed when the steps are asked for.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Model {
    /// What it works out.
    pub title: String,
    /// The formula.
    pub formula: String,
    /// Where it holds.
    pub range: String,
    /// Where it is from.
    #[serde(rename = "from")]
    pub origin: Origin,
    /// A second source.
    #[serde(default)]
    pub also: Option<Origin>,
}

/// How much a powder dusts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum DustBand {
    /// Hangs in the air.
    High,
    /// A puff that settles.
    Medium,
    /// Pellets, crystals, damp lumps.
    Low,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct DustShare {
    mg_per_kg: f64,
    from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Defaults {
    mixing: Figure,
    leak_changes_per_hour: Figure,
    fan_share_of_rating: Figure,
    near_field_radius_m: Figure,
    room_air_speed_m_per_s: Figure,
    surface_air_speed_m_per_s: Figure,
    still_water_film_m_per_s: Figure,
    lid_passes: Figure,
    colder_by_c: Figure,
    smaller_tray: Figure,
    filling_saturation: Figure,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Uncertainty {
    room: Figure,
    ventilation_unknown: Figure,
    ventilation_unmeasured: Figure,
    solubility: Figure,
    dust: Figure,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Session {
    hours: Figure,
    tray_m2: Figure,
    sheets: Figure,
    sheet_m2: Figure,
    carried_ml_per_m2: Figure,
    carried_ml_per_roll: Figure,
    pouring_l_per_min: Figure,
    unknown_room_m3: Figure,
}

/// The file.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AirModel {
    defaults: Defaults,
    session: Session,
    uncertainty: Uncertainty,
    dust: BTreeMap<DustBand, DustShare>,
    models: BTreeMap<String, Model>,
    assumptions: BTreeMap<String, String>,
}

macro_rules! figures {
    ($($(#[$doc:meta])* $name:ident: $group:ident.$field:ident;)*) => {
        impl AirModel {
            $($(#[$doc])*
            pub fn $name(&self) -> Sourced<f64> {
                let figure = &self.$group.$field;
                Sourced::new(figure.value, figure.from.clone())
            })*
        }
    };
}

figures! {
    /// Mixing factor K.
    mixing: defaults.mixing;
    /// Leak rate of a room without ventilation, changes per hour.
    leak: defaults.leak_changes_per_hour;
    /// Share of a fan's rating that is counted.
    fan_share: defaults.fan_share_of_rating;
    /// Radius of the breathing zone, m.
    near_radius: defaults.near_field_radius_m;
    /// Speed of the room's air, m/s.
    room_air_speed: defaults.room_air_speed_m_per_s;
    /// Speed of the air over a tray, m/s.
    surface_air_speed: defaults.surface_air_speed_m_per_s;
    /// Mass transfer in the liquid, m/s.
    liquid_film: defaults.still_water_film_m_per_s;
    /// Share that gets past a lid.
    lid_passes: defaults.lid_passes;
    /// How much colder a colder bath is, °C.
    colder_by: defaults.colder_by_c;
    /// Share of the surface of a smaller tray.
    smaller_tray: defaults.smaller_tray;
    /// How far the air pushed out of a vessel that is filled is saturated.
    filling_saturation: defaults.filling_saturation;
    /// How long the baths of a session stand open, h.
    session_hours: session.hours;
    /// Surface of a tray, m².
    tray_area: session.tray_m2;
    /// How many sheets go through the baths.
    sheets: session.sheets;
    /// The size of a sheet or plate, m².
    sheet_area: session.sheet_m2;
    /// What a square metre of paper carries from one bath into the next, mL.
    carried_per_m2: session.carried_ml_per_m2;
    /// What a roll of film with its reel carries, mL.
    carried_per_roll: session.carried_ml_per_roll;
    /// How fast a bottle is filled, L/min.
    pouring: session.pouring_l_per_min;
    /// A room nobody described, m³.
    unknown_room: session.unknown_room_m3;
    /// Factor of the room models.
    room_factor: uncertainty.room;
    /// Factor of a leak rate nobody measured.
    leak_factor: uncertainty.ventilation_unknown;
    /// Factor of stated fresh air.
    stated_air_factor: uncertainty.ventilation_unmeasured;
    /// Factor of a solubility.
    solubility_factor: uncertainty.solubility;
    /// Factor of a dust band.
    dust_factor: uncertainty.dust;
}

impl AirModel {
    /// Reads the file.
    ///
    /// # Errors
    /// When it is missing or misshapen.
    pub fn read(files: &DataFiles) -> Result<Self, DataError> {
        let model: Self = files.read(FILE)?;
        let bands = [DustBand::High, DustBand::Medium, DustBand::Low];
        match bands.iter().find(|band| !model.dust.contains_key(band)) {
            Some(band) => Err(DataError::new(FILE, format!("dust has no {band:?}"))),
            None => Ok(model),
        }
    }

    /// A model by id.
    pub fn model(&self, id: &str) -> Option<&Model> {
        self.models.get(id)
    }

    /// Airborne share of a powder handled, mg per kg.
    pub fn airborne(&self, band: DustBand) -> Option<Sourced<f64>> {
        let share = self.dust.get(&band)?;
        Some(Sourced::new(share.mg_per_kg, share.from.clone()))
    }

    /// An assumption in words: `{name}` filled in.
    pub fn words(&self, id: &str, facts: &[(&str, String)]) -> Said {
        let text = self.assumptions.get(id).map_or(id, String::as_str);
        Said {
            id: id.to_owned(),
            text: filled(
                text,
                facts.iter().map(|(name, value)| (*name, value.as_str())),
            ),
            facts: facts
                .iter()
                .map(|(name, value)| ((*name).to_owned(), value.clone()))
                .collect(),
        }
    }
}

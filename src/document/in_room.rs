//! What one solution, or one gas set free, does to the air of a room: a few lines beside its
//! other figures.

use serde::Serialize;
use serde_json::{Value, json};

use crate::air::{self, GasFigures};
use crate::assessment::SessionAir;
use crate::units::{RoomVolume, significant};

use super::Wording;
use super::air::{FlowView, GasView, room_m3, split};

/// An open tray, a filled bottle or coated plates of a solution.
#[derive(Debug, Serialize)]
pub struct TrayInRoom {
    room: String,
    counted: FlowView,
    /// Gases that could come near a limit, worst first.
    rows: Vec<GasView>,
    /// The others, by name.
    traces: Vec<String>,
    /// Why not all of it is computed.
    unknown: Vec<String>,
    taken: Vec<String>,
}

impl TrayInRoom {
    /// Of a session that makes one solution.
    pub fn of(session: &SessionAir, room: RoomVolume, wording: &Wording) -> Option<Self> {
        let work = session.work.as_ref()?;
        let (shown, traces) = split(Some(work));
        let m3 = room_m3(work);
        let rows = shown.iter().map(|gas| GasView::of(gas, m3, wording));
        Some(Self {
            room: room.to_string(),
            counted: FlowView::of(work.fresh_air_m3_per_h, m3),
            rows: rows.collect(),
            traces: traces
                .iter()
                .map(|gas| wording.said(&gas.gas.name))
                .collect(),
            unknown: session
                .unknown
                .iter()
                .map(|(_, why)| wording.said(why))
                .collect(),
            taken: session
                .taken
                .iter()
                .map(|said| wording.assumption(said))
                .collect(),
        })
    }

    /// Every figure, as the room calculator gives it.
    pub fn json(session: &SessionAir) -> Value {
        session
            .work
            .as_ref()
            .map_or(Value::Null, |work| air::json(work, false))
    }
}

/// A gas set free at once.
#[derive(Debug, Serialize)]
pub struct BurstInRoom {
    near_peak: String,
    peak: String,
    /// Over 8 hours, breathing zone.
    near_twa: String,
    above_idlh: bool,
    /// Airing down to the lowest limit in force.
    purge_minutes: Option<String>,
    factor: String,
}

impl BurstInRoom {
    /// Of its figures.
    pub fn of(gas: &GasFigures) -> Self {
        let figure = |value: f64| significant(value, 2);
        Self {
            near_peak: figure(gas.near_field_peak_mg_per_m3),
            peak: figure(gas.peak_mg_per_m3),
            near_twa: figure(gas.near_field_twa_8h_mg_per_m3),
            above_idlh: gas.above_idlh == Some(true),
            purge_minutes: gas.purge_minutes_to_limit.map(figure),
            factor: figure(gas.uncertainty_factor),
        }
    }

    /// The same as numbers.
    pub fn json(gas: &GasFigures) -> Value {
        json!({
            "peak_mg_per_m3": gas.peak_mg_per_m3,
            "near_field_peak_mg_per_m3": gas.near_field_peak_mg_per_m3,
            "near_field_twa_8h_mg_per_m3": gas.near_field_twa_8h_mg_per_m3,
            "above_idlh": gas.above_idlh,
            "purge_minutes_to_limit": gas.purge_minutes_to_limit,
            "uncertainty_factor": gas.uncertainty_factor,
        })
    }
}

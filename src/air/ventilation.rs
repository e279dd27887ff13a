//! What a room's fresh air is worth: what is not known or cannot work counts as nothing.

use crate::provenance::Sourced;
use crate::units::significant;

use super::case::{AirCase, FreshAir, Inlet, Outlet};
use super::model::AirModel;
use super::room::Zones;
use super::said::Said;

/// The air of a room as it is reckoned with.
#[derive(Debug, Clone, PartialEq)]
pub struct Ventilation {
    /// The models' room, with the flow that really mixes.
    pub zones: Zones,
    /// Fresh air that counts, m³/h, before the mixing factor.
    pub fresh_m3_per_h: f64,
    /// Mixing factor K.
    pub mixing: f64,
    /// How far off the flow may be, either way.
    pub factor: Sourced<f64>,
    /// What was assumed, in words.
    pub assumptions: Vec<Said>,
}

impl Ventilation {
    /// Of a case.
    pub fn of(case: &AirCase, model: &AirModel) -> Self {
        let mut assumptions = Vec::new();
        let (fresh, factor) = fresh_air(case, model, &mut assumptions);
        if case.window_open {
            assumptions.push(model.words("window", &[]));
        }
        let mixing = mixing(case, model, &mut assumptions);
        let zones = zones(case, model, fresh / mixing, &mut assumptions);
        Self {
            zones,
            fresh_m3_per_h: fresh,
            mixing,
            factor,
            assumptions,
        }
    }

    /// Changes of the room's air an hour.
    pub fn changes_per_hour(&self) -> f64 {
        self.fresh_m3_per_h / self.zones.room_m3
    }

    /// The same room with another flow of fresh air.
    pub fn with_fresh_air(&self, m3_per_h: f64) -> Zones {
        Zones {
            fresh_m3_per_h: m3_per_h / self.mixing,
            ..self.zones
        }
    }
}

fn fresh_air(case: &AirCase, model: &AirModel, said: &mut Vec<Said>) -> (f64, Sourced<f64>) {
    let leak = model.leak();
    let as_leak = |id: &str| {
        let words = model.words(id, &[("value", significant(leak.value, 2))]);
        (words, leak.value * case.room.m3(), model.leak_factor())
    };
    let (words, flow, factor) = match case.fresh_air {
        FreshAir::Stated(flow) => {
            let value = significant(flow.m3_per_h(), 3);
            let words = model.words("fresh-air-stated", &[("value", value)]);
            (words, flow.m3_per_h(), model.stated_air_factor())
        }
        FreshAir::NotStated => as_leak("no-fan"),
        FreshAir::Fan {
            outlet: Outlet::SameRoom,
            ..
        } => as_leak("fan-recirculates"),
        FreshAir::Fan {
            outlet: Outlet::Unknown,
            ..
        } => as_leak("fan-unknown-outlet"),
        FreshAir::Fan {
            inlet: Inlet::Shut, ..
        } => as_leak("fan-no-inlet"),
        FreshAir::Fan {
            inlet: Inlet::Unknown,
            ..
        } => as_leak("fan-unknown-inlet"),
        FreshAir::Fan {
            rated,
            outlet: Outlet::Outdoors,
            inlet: Inlet::Open,
        } => {
            let share = model.fan_share().value;
            let flow = rated.m3_per_h() * share;
            let facts = [
                ("value", significant(flow, 3)),
                ("share", significant(share, 2)),
            ];
            (
                model.words("fan-counted", &facts),
                flow,
                model.stated_air_factor(),
            )
        }
    };
    said.push(words);
    (flow, factor)
}

fn mixing(case: &AirCase, model: &AirModel, said: &mut Vec<Said>) -> f64 {
    let (id, value) = match case.mixing {
        Some(mixing) => ("mixing-stated", mixing.factor()),
        None => ("mixing-default", model.mixing().value),
    };
    said.push(model.words(id, &[("value", significant(value, 3))]));
    value
}

fn zones(case: &AirCase, model: &AirModel, mixed: f64, said: &mut Vec<Said>) -> Zones {
    let near = case.near_field;
    let radius = near.radius.map_or(model.near_radius().value, |r| r.m());
    let speed = near
        .air_speed
        .map_or(model.room_air_speed().value, |s| s.m_per_s());
    let id = if near.radius.is_some() && near.air_speed.is_some() {
        "near-field-stated"
    } else {
        "near-field-assumed"
    };
    said.push(model.words(
        id,
        &[
            ("radius", significant(radius, 2)),
            ("speed", significant(speed, 2)),
        ],
    ));
    let zones = Zones::around_face(case.room.m3(), mixed, radius, speed);
    if zones.near_m3 >= zones.room_m3 / 2.0 {
        said.push(model.words("room-cap", &[]));
    }
    zones
}

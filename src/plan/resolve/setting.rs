//! The place, as it is on the day.

use crate::session::{Air, Darkroom, Session, Written};

use crate::plan::Setting;

/// The place as it is on the day.
pub(super) fn setting(session: &Session, place: &Darkroom) -> Setting {
    let usual = Setting::of_place(place);
    let today = with_air(&session.air);
    Setting {
        fresh_air: today.fresh_air.or(usual.fresh_air),
        fan: today.fan.or(usual.fan),
        blows_outdoors: today.blows_outdoors.or(usual.blows_outdoors),
        has_inlet: today.has_inlet.or(usual.has_inlet),
        window_open: today.window_open.or(usual.window_open),
        scale: session.scale.as_ref().map(|s| s.value).or(usual.scale),
        water: session.water.clone().or(usual.water),
        alone: session.alone.as_ref().map(|alone| alone.value),
        ..usual
    }
}

/// What is said of the air, and nothing else.
fn with_air(air: &Air) -> Setting {
    let says = |written: &Option<Written<String>>, word: &str| {
        written
            .as_ref()
            .map(|said| said.value.eq_ignore_ascii_case(word))
    };
    Setting {
        fresh_air: air.fresh_air.as_ref().map(|flow| flow.value),
        fan: air.fan.as_ref().map(|flow| flow.value),
        blows_outdoors: says(&air.blows, "outdoors"),
        has_inlet: says(&air.inlet, "open"),
        window_open: says(&air.window, "open"),
        ..Setting::default()
    }
}

impl Setting {
    /// The place as it is written; nobody is known to be alone in it.
    pub fn of_place(place: &Darkroom) -> Self {
        let text = |written: &Option<Written<String>>| written.as_ref().map(|w| w.value.clone());
        Self {
            name: place.name.clone(),
            responsible: place.responsible.name.clone(),
            phone: place.responsible.phone.clone(),
            rules: place.rules.iter().map(|rule| rule.value.clone()).collect(),
            room: place.room.as_ref().map(|room| room.value),
            scale: place.scale.as_ref().map(|scale| scale.value),
            water: place.water.clone(),
            eyewash: place.eyewash.clone(),
            spill_kit: place.spill_kit.clone(),
            way_out: place.way_out.clone(),
            emergency: place.emergency.clone(),
            poison: place.poison.clone(),
            numbers: Vec::new(),
            address: place.address.clone(),
            briefing_every: place.briefing_every.as_ref().map(|every| every.value),
            data_sheets_every: place.data_sheets_every.as_ref().map(|every| every.value),
            drain: text(&place.drain),
            holder: text(&place.holder),
            language: text(&place.language),
            ..with_air(&place.air)
        }
    }
}

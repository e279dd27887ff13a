//! A plan as a case for the room calculator.

use std::collections::BTreeMap;

use crate::air::{
    AirCase, AirModel, DustBand, Filling, FreshAir, GasRelease, Inlet, NearField, OpenBath, Outlet,
    Said, Weighing,
};
use crate::assessment::{BathFigures, SolutionFigures};
use crate::catalogue::Chemical;
use crate::plan::{Plan, Setting, Solution};
use crate::session::{OpenTray, Tray};
use crate::units::{Area, Duration, Mass, RoomVolume, Temperature, significant};

use super::coating::{self, Plates};
use super::{Sources, Vapours, stands_open, tray_temperature};

/// The case, and which solutions' vapours are not known.
pub fn of(
    plan: &Plan,
    solutions: &[SolutionFigures],
    sources: &Sources<'_>,
    model: &AirModel,
    unknown: &mut Vec<(String, String)>,
) -> Option<AirCase> {
    let setting = &plan.setting;
    let all = || plan.solutions.iter().zip(solutions);
    let baths: Vec<OpenBath> = all()
        .filter(|(solution, _)| stands_open(solution))
        .filter_map(|(solution, figures)| bath(solution, figures, sources, model, unknown))
        .collect();
    let usual = model.session_hours().value;
    let hours = baths
        .iter()
        .map(|bath| bath.lasts.hours())
        .fold(usual, f64::max);
    Some(AirCase {
        releases: coated(plan, sources, model, usual),
        baths,
        fillings: all()
            .filter(|(solution, _)| !stands_open(solution))
            .filter_map(|(solution, figures)| filling(solution, figures, sources, model))
            .collect(),
        weighings: weighings(plan),
        ..empty(setting, hours, model)?
    })
}

/// One release in a place, and nothing else.
pub fn of_release(release: GasRelease, setting: &Setting, model: &AirModel) -> Option<AirCase> {
    Some(AirCase {
        releases: vec![release],
        ..empty(setting, model.session_hours().value, model)?
    })
}

/// A place in which nothing is let out.
fn empty(setting: &Setting, hours: f64, model: &AirModel) -> Option<AirCase> {
    Some(AirCase {
        room: setting
            .room
            .or_else(|| RoomVolume::from_m3(model.unknown_room().value).ok())?,
        fresh_air: fresh_air(setting),
        window_open: setting.window_open == Some(true),
        mixing: None,
        near_field: NearField::default(),
        releases: Vec::new(),
        baths: Vec::new(),
        fillings: Vec::new(),
        weighings: Vec::new(),
        until: Duration::from_hours(hours).ok()?,
    })
}

/// What is taken for granted about the session, and what it states of its trays.
pub fn assumptions(plan: &Plan, model: &AirModel) -> Vec<Said> {
    let open = || plan.solutions.iter().filter(|s| stands_open(s));
    let undescribed = |solution: &&Solution| match &solution.tray {
        Some(Tray::Open(tray)) => tray.area.is_none() || tray.lasts.is_none(),
        _ => true,
    };
    let mut said = Vec::new();
    if open().any(|solution| undescribed(&solution)) {
        let area = ("area", significant(model.tray_area().value, 2));
        let hours = ("hours", significant(model.session_hours().value, 2));
        said.push(model.words("session", &[area, hours]));
    }
    said.extend(open().filter_map(|solution| described(solution, model)));
    let plates = Plates::of(plan, model);
    for solution in plan.solutions.iter().filter(|s| !stands_open(s)) {
        said.push(model.words("closed", &[("solution", solution.title.clone())]));
        let coat = solution.kind.as_ref().and_then(|kind| kind.coat.as_ref());
        said.extend(coat.map(|coat| coating::assumption(solution, coat, &plates, model)));
    }
    if plan.setting.room.is_none() {
        said.push(model.words(
            "room-unknown",
            &[("value", significant(model.unknown_room().value, 2))],
        ));
    }
    said
}

/// A tray as the session states it.
fn described(solution: &Solution, model: &AirModel) -> Option<Said> {
    let Some(Tray::Open(tray)) = &solution.tray else {
        return None;
    };
    let id = if tray.has_lid() {
        "tray-lidded"
    } else {
        "tray"
    };
    let facts = [
        ("solution", solution.title.clone()),
        ("area", significant(area(tray, model), 2)),
        ("at", significant(tray_temperature(solution).celsius(), 3)),
        ("hours", significant(hours(tray, model), 2)),
    ];
    Some(model.words(id, &facts))
}

fn area(tray: &OpenTray, model: &AirModel) -> f64 {
    let stated = tray.area.as_ref().map(|area| area.value.m2());
    stated.unwrap_or_else(|| model.tray_area().value)
}

fn hours(tray: &OpenTray, model: &AirModel) -> f64 {
    let stated = tray.lasts.as_ref().map(|lasts| lasts.value.hours());
    stated.unwrap_or_else(|| model.session_hours().value)
}

/// What plates coated in the session let out.
fn coated(plan: &Plan, sources: &Sources<'_>, model: &AirModel, hours: f64) -> Vec<GasRelease> {
    let plates = Plates::of(plan, model);
    let coats = plan.solutions.iter().filter_map(|solution| {
        let coat = solution.kind.as_ref()?.coat.as_ref()?;
        Some(coating::releases(solution, coat, &plates, sources, hours))
    });
    coats.flatten().collect()
}

/// A bottle that is filled at the beginning; what cannot be computed of it stays shut in it.
fn filling(
    solution: &Solution,
    figures: &SolutionFigures,
    sources: &Sources<'_>,
    model: &AirModel,
) -> Option<Filling> {
    let at = tray_temperature(solution);
    let hours = solution.volume.litres() / model.pouring().value / 60.0;
    Some(Filling {
        solution: solution.title.clone(),
        volume: solution.volume,
        at,
        from: Duration::from_hours(0.0).ok()?,
        lasts: Duration::from_hours(hours).ok()?,
        volatiles: vapours(solution, &figures.stock, sources, at).known,
    })
}

fn vapours(
    solution: &Solution,
    bath: &BathFigures,
    sources: &Sources<'_>,
    at: Temperature,
) -> Vapours {
    let chemicals: Vec<&str> = solution
        .additions()
        .map(|(_, added)| added.jar.id.as_str())
        .collect();
    sources.vapours(bath, &chemicals, at)
}

fn fresh_air(setting: &Setting) -> FreshAir {
    match (setting.fresh_air, setting.fan) {
        (Some(measured), _) => FreshAir::Stated(measured),
        (None, Some(rated)) => FreshAir::Fan {
            rated,
            outlet: match setting.blows_outdoors {
                Some(true) => Outlet::Outdoors,
                Some(false) => Outlet::SameRoom,
                None => Outlet::Unknown,
            },
            inlet: match setting.has_inlet {
                Some(true) => Inlet::Open,
                Some(false) => Inlet::Shut,
                None => Inlet::Unknown,
            },
        },
        (None, None) => FreshAir::NotStated,
    }
}

fn bath(
    solution: &Solution,
    figures: &SolutionFigures,
    sources: &Sources<'_>,
    model: &AirModel,
    unknown: &mut Vec<(String, String)>,
) -> Option<OpenBath> {
    let unstated = OpenTray::default();
    let tray = match &solution.tray {
        Some(Tray::Open(tray)) => tray,
        _ => &unstated,
    };
    let at = tray_temperature(solution);
    let in_use = figures.working.as_ref().unwrap_or(&figures.stock);
    let vapours = vapours(solution, in_use, sources, at);
    unknown.extend(vapours.unknown.map(|why| (solution.title.clone(), why)));
    Some(OpenBath {
        solution: solution.title.clone(),
        area: Area::from_m2(area(tray, model)).ok()?,
        at,
        air_speed: None,
        along: None,
        lid: tray.has_lid(),
        from: Duration::from_hours(0.0).ok()?,
        lasts: Duration::from_hours(hours(tray, model)).ok()?,
        volatiles: vapours.known,
    })
}

/// Every powder, with all of it that is weighed.
fn weighings(plan: &Plan) -> Vec<Weighing> {
    let mut powders: BTreeMap<&str, Weighing> = BTreeMap::new();
    let additions = plan.solutions.iter().flat_map(Solution::additions);
    for (_, added) in additions.filter(|(_, added)| added.jar.is_solid()) {
        let weighed = powders.entry(&added.jar.id).or_insert_with(|| Weighing {
            powder: added.jar.name.clone(),
            band: band(&added.jar),
            mass: Mass::ZERO,
        });
        weighed.mass =
            Mass::from_grams(weighed.mass.grams() + added.mass.grams()).unwrap_or(weighed.mass);
    }
    powders.into_values().collect()
}

fn band(jar: &Chemical) -> Option<DustBand> {
    match jar.dust.as_ref()?.band.as_str() {
        "low" => Some(DustBand::Low),
        "medium" => Some(DustBand::Medium),
        "high" => Some(DustBand::High),
        _ => None,
    }
}

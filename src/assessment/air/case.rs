//! A plan as a case for the room calculator.

use std::collections::BTreeMap;

use crate::air::{
    AirCase, AirModel, DustBand, FreshAir, Inlet, NearField, OpenBath, Outlet, Weighing,
};
use crate::assessment::SolutionFigures;
use crate::catalogue::Chemical;
use crate::plan::{Plan, Setting, Solution};
use crate::units::{Area, Duration, Mass, RoomVolume, significant};

use super::{Sources, stands_open, tray_temperature};

/// The case, and which solutions' vapours are not known.
pub fn of(
    plan: &Plan,
    solutions: &[SolutionFigures],
    sources: &Sources<'_>,
    model: &AirModel,
    unknown: &mut Vec<(String, String)>,
) -> Option<AirCase> {
    let setting = &plan.setting;
    let hours = Duration::from_hours(model.session_hours().value).ok()?;
    let open = plan
        .solutions
        .iter()
        .zip(solutions)
        .filter(|(solution, _)| stands_open(solution));
    let baths = open
        .filter_map(|(solution, figures)| bath(solution, figures, sources, model, hours, unknown));
    Some(AirCase {
        room: setting
            .room
            .or_else(|| RoomVolume::from_m3(model.unknown_room().value).ok())?,
        fresh_air: fresh_air(setting),
        window_open: setting.window_open == Some(true),
        mixing: None,
        near_field: NearField::default(),
        releases: Vec::new(),
        baths: baths.collect(),
        weighings: weighings(plan),
        until: hours,
    })
}

/// What is taken for granted about the session.
pub fn assumptions(plan: &Plan, model: &AirModel) -> Vec<String> {
    let area = ("area", significant(model.tray_area().value, 2));
    let hours = ("hours", significant(model.session_hours().value, 2));
    let mut said = vec![model.words("session", &[area, hours])];
    let closed = plan
        .solutions
        .iter()
        .filter(|solution| !stands_open(solution));
    said.extend(
        closed.map(|solution| model.words("closed", &[("solution", solution.title.clone())])),
    );
    if plan.setting.room.is_none() {
        said.push(model.words(
            "room-unknown",
            &[("value", significant(model.unknown_room().value, 2))],
        ));
    }
    said
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
    hours: Duration,
    unknown: &mut Vec<(String, String)>,
) -> Option<OpenBath> {
    let at = tray_temperature(solution);
    let chemicals: Vec<&str> = solution
        .additions()
        .map(|(_, added)| added.jar.id.as_str())
        .collect();
    let vapours = sources.vapours(
        figures.working.as_ref().unwrap_or(&figures.stock),
        &chemicals,
        at,
    );
    unknown.extend(vapours.unknown.map(|why| (solution.title.clone(), why)));
    Some(OpenBath {
        solution: solution.title.clone(),
        area: Area::from_m2(model.tray_area().value).ok()?,
        at,
        air_speed: None,
        along: None,
        lid: false,
        from: Duration::from_hours(0.0).ok()?,
        lasts: hours,
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

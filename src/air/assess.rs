//! Room, ventilation and releases → concentration over time against limits.

use crate::units::significant;

use super::case::AirCase;
use super::course::{Course, Zone};
use super::dilution;
use super::dust::{self};
use super::gases::{Gas, Gases, Limit, Region};
use super::model::AirModel;
use super::need;
use super::options::{self};
use super::release::Schedule;
use super::said::Said;
use super::trace::Trace;
use super::ventilation::Ventilation;

use super::assessed::{AirAssessment, Compared, GasFigures};
use super::emission::{Emission, emissions};

/// A gas no one knows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownGas(pub String);

impl std::fmt::Display for UnknownGas {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "`{}` is no gas on file", self.0)
    }
}

impl std::error::Error for UnknownGas {}

/// Assesses a case against the limits of some rules.
///
/// # Errors
/// Names the gas that is not on file.
pub fn assess(
    case: &AirCase,
    gases: &Gases,
    rules: &[Region],
    model: &AirModel,
) -> Result<AirAssessment, UnknownGas> {
    let mut assessment = without_options(case, gases, rules, model)?;
    for figures in &mut assessment.gases {
        figures.options = options::outcomes(case, &figures.gas, gases, rules, model)?;
    }
    Ok(assessment)
}

/// The same without trying what would help.
pub(super) fn without_options(
    case: &AirCase,
    gases: &Gases,
    rules: &[Region],
    model: &AirModel,
) -> Result<AirAssessment, UnknownGas> {
    let ventilation = Ventilation::of(case, model);
    let mut said: Vec<Said> = ["model", "no-comfort", "odour", "exposure-window", "walls"]
        .map(|id| model.words(id, &[]))
        .to_vec();
    said.extend(ventilation.assumptions.iter().cloned());
    let emissions = emissions(case, gases, model, &mut said)?;
    let list = emissions
        .into_iter()
        .filter_map(|(id, emission)| gases.find(&id).map(|gas| (gas, emission)))
        .map(|(gas, emission)| figures(gas, emission, case, &ventilation, rules, model, &mut said))
        .collect();
    let dust = case.weighings.iter().filter_map(|w| {
        let id = if w.band.is_some() {
            "dust-band"
        } else {
            "dust-unknown"
        };
        said.push(model.words(id, &[("powder", w.powder.clone())]));
        dust::weighing(&w.powder, w.band, w.mass, &ventilation.zones, model)
    });
    let dust = dust.collect();
    said.dedup();
    Ok(AirAssessment {
        gases: list,
        dust,
        fresh_air_m3_per_h: ventilation.fresh_m3_per_h,
        changes_per_hour: ventilation.changes_per_hour(),
        assumptions: said,
    })
}

fn figures(
    gas: &Gas,
    emission: Emission,
    case: &AirCase,
    ventilation: &Ventilation,
    rules: &[Region],
    model: &AirModel,
    said: &mut Vec<Said>,
) -> GasFigures {
    let until = case.until.hours();
    let schedule = Schedule::new(emission.releases);
    let course = Course::run(ventilation.zones, &schedule, until);
    let limits = compare(gas, &course, rules);
    say_limits(gas, rules, model, said);
    if schedule.only_surfaces() && !schedule.releases().is_empty() {
        said.push(model.words("back-pressure", &[("gas", gas.name.clone())]));
    }
    let mut trace = emission.trace;
    let (peak, _) = course.peak(Zone::Room);
    let near_peak = course.peak(Zone::Near).0;
    let lowest = limits
        .iter()
        .filter(|c| c.in_force)
        .map(|c| c.limit.mg_per_m3)
        .min_by(f64::total_cmp);
    let needed = fresh_air_needed(&limits, &schedule, ventilation, until);
    let steady = steady(&schedule.lasting(), ventilation, until);
    let purge = lowest.map(|limit| {
        60.0 * dilution::purge_hours(
            ventilation.zones.room_m3,
            ventilation.zones.fresh_m3_per_h,
            peak,
            limit,
        )
    });
    explain(&mut trace, model, peak, near_peak, steady, needed, purge);
    GasFigures {
        incomplete: emission.incomplete,
        emitted_mg: course.room_balance().emitted_mg,
        peak_mg_per_m3: peak,
        near_field_peak_mg_per_m3: near_peak,
        twa_8h_mg_per_m3: course.highest_average(Zone::Room, 480.0),
        near_field_twa_8h_mg_per_m3: course.highest_average(Zone::Near, 480.0),
        steady_mg_per_m3: steady,
        evaporation_mg_per_min: emission.evaporation,
        strictest: strictest(&limits),
        limits,
        above_idlh: gas
            .idlh
            .known()
            .map(|idlh| near_peak.max(peak) > idlh.value.mg_per_m3),
        fresh_air_needed_m3_per_h: needed,
        purge_minutes_to_limit: purge.filter(|minutes| minutes.is_finite()),
        uncertainty_factor: model.room_factor().value
            * ventilation.factor.value
            * emission.factor.max(1.0),
        options: Vec::new(),
        trace,
        course,
        gas: gas.clone(),
    }
}

fn compare(gas: &Gas, course: &Course, rules: &[Region]) -> Vec<Compared> {
    let (in_force, _) = gas.limits_in_force(rules);
    let compare = |limit: &Limit| Compared {
        in_force: in_force.contains(&limit),
        room_mg_per_m3: course.highest_average(Zone::Room, limit.minutes),
        near_mg_per_m3: course.highest_average(Zone::Near, limit.minutes),
        limit: limit.clone(),
    };
    gas.limits.iter().map(compare).collect()
}

/// The limit in force nearest to being passed; among equals the lowest.
fn strictest(limits: &[Compared]) -> Option<usize> {
    let here = limits.iter().enumerate().filter(|(_, c)| c.in_force);
    here.max_by(|(_, a), (_, b)| {
        let by_ratio = a.ratio().total_cmp(&b.ratio());
        by_ratio.then_with(|| b.limit.mg_per_m3.total_cmp(&a.limit.mg_per_m3))
    })
    .map(|(at, _)| at)
}

fn fresh_air_needed(
    limits: &[Compared],
    schedule: &Schedule,
    ventilation: &Ventilation,
    until: f64,
) -> Option<f64> {
    let here = limits.iter().filter(|c| c.in_force);
    let flows: Option<Vec<f64>> = here
        .map(|c| need::fresh_air(schedule, ventilation, &c.limit, until))
        .collect();
    flows?.into_iter().max_by(f64::total_cmp)
}

/// The steady level of the strongest stretch.
fn steady(schedule: &Schedule, ventilation: &Ventilation, until: f64) -> Option<f64> {
    let moments = schedule.moments(until);
    let feeds = moments.windows(2).filter_map(|pair| match *pair {
        [from, to] => Some(schedule.feed(from, to)),
        _ => None,
    });
    let levels: Option<Vec<f64>> = feeds
        .map(|feed| ventilation.zones.steady(feed).map(|l| l.room))
        .collect();
    levels?.into_iter().max_by(f64::total_cmp)
}

fn say_limits(gas: &Gas, rules: &[Region], model: &AirModel, said: &mut Vec<Said>) {
    let (limits, here) = gas.limits_in_force(rules);
    if limits.is_empty() {
        said.push(model.words("no-limit", &[("gas", gas.name.clone())]));
    } else if !here {
        let rules: Vec<String> = rules.iter().map(Region::to_string).collect();
        said.push(model.words(
            "no-limit-here",
            &[("gas", gas.name.clone()), ("rules", rules.join(", "))],
        ));
    }
}

fn explain(
    trace: &mut Trace,
    model: &AirModel,
    peak: f64,
    near: f64,
    steady: Option<f64>,
    needed: Option<f64>,
    purge: Option<f64>,
) {
    let figure = |value: f64, unit: &str| format!("{} {unit}", significant(value, 3));
    trace.by(
        model,
        "well-mixed",
        "highest in the room",
        figure(peak, "mg/m3"),
    );
    trace.by(
        model,
        "two-zone",
        "highest in the breathing zone",
        figure(near, "mg/m3"),
    );
    if let Some(steady) = steady {
        trace.by(model, "steady", "where it leads", figure(steady, "mg/m3"));
    }
    if let Some(needed) = needed {
        trace.by(
            model,
            "fresh-air",
            "for every limit in force",
            figure(needed, "m3/h"),
        );
    }
    if let Some(purge) = purge {
        trace.by(
            model,
            "purge",
            "from the peak to the lowest limit in force",
            figure(purge, "min"),
        );
    }
}

//! Room, ventilation and releases → concentration over time against limits.

use std::collections::BTreeMap;

use crate::units::significant;

use super::case::{AirCase, Amount};
use super::course::{Course, Zone};
use super::dilution;
use super::dust::{self, DustFigure};
use super::filling;
use super::gases::{Gas, Gases, Limit, Region};
use super::model::AirModel;
use super::need;
use super::options::{self, Outcome};
use super::release::{Release, Schedule};
use super::said::Said;
use super::surface::{self, Vapour};
use super::trace::Trace;
use super::ventilation::Ventilation;

/// A limit and what is predicted beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// The limit.
    pub limit: Limit,
    /// Whether the rules asked for contain it (or it stands in, since they list none).
    pub in_force: bool,
    /// Average over the limit's time in the well-mixed room, mg/m³.
    pub room_mg_per_m3: f64,
    /// The same in the breathing zone.
    pub near_mg_per_m3: f64,
}

impl Compared {
    /// The higher of room and breathing zone over the limit.
    pub fn ratio(&self) -> f64 {
        self.room_mg_per_m3.max(self.near_mg_per_m3) / self.limit.mg_per_m3
    }

    /// Whether the prediction is above the limit. Its opposite is no promise.
    pub fn above(&self) -> bool {
        self.ratio() > 1.0
    }
}

/// Figures of one gas.
#[derive(Debug, Clone)]
pub struct GasFigures {
    /// The gas.
    pub gas: Gas,
    /// Part of the release cannot be computed: every figure is at least this, never the whole.
    pub incomplete: bool,
    /// Let into the air, mg.
    pub emitted_mg: f64,
    /// Highest in the well-mixed room, mg/m³.
    pub peak_mg_per_m3: f64,
    /// Highest in the breathing zone, mg/m³.
    pub near_field_peak_mg_per_m3: f64,
    /// Highest 8-hour average in the room, mg/m³.
    pub twa_8h_mg_per_m3: f64,
    /// Highest 8-hour average in the breathing zone, mg/m³.
    pub near_field_twa_8h_mg_per_m3: f64,
    /// Where the strongest steady release leads; `None` in a sealed room, which never settles.
    pub steady_mg_per_m3: Option<f64>,
    /// From open baths into clean air, mg/min; `None` without a bath.
    pub evaporation_mg_per_min: Option<f64>,
    /// Every limit on file.
    pub limits: Vec<Compared>,
    /// The limit in force nearest to being passed, as a place in `limits`.
    pub strictest: Option<usize>,
    /// Whether the breathing zone passes what is immediately dangerous; `None` if none is on file.
    pub above_idlh: Option<bool>,
    /// Fresh air for every limit in force, m³/h; `None` when no flow does it or no limit is on file.
    pub fresh_air_needed_m3_per_h: Option<f64>,
    /// Airing from the room's peak to the lowest limit in force, minutes.
    pub purge_minutes_to_limit: Option<f64>,
    /// How far off the figures may be, either way.
    pub uncertainty_factor: f64,
    /// What would change how much.
    pub options: Vec<Outcome>,
    /// The steps.
    pub trace: Trace,
    /// The concentrations over time.
    pub course: Course,
}

impl GasFigures {
    /// The limit in force nearest to being passed.
    pub fn strictest(&self) -> Option<&Compared> {
        self.strictest.and_then(|at| self.limits.get(at))
    }
}

/// What the air of a room comes to.
#[derive(Debug, Clone)]
pub struct AirAssessment {
    /// Per gas, by id.
    pub gases: Vec<GasFigures>,
    /// Per powder.
    pub dust: Vec<DustFigure>,
    /// Fresh air counted, m³/h.
    pub fresh_air_m3_per_h: f64,
    /// Changes of the room's air an hour.
    pub changes_per_hour: f64,
    /// What was assumed, in words.
    pub assumptions: Vec<Said>,
}

/// A gas no one knows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownGas(pub String);

impl std::fmt::Display for UnknownGas {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "`{}` is no gas on file", self.0)
    }
}

impl std::error::Error for UnknownGas {}

/// All that is let out of one gas.
#[derive(Default)]
struct Emission {
    releases: Vec<Release>,
    evaporation: Option<f64>,
    factor: f64,
    incomplete: bool,
    trace: Trace,
}

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

fn emissions(
    case: &AirCase,
    gases: &Gases,
    model: &AirModel,
    said: &mut Vec<Said>,
) -> Result<BTreeMap<String, Emission>, UnknownGas> {
    let find = |name: &str| gases.find(name).ok_or_else(|| UnknownGas(name.to_owned()));
    let mut all: BTreeMap<String, Emission> = BTreeMap::new();
    for release in &case.releases {
        let gas = find(&release.gas)?;
        let release = as_release(release.amount);
        if release.begins() > case.until.hours() {
            said.push(model.words("release-cut", &[("gas", gas.name.clone())]));
        }
        all.entry(gas.id.clone())
            .or_default()
            .releases
            .push(release);
    }
    for bath in &case.baths {
        for volatile in &bath.volatiles {
            let gas = find(&volatile.gas)?;
            let emission = all.entry(gas.id.clone()).or_default();
            match surface::vapour(bath, volatile, gas, model, &mut emission.trace, said) {
                Some(vapour) => {
                    emission.add(vapour);
                    said.push(model.words("not-used-up", &[("solution", bath.solution.clone())]));
                }
                None => emission.incomplete = true,
            }
        }
    }
    for filling in &case.fillings {
        for volatile in &filling.volatiles {
            let gas = find(&volatile.gas)?;
            let emission = all.entry(gas.id.clone()).or_default();
            match filling::vapour(filling, volatile, gas, model, &mut emission.trace, said) {
                Some(release) => emission.releases.push(release),
                None => emission.incomplete = true,
            }
        }
    }
    Ok(all)
}

impl Emission {
    fn add(&mut self, vapour: Vapour) {
        self.releases.push(vapour.release);
        self.evaporation = Some(self.evaporation.unwrap_or(0.0) + vapour.mg_per_min);
        self.factor = self.factor.max(vapour.factor);
    }
}

fn as_release(amount: Amount) -> Release {
    match amount {
        Amount::Rate { rate, from, lasts } => Release::Steady {
            mg_per_h: rate.mg_per_h(),
            from_h: from.hours(),
            to_h: from.hours() + lasts.hours(),
        },
        Amount::Burst { mass, at } => Release::Burst {
            mg: mass.grams() * 1000.0,
            at_h: at.hours(),
        },
        Amount::Puff { mass, from, lasts } => Release::Puff {
            mg: mass.grams() * 1000.0,
            from_h: from.hours(),
            to_h: from.hours() + lasts.hours(),
        },
    }
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

//! The air: gases against limits, no fresh air, dust, a room nobody described.

use serde_json::json;

use crate::air::{Compared, DustFigure, GasFigures, Measure, Outcome};
use crate::assessment::SessionAir;
use crate::assessment::air::Accident;
use crate::finding::{Finding, Severity, Subject};
use crate::plan::Setting;
use crate::provenance::Basis;
use crate::units::significant;

use super::{Context, listed};

/// What the room calculator has to say against the session. Below a limit nothing is said to be safe.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let Some(air) = context.air else {
        return Vec::new();
    };
    let gases = air.work.iter().flat_map(|work| &work.gases);
    let gases = gases.filter_map(|gas| above_limit(gas, context));
    let accidents = air
        .accidents
        .iter()
        .filter_map(|accident| spilt(accident, context));
    let unknown = air
        .unknown
        .iter()
        .map(|(solution, why)| not_computed(solution, why));
    [no_fresh_air(context), unknown_room(context), dust(air)]
        .into_iter()
        .flatten()
        .chain(gases)
        .chain(accidents)
        .chain(unknown)
        .collect()
}

fn figure(value: f64) -> String {
    significant(value, 2)
}

/// Above a limit: an attention, and a stop where the prediction is immediately dangerous, or no
/// measure at the bench brings it within the uncertainty of the limit. Below by less than the
/// uncertainty: a note.
fn above_limit(gas: &GasFigures, context: &Context<'_>) -> Option<Finding> {
    let compared = gas.strictest()?;
    let (share, factor) = (compared.ratio(), gas.uncertainty_factor);
    let (code, severity) = match share {
        _ if gas.above_idlh == Some(true) || at_best(gas, share) > factor => {
            ("air/gas-above-limit", Severity::Stop)
        }
        share if share > 1.0 => ("air/gas-above-limit", Severity::Attention),
        share if share * factor > 1.0 || gas.incomplete => {
            ("air/gas-may-pass-limit", Severity::Note)
        }
        _ => return None,
    };
    let options: Vec<_> = gas
        .options
        .iter()
        .filter_map(|outcome| option(outcome, share))
        .collect();
    let finding = with_limit(
        Finding::new(code, severity, Subject::Session),
        gas,
        compared,
    )
    .fact("options", options)
    .fact("incomplete", gas.incomplete)
    .fact("needed", gas.fresh_air_needed_m3_per_h.map(figure))
    .fact(
        "has",
        context
            .air
            .and_then(|air| air.work.as_ref())
            .map(|work| figure(work.fresh_air_m3_per_h)),
    );
    Some(finding.place(&context.plan.top))
}

/// Share of the limit with the best of what can be done without another bath.
fn at_best(gas: &GasFigures, share: f64) -> f64 {
    let bench = gas
        .options
        .iter()
        .filter(|outcome| outcome.measure != Measure::AnotherBath);
    bench
        .filter_map(|outcome| outcome.share_of_limit)
        .fold(share, f64::min)
}

fn with_limit(finding: Finding, gas: &GasFigures, compared: &Compared) -> Finding {
    let limit = &compared.limit;
    finding
        .fact("gas", gas.gas.name.clone())
        .fact("room", figure(compared.room_mg_per_m3))
        .fact("near", figure(compared.near_mg_per_m3))
        .fact("limit", significant(limit.mg_per_m3, 3))
        .fact("body", format!("{} {}", limit.body, limit.kind))
        .fact("minutes", limit.minutes)
        .fact("share", figure(compared.ratio()))
        .fact("factor", figure(gas.uncertainty_factor))
        .because(Basis::fact(
            format!("{} of {}", limit.kind, gas.gas.name),
            &limit.origin,
        ))
}

/// A measure that helps, with what it would bring.
fn option(outcome: &Outcome, share: f64) -> Option<serde_json::Value> {
    let after = outcome
        .share_of_limit
        .filter(|after| *after < 0.95 * share)?;
    Some(json!({"measure": outcome.measure.word(), "share": figure(after), "enough": after <= 1.0}))
}

fn spilt(accident: &Accident, context: &Context<'_>) -> Option<Finding> {
    let compared = accident
        .figures
        .strictest()
        .filter(|compared| compared.above())?;
    let finding = Finding::new("air/accident", Severity::Attention, Subject::Session);
    let finding = with_limit(finding, &accident.figures, compared)
        .fact("from", accident.from.clone())
        .fact("into", accident.into.clone())
        .fact("ml", figure(accident.carried.ml))
        .fact("sheets", accident.carried.sheets)
        .fact("rolls", accident.carried.rolls)
        .fact("assumed", accident.carried.assumed)
        .fact("grams", figure(accident.grams))
        .fact("dangerous", accident.figures.above_idlh == Some(true))
        .fact("purge", accident.figures.purge_minutes_to_limit.map(figure));
    Some(finding.place(&context.plan.top))
}

fn not_computed(solution: &str, why: &str) -> Finding {
    Finding::new(
        "air/not-computed",
        Severity::Note,
        Subject::Solution(solution.to_owned()),
    )
    .fact("solution", solution)
    .fact("why", why)
}

fn no_fresh_air(context: &Context<'_>) -> Option<Finding> {
    let reason = no_flow(&context.plan.setting)?;
    let work = context.air?.work.as_ref()?;
    let finding = Finding::new("air/no-fresh-air", Severity::Attention, Subject::Session)
        .fact("reason", reason)
        .fact("changes", figure(work.changes_per_hour));
    Some(finding.place(&context.plan.top))
}

/// Why no fresh air is counted; nothing where some is.
fn no_flow(setting: &Setting) -> Option<&'static str> {
    if setting.fresh_air.is_some() {
        return None;
    }
    match (setting.fan, setting.blows_outdoors, setting.has_inlet) {
        (None, ..) => Some("no fan"),
        (_, Some(false), _) => Some("same room"),
        (_, None, _) => Some("outlet not stated"),
        (_, _, Some(false)) => Some("no inlet"),
        (_, _, None) => Some("inlet not stated"),
        _ => None,
    }
}

fn unknown_room(context: &Context<'_>) -> Option<Finding> {
    context.plan.setting.room.is_none().then(|| {
        Finding::new("air/unknown-room", Severity::Attention, Subject::Session)
            .place(&context.plan.top)
    })
}

/// The powders, dustiest first.
fn dust(air: &SessionAir) -> Option<Finding> {
    let mut dust: Vec<&DustFigure> = air.work.iter().flat_map(|work| &work.dust).collect();
    dust.sort_by(|a, b| {
        b.near_15_min_mg_per_m3
            .middle
            .total_cmp(&a.near_15_min_mg_per_m3.middle)
    });
    let worst = dust.first()?.near_15_min_mg_per_m3;
    let names: Vec<String> = dust
        .iter()
        .take(3)
        .map(|dust| dust.powder.clone())
        .collect();
    let finding = Finding::new("air/dust", Severity::Note, Subject::Session)
        .fact("names", listed(&names))
        .fact("more", dust.len().saturating_sub(names.len()))
        .fact("worst", names.first().cloned().unwrap_or_default())
        .fact("low", significant(worst.low, 1))
        .fact("high", significant(worst.high, 1));
    Some(finding)
}

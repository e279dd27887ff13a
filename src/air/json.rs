//! The assessment as the JSON that is relied on from outside.

use serde_json::{Value, json as object};

use super::assessed::{AirAssessment, Compared, GasFigures};
use super::dilution;
use super::dust::{Band, DustFigure};
use super::options::Outcome;
use super::trace::Step;

/// The assessment as one JSON object; `explain` adds the steps.
pub fn json(assessment: &AirAssessment, explain: bool) -> Value {
    object!({
        "gases": assessment.gases.iter().map(|gas| figures(gas, assessment, explain)).collect::<Vec<_>>(),
        "dust": assessment.dust.iter().map(dust).collect::<Vec<_>>(),
        "fresh_air_m3_per_h": assessment.fresh_air_m3_per_h,
        "changes_per_hour": assessment.changes_per_hour,
        "assumptions": assessment.assumptions.iter().map(|said| &said.text).collect::<Vec<_>>(),
    })
}

fn figures(gas: &GasFigures, assessment: &AirAssessment, explain: bool) -> Value {
    let needed = gas.fresh_air_needed_m3_per_h;
    let room = assessment.fresh_air_m3_per_h / assessment.changes_per_hour;
    let mut value = object!({
        "gas": gas.gas.symbol,
        "name": gas.gas.name,
        "incomplete": gas.incomplete,
        "emitted_mg": gas.emitted_mg,
        "peak_mg_per_m3": gas.peak_mg_per_m3,
        "twa_8h_mg_per_m3": gas.twa_8h_mg_per_m3,
        "steady_mg_per_m3": gas.steady_mg_per_m3,
        "near_field_peak_mg_per_m3": gas.near_field_peak_mg_per_m3,
        "near_field_twa_8h_mg_per_m3": gas.near_field_twa_8h_mg_per_m3,
        "evaporation_mg_per_min": gas.evaporation_mg_per_min,
        "limits": gas.limits.iter().map(limit).collect::<Vec<_>>(),
        "strictest": gas.strictest().map(limit),
        "above_idlh": gas.above_idlh,
        "fresh_air_needed_m3_per_h": needed,
        "fresh_air_needed_cfm": needed.map(dilution::cubic_feet_per_minute),
        "fresh_air_needed_changes_per_hour": needed.map(|flow| flow / room).filter(|n| n.is_finite()),
        "purge_minutes_to_limit": gas.purge_minutes_to_limit,
        "uncertainty_factor": gas.uncertainty_factor,
        "options": gas.options.iter().map(option).collect::<Vec<_>>(),
    });
    if explain && let Some(map) = value.as_object_mut() {
        let steps: Vec<Value> = gas.trace.steps().iter().map(step).collect();
        map.insert("steps".to_owned(), steps.into());
    }
    value
}

fn limit(compared: &Compared) -> Value {
    let limit = &compared.limit;
    object!({
        "body": limit.body,
        "region": limit.region.to_string(),
        "kind": limit.kind.to_string(),
        "minutes": limit.minutes,
        "mg_per_m3": limit.mg_per_m3,
        "ppm": limit.ppm,
        "converted_from_ppm": limit.converted,
        "in_force": compared.in_force,
        "predicted_mg_per_m3": compared.room_mg_per_m3,
        "near_field_mg_per_m3": compared.near_mg_per_m3,
        "above": compared.above(),
        "note": limit.note,
        "source": limit.origin.to_string(),
    })
}

fn option(outcome: &Outcome) -> Value {
    object!({
        "measure": outcome.measure.word(),
        "peak_mg_per_m3": outcome.peak_mg_per_m3,
        "near_field_peak_mg_per_m3": outcome.near_field_peak_mg_per_m3,
        "share_of_limit": outcome.share_of_limit,
    })
}

fn dust(figure: &DustFigure) -> Value {
    object!({
        "powder": figure.powder,
        "airborne_mg": band(figure.airborne_mg),
        "near_field_15_min_mg_per_m3": band(figure.near_15_min_mg_per_m3),
    })
}

fn band(band: Band) -> Value {
    object!({"low": band.low, "middle": band.middle, "high": band.high})
}

fn step(step: &Step) -> Value {
    object!({
        "what": step.what,
        "formula": step.formula,
        "holds": step.range,
        "result": step.result,
        "source": step.origin.to_string(),
    })
}

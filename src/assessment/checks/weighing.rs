//! Whether the scale reads finely enough for what is weighed.

use crate::finding::{Finding, Severity, Subject};
use crate::plan::{Added, Solution, Step};
use crate::units::{Mass, Volume, significant};

use super::Context;

/// A scale is off by up to one of its smallest steps; twenty of them are 5 % (arithmetic).
const STEPS_FOR_FIVE_PERCENT: f64 = 20.0;

/// Measured out of a stock solution: ten millilitres can be read to 2 % on a common cylinder.
const DOSE_ML: f64 = 10.0;

/// An unknown scale counts as a kitchen scale.
const UNKNOWN_SCALE_G: f64 = 1.0;

/// Every weighed amount below twenty steps of the scale.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let weighed = context
        .plan
        .solutions
        .iter()
        .flat_map(|solution| {
            solution
                .additions()
                .map(move |(step, added)| (solution, step, added))
        })
        .filter(|(_, _, added)| added.jar.is_solid() && added.mass.grams() > 0.0);
    match context.plan.setting.scale {
        Some(scale) => weighed
            .filter_map(|(solution, step, added)| too_small(solution, step, added, scale))
            .collect(),
        None => weighed
            .min_by(|a, b| a.2.mass.grams().total_cmp(&b.2.mass.grams()))
            .map(|(_, _, added)| unknown_scale(context, added))
            .into_iter()
            .collect(),
    }
}

fn too_small(solution: &Solution, step: &Step, added: &Added, scale: Mass) -> Option<Finding> {
    let (grams, step_size) = (added.mass.grams(), scale.grams());
    let least = STEPS_FOR_FIVE_PERCENT * step_size;
    // A hair of room, so that 2 g on a scale of 0.1 g is exactly enough.
    if grams >= least * (1.0 - 1e-9) {
        return None;
    }
    let severity = if grams < step_size {
        Severity::Stop
    } else {
        Severity::Attention
    };
    let factor = [10.0, 100.0, 1000.0]
        .into_iter()
        .find(|factor| grams * factor >= least)
        .unwrap_or(1000.0);
    let show = |mass: f64| {
        Mass::from_grams(mass)
            .map(|mass| mass.to_string())
            .unwrap_or_default()
    };
    let volume = |ml: f64| {
        Volume::from_millilitres(ml)
            .map(|volume| volume.to_string())
            .unwrap_or_default()
    };
    Some(
        Finding::new(
            "weigh/too-small",
            severity,
            Subject::Step(solution.title.clone(), step.number),
        )
        .fact("name", added.jar.name.clone())
        .fact("amount", added.mass.to_string())
        .fact("scale", scale.to_string())
        .fact("error", significant(100.0 * step_size / grams, 2))
        .fact("least", show(least))
        .fact("stock_mass", show(grams * factor))
        .fact("stock_volume", volume(DOSE_ML * factor))
        .fact("stock_dose", volume(DOSE_ML))
        .place(&step.place),
    )
}

fn unknown_scale(context: &Context<'_>, added: &Added) -> Finding {
    Finding::new("weigh/scale-unknown", Severity::Attention, Subject::Session)
        .fact("name", added.jar.name.clone())
        .fact("amount", added.mass.to_string())
        .fact(
            "error",
            significant(100.0 * UNKNOWN_SCALE_G / added.mass.grams(), 2),
        )
        .place(&context.plan.top)
}

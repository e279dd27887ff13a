//! How warm or cold the vessel gets, step by step.

use crate::chemistry::Figure;
use crate::finding::{Finding, Severity, Subject};
use crate::plan::{Action, Solution};
use crate::provenance::{Basis, Origin};
use crate::units::significant;

use crate::assessment::StepFigures;

use super::Context;

/// Above this a splash scalds at once and powders steam (common practice, no source), °C.
const SCALDS: f64 = 60.0;
/// So near its boiling point a bath spits by itself (common practice, no source), °C.
const BOILS: f64 = 95.0;
/// A rise that heats a bath noticeably, K: below it a step is not what makes it hot.
const NOTICED: f64 = 3.0;
/// A rise of the whole bath from which the spot where the chemical falls may boil, K (common
/// practice, no source).
const LOCAL: f64 = 5.0;
/// A drop that slows dissolving, K (common practice, no source).
const COLD: f64 = 5.0;
/// The reactive group of what heats violently with water.
const VIOLENT: &str = "water-reactive-heat";

/// Steps that get too hot, could spit, or turn cold.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (solution, step, figures) in context.steps() {
        let (Action::Add(added), Some(temperature), Some(rise)) =
            (&step.action, &figures.temperature, figures.rise())
        else {
            continue;
        };
        let finding = |code, severity| {
            Finding::new(
                code,
                severity,
                Subject::Step(solution.title.clone(), step.number),
            )
            .fact("name", added.jar.name.clone())
            .fact("before", degrees(temperature.value - rise))
            .fact("after", degrees(temperature.value))
            .fact("low", degrees(temperature.low))
            .fact("high", degrees(temperature.high))
            .fact("rise", significant(rise.abs(), 2))
            .place(&step.place)
            .because(computed(temperature))
        };
        if rise >= NOTICED && temperature.high > SCALDS {
            findings.push(finding("heat/too-hot", hot(temperature)).fact("limit", degrees(SCALDS)));
        }
        findings.extend(past_vessel(solution, figures).map(|(vessel, limit)| {
            finding("heat/vessel", Severity::Attention)
                .fact("vessel", vessel)
                .fact("limit", degrees(limit))
        }));
        if added.jar.belongs_to(VIOLENT) && temperature.high - (temperature.value - rise) >= LOCAL {
            findings.push(
                finding("heat/could-spit", Severity::Attention).fact("solid", added.jar.is_solid()),
            );
        }
        if -rise >= COLD {
            findings.push(finding("heat/turns-cold", Severity::Note));
        }
    }
    findings
}

/// What may boil is to be settled first.
fn hot(temperature: &Figure) -> Severity {
    if temperature.high >= BOILS {
        Severity::Stop
    } else {
        Severity::Attention
    }
}

/// The vessel and what it stands, where the step passes that.
fn past_vessel(solution: &Solution, figures: &StepFigures) -> Option<(String, f64)> {
    let planned = solution.vessel.as_ref()?;
    let limit = planned.vessel.as_ref()?.max_c?;
    let (temperature, rise) = (figures.temperature.as_ref()?, figures.rise()?);
    // A vessel that is too hot from the beginning is told by the check of the vessel.
    let stood = figures.before? <= limit;
    (stood && rise > 0.0 && temperature.high > limit).then(|| (planned.written.clone(), limit))
}

fn degrees(celsius: f64) -> String {
    // −0 would print as "-0".
    format!("{:.0}\u{a0}°C", libm::round(celsius) + 0.0)
}

fn computed(figure: &Figure) -> Basis {
    let formula = figure.trace.formula.to_owned();
    Basis::fact("temperature of the step", &Origin::Computed { formula })
}

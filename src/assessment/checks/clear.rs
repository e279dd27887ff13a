//! Whether each step clears, and whether the solution stays clear in its bottle.

use crate::chemistry::{Dissolves, Saturation, Solubility};
use crate::finding::{Finding, Severity, Subject};
use crate::plan::{Action, Solution};
use crate::provenance::Basis;
use crate::units::significant;

use crate::assessment::SolutionFigures;

use super::Context;

/// Steps that will not clear, and solutions that drop something out on cooling to room temperature.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let solutions = context.plan.solutions.iter().zip(context.solutions);
    solutions
        .flat_map(|(solution, figures)| of_solution(solution, figures))
        .collect()
}

fn of_solution(solution: &Solution, figures: &SolutionFigures) -> Vec<Finding> {
    let mut findings: Vec<Finding> = Vec::new();
    let mut told: Vec<&str> = Vec::new();
    for (step, figures) in solution.steps.iter().zip(&figures.steps) {
        let (Action::Add(_), Some(solubility)) = (&step.action, &figures.solubility) else {
            continue;
        };
        for solid in too_much(solubility).filter(|solid| solid.dissolves == Dissolves::No) {
            // What did not clear before will not clear now: once is enough.
            if told.contains(&solid.solid.as_str()) {
                continue;
            }
            told.push(&solid.solid);
            let subject = Subject::Step(solution.title.clone(), step.number);
            let celsius = figures
                .temperature
                .as_ref()
                .map(|temperature| format!("{:.0}\u{a0}°C", temperature.value));
            let finding = Finding::new("dissolve/will-not-clear", Severity::Attention, subject)
                .fact("temperature", celsius.unwrap_or_default())
                .fact(
                    "last",
                    solution
                        .steps
                        .last()
                        .is_some_and(|last| last.number == step.number),
                )
                .place(&step.place);
            findings.push(about(finding, solid));
        }
    }
    findings.extend(drops_out(solution, figures, &told));
    findings
}

/// What clears while it is mixed and falls out in the bottle.
fn drops_out(solution: &Solution, figures: &SolutionFigures, told: &[&str]) -> Vec<Finding> {
    let Ok(stock) = &figures.stock.chemistry else {
        return Vec::new();
    };
    let fresh = too_much(&stock.solubility).filter(|solid| !told.contains(&solid.solid.as_str()));
    fresh
        .map(|solid| {
            let severity = match solid.dissolves {
                Dissolves::No => Severity::Attention,
                _ => Severity::Note,
            };
            let subject = Subject::Solution(solution.title.clone());
            let finding = Finding::new("dissolve/drops-out", severity, subject)
                .fact("name", solution.title.clone())
                .fact("sure", solid.dissolves == Dissolves::No)
                .place(&solution.place);
            about(finding, solid)
        })
        .collect()
}

fn too_much(solubility: &Solubility) -> impl Iterator<Item = &Saturation> {
    solubility
        .solids
        .iter()
        .filter(|solid| solid.dissolves != Dissolves::Yes)
}

fn about(finding: Finding, solid: &Saturation) -> Finding {
    let origin = solid.trace.inputs.first().map(|input| &input.origin);
    let finding = finding
        .fact("solid", solid.solid.clone())
        .fact("ratio", significant(solid.ratio, 2));
    match origin {
        Some(origin) => finding.because(Basis::fact("solubility", origin)),
        None => finding,
    }
}

//! The pH of what is made: corrosive, or not known.

use crate::chemistry::Ph;
use crate::finding::{Finding, Severity, Subject};
use crate::plan::Solution;
use crate::provenance::{Basis, Origin};

use crate::assessment::BathFigures;

use super::Context;

/// At or beyond these a mixture counts as corrosive (CLP Annex I, 3.2.3.1.2 and 3.3.3.1.2; the
/// same in 29 CFR 1910.1200, A.2 and A.3).
const EXTREME: (f64, f64) = (2.0, 11.5);

/// Baths of extreme pH, in bottle and tray, and those whose pH is not computed.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (solution, figures) in context.plan.solutions.iter().zip(context.solutions) {
        findings.extend(of_bath(solution, &figures.stock, false));
        // The tray is told only where it differs from the bottle in kind.
        let working = figures
            .working
            .as_ref()
            .and_then(|working| of_bath(solution, working, true));
        findings.extend(working.filter(|finding| finding.code.as_str() == "ph/extreme"));
    }
    findings
}

fn of_bath(solution: &Solution, bath: &BathFigures, working: bool) -> Option<Finding> {
    let about = |code, severity| {
        Finding::new(code, severity, Subject::Solution(solution.title.clone()))
            .fact("name", solution.title.clone())
            .fact("working", working)
            .place(&solution.place)
    };
    let chemistry = match &bath.chemistry {
        Ok(chemistry) => chemistry,
        Err(why) => return Some(about("ph/not-computed", Severity::Note).fact("why", why.clone())),
    };
    let figure = match &chemistry.equilibrium.ph {
        Ph::Computed(figure) => figure,
        Ph::NotComputed { why } => {
            return Some(about("ph/not-computed", Severity::Note).fact("why", why.clone()));
        }
    };
    let (acid, alkaline) = (figure.low <= EXTREME.0, figure.high >= EXTREME.1);
    (acid || alkaline).then(|| {
        let formula = figure.trace.formula.to_owned();
        about("ph/extreme", Severity::Attention)
            .fact("ph", format!("{:.1}", figure.value))
            .fact("low", format!("{:.1}", figure.low))
            .fact("high", format!("{:.1}", figure.high))
            .fact("acid", acid)
            .because(Basis::fact("pH", &Origin::Computed { formula }))
    })
}

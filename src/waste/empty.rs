//! Whether a container counts as empty.

use crate::provenance::Origin;

use super::description::Emptied;
use super::rules::EmptyRule;

/// The answer, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct EmptyLine {
    /// Whether it counts as empty.
    pub empty: bool,
    /// What decided.
    pub because: String,
    /// The rule.
    pub origin: Origin,
}

/// Judges an emptied container; what was not measured does not help it.
pub fn judge(emptied: &Emptied, acute: bool, rule: &EmptyRule) -> EmptyLine {
    let (empty, because) = if acute {
        let needed = rule.acute_rinses;
        let because = format!(
            "held acute waste: rinsed {} of {needed} times",
            emptied.rinses
        );
        (emptied.rinses >= needed, because)
    } else {
        judge_residue(emptied, rule)
    };
    EmptyLine {
        empty,
        because,
        origin: rule.from.clone(),
    }
}

fn judge_residue(emptied: &Emptied, rule: &EmptyRule) -> (bool, String) {
    let percent_bound = if emptied.capacity.litres() > rule.large_from_l {
        &rule.large_residue_percent
    } else {
        &rule.residue_percent
    };
    let by_percent = emptied.residue_percent.filter(|p| percent_bound.holds(*p));
    let by_depth = emptied.residue_cm.filter(|cm| rule.residue_cm.holds(*cm));
    match (by_percent, by_depth) {
        (Some(percent), _) => (
            true,
            format!("residue {percent} % {}", percent_bound.text("%")),
        ),
        (None, Some(cm)) => (
            true,
            format!("residue {cm} cm {}", rule.residue_cm.text("cm")),
        ),
        (None, None) if emptied.residue_percent.or(emptied.residue_cm).is_none() => {
            (false, "the residue was not measured".to_owned())
        }
        (None, None) => (
            false,
            format!(
                "residue not {} and not {}",
                percent_bound.text("%"),
                rule.residue_cm.text("cm")
            ),
        ),
    }
}

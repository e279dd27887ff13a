//! Water that is not clean enough for what is dissolved in it.

use crate::finding::{Finding, Severity, Subject};

use super::Context;

/// Groups that the salts and chlorine of tap water spoil (common practice, no source).
const NEEDS_CLEAN_WATER: [&str; 2] = ["silver", "gold-silver-platinum"];

/// Solutions of silver and noble metals in anything but distilled or deionised water.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let water = context
        .plan
        .setting
        .water
        .as_ref()
        .map(|water| water.value.to_lowercase());
    let clean = water.as_ref().is_some_and(|water| {
        ["distilled", "deionised", "deionized", "demineralised"]
            .iter()
            .any(|word| water.contains(word))
    });
    if clean {
        return Vec::new();
    }
    let groups = NEEDS_CLEAN_WATER.map(str::to_owned);
    let solutions = context
        .plan
        .solutions
        .iter()
        .filter(|solution| solution.holds(&groups));
    solutions
        .map(|solution| {
            Finding::new(
                "place/water",
                Severity::Attention,
                Subject::Solution(solution.title.clone()),
            )
            .fact("name", solution.title.clone())
            .fact("water", water.clone())
            .place(&solution.place)
        })
        .collect()
}

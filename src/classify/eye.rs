//! Serious eye damage and eye irritation: the sums, single ingredients, extreme pH, and what
//! follows from the skin.

use super::check::{Check, Entered, Measure};
use super::mixture::Input;
use super::{HazardClass, Profile, Reason, ph, single, skin, sums};

/// Every comparison for the eyes; `skin`: those for the skin.
pub(super) fn checks(input: &Input, skin: &[Check]) -> Vec<Check> {
    let mut checks = sums::checks(input, |family| family == "eye");
    checks.extend(single::checks(input, |family| family == "eye"));
    for check in &mut checks {
        name_irritation(input, check);
    }
    checks.extend(ph::check(
        input,
        &input.rules.limits.extreme_ph.eye,
        "Eye Dam. 1",
    ));
    checks.extend(
        skin.iter()
            .find(|c| skin::is_corrosive(c))
            .and_then(|c| follows(input, c)),
    );
    checks
}

/// What burns the skin damages the eyes (CLP Annex I, note to Table 3.3.5; Canada's HPR 8.3.2).
fn follows(input: &Input, corrosive: &Check) -> Option<Check> {
    let damage = input.rules.classes.get("Eye Dam. 1", None)?;
    Some(Check {
        gives: HazardClass::plain(damage),
        measure: Measure::Consequence,
        because: Reason::new("corrosive").fact("behind", corrosive.because.to_value()),
        ..corrosive.clone()
    })
}

/// Where category 2 is split (US, UN): 2B when every irritant in the sum is 2B, 2A when every one
/// is 2A, else category 2.
fn name_irritation(input: &Input, check: &mut Check) {
    if input.profile == Profile::Eu || check.gives.name() != "Eye Irrit. 2" {
        return;
    }
    let all_are = |class: &str| {
        check
            .ingredients
            .iter()
            .all(|entered| is_of(input, entered, class))
    };
    let split = ["Eye Irrit. 2B", "Eye Irrit. 2A"]
        .into_iter()
        .find(|class| all_are(class))
        .and_then(|class| input.rules.classes.get(class, None));
    if let Some(category) = split {
        check.gives = HazardClass::plain(category);
    }
}

fn is_of(input: &Input, entered: &Entered, class: &str) -> bool {
    input
        .ingredients
        .iter()
        .filter(|ingredient| ingredient.name == entered.name)
        .flat_map(|ingredient| &ingredient.classification)
        .filter(|hazard| hazard.family() == "eye" || hazard.statement == "H314")
        .all(|hazard| hazard.name() == class)
}

//! Extreme pH: at or below 2, or at or above 11.5, a mixture is taken as corrosive.
//!
//! Only data on the mixture itself could show otherwise; an acid or alkaline reserve alone never
//! lowers a class here (CLP Annex I, 3.2.3.1.2 wants it confirmed by a test).

use std::collections::BTreeMap;

use super::check::{Check, Measure, figure};
use super::limits::Section;
use super::mixture::Input;
use super::{HazardClass, Ph, Profile, Reason};

/// The comparison for skin or eyes; `None` when no pH is known.
pub(super) fn check(
    input: &Input,
    sections: &BTreeMap<Profile, Section>,
    gives: &str,
) -> Option<Check> {
    let limits = &input.rules.limits.extreme_ph;
    let ph = input.mixture.ph?;
    let section = sections.get(&input.profile)?;
    let outcome = input.rules.classes.get(gives, None)?;
    let (value, limit, beyond) = nearer_end(ph, limits.low, limits.high);
    // A pH unit is a factor of ten in acid or alkali: how near in content, not in digits.
    let nearness = libm::pow(10.0, beyond);
    Some(Check {
        gives: HazardClass::plain(outcome),
        rule: input.rules.limits.cite(input.profile, &section.rule),
        measure: Measure::Ph,
        value,
        limit,
        nearness,
        ingredients: Vec::new(),
        because: because(ph, value, limit, beyond),
        origin: section.from.clone(),
    })
}

/// The end of the range that lies nearer to its limit (or further beyond it), the limit, and how
/// far beyond it lies, in pH units.
fn nearer_end(ph: Ph, low: f64, high: f64) -> (f64, f64, f64) {
    let (acid, alkaline) = (low - ph.low(), ph.high() - high);
    if acid > alkaline {
        (ph.low(), low, acid)
    } else {
        (ph.high(), high, alkaline)
    }
}

fn because(ph: Ph, value: f64, limit: f64, beyond: f64) -> Reason {
    let acid = value <= ph.low() && limit < 7.0;
    let sign = match (acid, beyond >= 0.0) {
        (true, true) => "<=",
        (true, false) => ">",
        (false, true) => ">=",
        (false, false) => "<",
    };
    let reason = |code| {
        Reason::new(code)
            .fact("value", figure(value))
            .fact("sign", sign)
            .fact("limit", figure(limit))
    };
    if ph.low() == ph.high() {
        return reason("ph");
    }
    // A computed pH: no more is known of it than two decimals, if they leave the comparison as it is.
    let rounded = |value: f64| libm::round(100.0 * value) / 100.0;
    let shown = |value: f64| {
        if rounded(value) == limit {
            figure(value)
        } else {
            figure(rounded(value))
        }
    };
    reason("ph-range")
        .fact("value", shown(value))
        .fact("low", shown(ph.low()))
        .fact("high", shown(ph.high()))
}

//! One comparison of a mixture with one limit: what every result and every near miss is made of.

use super::{HazardClass, Ingredient, Reason};
use crate::provenance::Origin;
use crate::units::significant;

/// Sums of decimal shares carry binary rounding of about one part in 10¹⁵; what comes within one
/// part in 10⁹ of a limit is at the limit. That is the cautious side, and far below any weighing.
const AT_THE_LIMIT: f64 = 1.0 - 1e-9;

/// What was compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// A share or a weighted sum of shares, per cent.
    Percent,
    /// An acute toxicity estimate, in the unit of its route.
    Estimate,
    /// A pH.
    Ph,
    /// A flash point, °C.
    FlashPoint,
    /// Nothing: it follows from another class.
    Consequence,
}

/// An ingredient that entered a comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Entered {
    /// Its name.
    pub name: String,
    /// Its share, per cent.
    pub percent: f64,
    /// What the share was multiplied by; for an estimate, the ingredient's own estimate.
    pub weight: f64,
    /// The ingredient's own limit, where that set the weight.
    pub own_limit: Option<f64>,
}

impl Entered {
    /// An ingredient that entered with its share as it is.
    pub(super) fn whole(ingredient: &Ingredient) -> Self {
        Self {
            name: ingredient.name.clone(),
            percent: ingredient.percent.percent(),
            weight: 1.0,
            own_limit: None,
        }
    }
}

/// One comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// What the mixture is if the limit is met.
    pub gives: HazardClass,
    /// Law and section.
    pub rule: String,
    /// What was compared.
    pub measure: Measure,
    /// The mixture's figure.
    pub value: f64,
    /// The limit.
    pub limit: f64,
    /// The part of the limit that was reached; 1 is at the limit.
    pub nearness: f64,
    /// What entered.
    pub ingredients: Vec<Entered>,
    /// The comparison, to be told.
    pub because: Reason,
    /// Where the limit was read.
    pub origin: Origin,
}

impl Check {
    /// Whether the limit is met.
    pub fn is_reached(&self) -> bool {
        is_reached(self.nearness)
    }
}

/// Whether a part of a limit is the whole of it.
pub(super) fn is_reached(nearness: f64) -> bool {
    nearness >= AT_THE_LIMIT
}

/// A figure that was given, for `because`: as it was given, up to six digits.
pub(super) fn figure(value: f64) -> String {
    significant(value, 6)
}

/// A share that was worked out: no more digits are known.
pub(super) fn share(percent: f64) -> String {
    significant(percent, FEWEST)
}

/// Digits that a computed figure is worth.
const FEWEST: i32 = 3;

/// What was worked out beside its limit: with more digits where it would look to be on the other
/// side, or at the limit itself.
pub(super) fn beside(value: f64, limit: f64) -> String {
    let texts = (FEWEST..=6).map(|digits| significant(value, digits));
    let is_right = |text: &String| {
        let shown: Option<f64> = text.parse().ok();
        shown.is_some_and(|shown| shown.partial_cmp(&limit) == value.partial_cmp(&limit))
    };
    let mut right = texts.filter(is_right);
    right.next().unwrap_or_else(|| figure(value))
}

/// `>=` or `<`.
pub(super) fn compared(nearness: f64) -> &'static str {
    if is_reached(nearness) { ">=" } else { "<" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_never_looks_to_be_on_the_other_side_of_its_limit() {
        for (value, limit, shown) in [
            (10.7214, 10.0, "10.7"),
            (0.836336, 1.0, "0.836"),
            (106.865, 25.0, "107"),
            (24.963, 25.0, "24.96"),
            (24.9997, 25.0, "24.9997"),
            (25.0, 25.0, "25"),
            (0.99999, 1.0, "0.99999"),
            (1.0004, 1.0, "1.0004"),
            (2499.0, 2500.0, "2499"),
        ] {
            assert_eq!(beside(value, limit), shown, "{value} beside {limit}");
        }
    }
}

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

/// A figure for `because`: six digits, so that what is just below a limit does not look equal.
pub(super) fn figure(value: f64) -> String {
    significant(value, 6)
}

/// `>=` or `<`.
pub(super) fn compared(nearness: f64) -> &'static str {
    if is_reached(nearness) { ">=" } else { "<" }
}

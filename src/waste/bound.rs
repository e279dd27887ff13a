//! A limit with its operator: the sign is part of the rule.

use serde::Deserialize;

/// Bounds a value must keep to, in the unit of what is compared.
#[derive(Debug, Clone, Copy, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Bound {
    /// ≥
    pub at_least: Option<f64>,
    /// >
    pub above: Option<f64>,
    /// ≤
    pub at_most: Option<f64>,
    /// <
    pub below: Option<f64>,
    /// Holds only where nothing was measured.
    pub missing: bool,
}

impl Bound {
    /// Whether a value keeps to every bound given.
    pub fn holds(&self, value: f64) -> bool {
        self.at_least.is_none_or(|limit| value >= limit)
            && self.above.is_none_or(|limit| value > limit)
            && self.at_most.is_none_or(|limit| value <= limit)
            && self.below.is_none_or(|limit| value < limit)
    }

    /// Whether some value of a range keeps to the bounds.
    pub fn meets_range(&self, low: f64, high: f64) -> bool {
        self.at_least.is_none_or(|limit| high >= limit)
            && self.above.is_none_or(|limit| high > limit)
            && self.at_most.is_none_or(|limit| low <= limit)
            && self.below.is_none_or(|limit| low < limit)
    }

    /// The bounds in writing: `>= 5.0 mg/L`.
    pub fn text(&self, unit: &str) -> String {
        let unit = if unit.is_empty() {
            String::new()
        } else {
            format!(" {unit}")
        };
        [
            (">=", self.at_least),
            (">", self.above),
            ("<=", self.at_most),
            ("<", self.below),
        ]
        .iter()
        .filter_map(|(sign, limit)| limit.map(|limit| format!("{sign} {limit:?}{unit}")))
        .collect::<Vec<_>>()
        .join(" and ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sign_decides_at_the_limit() {
        let at_least = Bound {
            at_least: Some(5.0),
            ..Bound::default()
        };
        let above = Bound {
            above: Some(5.0),
            ..Bound::default()
        };
        let below = Bound {
            below: Some(60.0),
            ..Bound::default()
        };
        assert!(at_least.holds(5.0) && !above.holds(5.0) && !below.holds(60.0));
        assert_eq!(at_least.text("mg/L"), ">= 5.0 mg/L");
    }

    #[test]
    fn a_range_may_reach_a_limit_without_keeping_to_it() {
        let at_least = Bound {
            at_least: Some(12.5),
            ..Bound::default()
        };
        assert!(at_least.meets_range(8.5, 12.5) && !at_least.holds(8.5));
        assert!(!at_least.meets_range(8.5, 12.4));
    }
}

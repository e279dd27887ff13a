//! A figure with its bounds and the way it came about.

use crate::provenance::Origin;
use crate::units::significant;

/// One thing that went into a figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// What it is, with the chemical or ion it belongs to.
    pub what: String,
    /// Its value.
    pub value: f64,
    /// The unit of the value; empty for a bare number.
    pub unit: &'static str,
    /// Where it is from.
    pub origin: Origin,
}

impl Input {
    /// An input of a figure.
    pub fn new(what: impl Into<String>, value: f64, unit: &'static str, origin: &Origin) -> Self {
        Self {
            what: what.into(),
            value,
            unit,
            origin: origin.clone(),
        }
    }
}

/// How a figure came about: what `--explain` prints.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trace {
    /// The formula, with its source.
    pub formula: &'static str,
    /// What went into it.
    pub inputs: Vec<Input>,
    /// Assumptions and limits a reader should know of.
    pub remarks: Vec<String>,
    /// The result in words and numbers.
    pub result: String,
}

/// A computed value between bounds that hold about 95 times in 100, and its trace.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// The best estimate.
    pub value: f64,
    /// The lower bound.
    pub low: f64,
    /// The upper bound.
    pub high: f64,
    /// The unit of all three.
    pub unit: &'static str,
    /// How it came about.
    pub trace: Trace,
}

impl Figure {
    /// A figure between `value − margin` and `value + margin`.
    pub fn around(value: f64, margin: f64, unit: &'static str, mut trace: Trace) -> Self {
        trace.result = format!(
            "{} ± {} {unit}",
            significant(value, 4),
            significant(margin, 2)
        );
        Self {
            value,
            low: value - margin,
            high: value + margin,
            unit,
            trace,
        }
    }
}

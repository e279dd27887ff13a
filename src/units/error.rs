//! Why a text or a number is not a quantity.

use std::fmt;

/// Why a text is not a quantity.
#[derive(Debug, Clone, PartialEq)]
pub enum UnitError {
    /// There is no number at the start.
    NoNumber { text: String, example: &'static str },
    /// A comma may be a decimal sign or group thousands.
    UnclearComma { text: String },
    /// There is a number and no unit.
    NoUnit {
        what: &'static str,
        example: &'static str,
    },
    /// The unit is not one of this quantity.
    UnknownUnit {
        what: &'static str,
        unit: String,
        known: &'static str,
    },
    /// The number cannot be such a quantity.
    OutOfRange {
        what: &'static str,
        value: f64,
        low: f64,
        high: f64,
        unit: &'static str,
    },
    /// A dilution is not written as parts.
    NotADilution { text: String },
}

impl fmt::Display for UnitError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoNumber { text, example } => {
                write!(
                    f,
                    "`{text}` does not begin with a number; write it like `{example}`"
                )
            }
            Self::UnclearComma { text } => {
                write!(
                    f,
                    "the comma of `{text}` may be a decimal sign or group thousands; write `1000` or `1.0`"
                )
            }
            Self::NoUnit { what, example } => {
                write!(f, "{what} needs a unit; write it like `{example}`")
            }
            Self::UnknownUnit { what, unit, known } => {
                write!(f, "`{unit}` is not a unit of {what}; known are {known}")
            }
            Self::OutOfRange {
                what,
                value,
                low,
                high,
                unit,
            } => {
                write!(
                    f,
                    "{value} is outside what {what} can be here ({low} to {high} {unit})"
                )
            }
            Self::NotADilution { text } => {
                write!(
                    f,
                    "`{text}` is not a dilution; write parts like `1+9`, `1:10` or `stock`"
                )
            }
        }
    }
}

impl std::error::Error for UnitError {}

//! Whose form of the system is applied, and the two signal words.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

/// A form of the Globally Harmonized System. The forms are never mixed in one result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Profile {
    /// Regulation (EC) No 1272/2008, in force in the EU and, retained, in Great Britain.
    Eu,
    /// 29 CFR 1910.1200, Appendix A: no environmental classes.
    Us,
    /// The UN text with all its categories.
    Ghs,
}

impl FromStr for Profile {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text.trim().to_lowercase().as_str() {
            // Great Britain kept the EU criteria on leaving.
            "eu" | "uk" => Ok(Self::Eu),
            "us" => Ok(Self::Us),
            "ghs" => Ok(Self::Ghs),
            _ => Err(format!(
                "`{text}` names no rules for classification; known are eu, uk, us, ghs"
            )),
        }
    }
}

/// The signal word of a label.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
pub enum Signal {
    /// The milder word.
    Warning,
    /// The stronger word; it takes the place of the milder.
    Danger,
}

impl fmt::Display for Signal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Warning => "Warning",
            Self::Danger => "Danger",
        })
    }
}

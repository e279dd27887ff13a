//! Limits of a gas in air, and what the nose says of it.

use std::fmt;

use serde::Deserialize;

use crate::provenance::Origin;

/// Whose limits these are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Region {
    /// United States: law and recommendations.
    Us,
    /// European Union.
    Eu,
    /// United Kingdom.
    Uk,
    /// Germany.
    De,
    /// Canada (Ontario).
    Ca,
    /// A rule of the place; always in force.
    Local,
}

impl Region {
    /// All with limits on file.
    pub const ALL: [Self; 5] = [Self::Us, Self::Eu, Self::Uk, Self::De, Self::Ca];

    /// The code of a region, as in `--rules eu`.
    pub fn from_code(code: &str) -> Option<Self> {
        match code {
            "us" => Some(Self::Us),
            "eu" => Some(Self::Eu),
            "uk" => Some(Self::Uk),
            "de" => Some(Self::De),
            "ca" => Some(Self::Ca),
            _ => None,
        }
    }
}

impl fmt::Display for Region {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Us => "us",
            Self::Eu => "eu",
            Self::Uk => "uk",
            Self::De => "de",
            Self::Ca => "ca",
            Self::Local => "local",
        })
    }
}

/// What a limit limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum LimitKind {
    /// The average over a working day.
    #[serde(rename = "TWA")]
    WorkingDay,
    /// The average over a short time.
    #[serde(rename = "STEL")]
    ShortTerm,
    /// Never to be passed.
    #[serde(rename = "ceiling")]
    Ceiling,
}

impl LimitKind {
    /// The kind by its word in data files.
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "TWA" => Some(Self::WorkingDay),
            "STEL" => Some(Self::ShortTerm),
            "ceiling" => Some(Self::Ceiling),
            _ => None,
        }
    }
}

impl Limit {
    /// Whether the place has it from its own data sheet or rule.
    pub const fn is_own(&self) -> bool {
        matches!(
            self.origin,
            Origin::DataSheet { .. } | Origin::LocalRule { .. }
        )
    }
}

impl fmt::Display for LimitKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::WorkingDay => "TWA",
            Self::ShortTerm => "STEL",
            Self::Ceiling => "ceiling",
        })
    }
}

/// One exposure limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Who set it.
    pub body: String,
    /// Where it holds.
    pub region: Region,
    /// What it limits.
    pub kind: LimitKind,
    /// The limit, mg/m³.
    pub mg_per_m3: f64,
    /// Whether mg/m³ is computed from the printed ppm (25 °C, 1 atm).
    pub converted: bool,
    /// The limit as printed in ppm, if it is.
    pub ppm: Option<f64>,
    /// Averaging time; 0 for at no moment.
    pub minutes: f64,
    /// Skin, sensitiser and the like.
    pub note: String,
    /// Where it is from.
    pub origin: Origin,
}

/// What is immediately dangerous to life or health.
#[derive(Debug, Clone, PartialEq)]
pub struct Idlh {
    /// The concentration, mg/m³.
    pub mg_per_m3: f64,
    /// Anything said beside it.
    pub note: String,
}

/// Where noses begin to notice. Never used as protection.
#[derive(Debug, Clone, PartialEq)]
pub struct Odour {
    /// Lowest threshold found, ppm.
    pub low_ppm: f64,
    /// Highest threshold found, ppm.
    pub high_ppm: f64,
    /// Anything said beside it.
    pub note: String,
}

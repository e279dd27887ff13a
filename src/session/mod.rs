//! What the person wrote: sessions, recipes, the place. Places kept, nothing looked up.

mod bath;
mod darkroom;
mod recipe;
mod read;
mod written;

pub use bath::{OpenTray, Rolls, Sheets, Tray};
pub use darkroom::{Darkroom, Responsible};
pub use recipe::{Addition, Amount, Keeps, Recipe, Start, is_recipe};
pub use written::{Air, Make, Person, Session};

use std::fmt;
use std::str::FromStr;

use crate::source::Place;
use crate::units::{Mass, UnitError, Volume};

/// A value and where it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct Written<T> {
    /// What was written.
    pub value: T,
    /// Where.
    pub place: Place,
}

impl FromStr for Amount {
    type Err = UnitError;

    /// A mass or a volume, whichever the unit says.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        match text.parse::<Mass>() {
            Ok(mass) => Ok(Self::Mass(mass)),
            Err(UnitError::UnknownUnit { unit, .. }) => match text.parse::<Volume>() {
                Err(UnitError::UnknownUnit { .. }) => Err(UnitError::UnknownUnit {
                    what: "a mass or a volume",
                    unit,
                    known: "g, kg, mg, oz, lb, L, mL, gallons, quarts and fl oz",
                }),
                other => other.map(Self::Volume),
            },
            Err(other) => Err(other),
        }
    }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Mass(mass) => mass.fmt(f),
            Self::Volume(volume) => volume.fmt(f),
        }
    }
}

//! One side by the litre or kilogram, and so much of it.

use crate::reaction::{Party, Unknown};
use crate::session::Amount;
use crate::units::{Mass, Volume};

use crate::cli::Error;

/// Something named on the command line.
pub(super) struct Measured {
    /// As much of it as one litre or kilogram.
    pub party: Party,
    /// Litres or kilograms where nothing else is said.
    pub usual: f64,
    /// kg/L, to measure a liquid or bath by volume; nothing for solids.
    pub density: Option<f64>,
}

impl Measured {
    /// The same where the party is so many litres or kilograms instead of one.
    pub fn per(mut self, parts: f64) -> Self {
        self.party.bath = self.party.bath.map(|bath| bath.scaled(1.0 / parts));
        if let Some(unknown) = &mut self.party.unknown {
            unknown.known = unknown.known.scaled(1.0 / parts);
        }
        self
    }

    /// Litres or kilograms of an amount.
    ///
    /// # Errors
    /// When a solid is measured by volume.
    pub fn parts(&self, amount: Amount) -> Result<f64, Error> {
        match (amount, self.density) {
            (Amount::Mass(mass), None) => Ok(mass.grams() / 1000.0),
            (Amount::Mass(mass), Some(density)) => Ok(mass.grams() / 1000.0 / density),
            (Amount::Volume(volume), Some(_)) => Ok(volume.litres()),
            (Amount::Volume(_), None) => {
                let message = format!("{} is a solid and has no volume to go by", self.party.name);
                Err(Error::other(
                    message,
                    "give its amount by weight, like `100 g`",
                ))
            }
        }
    }

    /// So many litres or kilograms of it.
    ///
    /// # Errors
    /// When that is too much or nothing.
    pub fn of(self, parts: f64) -> Result<Party, Error> {
        let amount = match self.density {
            Some(_) => Volume::from_litres(parts).map(Amount::Volume),
            None => Mass::from_grams(parts * 1000.0).map(Amount::Mass),
        };
        let amount = amount
            .map_err(|error| Error::other(error.to_string(), "take less, or another ratio"))?;
        Ok(Party {
            amount,
            bath: self.party.bath.map(|bath| bath.scaled(parts)),
            unknown: self.party.unknown.map(|unknown| Unknown {
                known: unknown.known.scaled(parts),
                ..unknown
            }),
            ..self.party
        })
    }
}

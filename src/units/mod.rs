//! Quantities as people write them, and only the arithmetic that makes sense.
//!
//! A [`Mass`] is not a [`Volume`]: adding one to the other does not compile. Every constructor
//! refuses NaN, infinities and values outside the stated range, so a quantity is always a number
//! that could stand on a bench.

mod dilution;
mod error;
mod parse;
mod show;
mod spellings;

pub use dilution::Dilution;
pub use error::UnitError;
pub use parse::parse_number;
pub(crate) use parse::quantity as read_quantity;
pub use show::significant;

use std::ops::{Add, Mul, Sub};

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $from:ident, $get:ident, $range:expr, $unit:literal, $what:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// What is measured, for messages.
            pub const WHAT: &'static str = $what;

            #[doc = concat!("From a value in ", $unit, ".")]
            ///
            /// # Errors
            /// Refuses NaN, infinities and values outside the range of the type.
            pub fn $from(value: f64) -> Result<Self, UnitError> {
                let (low, high) = $range;
                if value.is_finite() && value >= low && value <= high {
                    Ok(Self(value))
                } else {
                    Err(UnitError::OutOfRange { what: $what, value, low, high, unit: $unit })
                }
            }

            #[doc = concat!("The value in ", $unit, ".")]
            pub const fn $get(self) -> f64 {
                self.0
            }
        }
    };
}

quantity!(
    /// A mass, 0 to 10 000 000 g.
    Mass, from_grams, grams, (0.0, 1e7), "g", "a mass"
);
quantity!(
    /// A volume, 0 to 100 000 L.
    Volume, from_litres, litres, (0.0, 1e5), "L", "a volume"
);
quantity!(
    /// A temperature, −50 to 300 °C.
    Temperature, from_celsius, celsius, (-50.0, 300.0), "°C", "a temperature"
);
quantity!(
    /// A span of time, 0 to 1 000 000 h (a little over a century).
    Duration, from_hours, hours, (0.0, 1e6), "h", "a time"
);
quantity!(
    /// A flow of air, 0 to 1 000 000 m³/h.
    AirFlow, from_m3_per_h, m3_per_h, (0.0, 1e6), "m³/h", "a flow of air"
);
quantity!(
    /// A room, 0.1 to 1 000 000 m³.
    RoomVolume, from_m3, m3, (0.1, 1e6), "m³", "a room volume"
);
quantity!(
    /// A share of a whole, 0 to 100 %.
    Percent, from_percent, percent, (0.0, 100.0), "%", "a share"
);
quantity!(
    /// An area, 0 to 10 000 m².
    Area, from_m2, m2, (0.0, 1e4), "m²", "an area"
);

impl Mass {
    /// Nothing.
    pub const ZERO: Self = Self(0.0);

    /// This mass times a factor, held within the range of the type.
    pub fn scaled(self, factor: f64) -> Result<Self, UnitError> {
        Self::from_grams(self.0 * factor)
    }
}

impl Volume {
    /// Nothing.
    pub const ZERO: Self = Self(0.0);

    /// From a value in millilitres.
    ///
    /// # Errors
    /// As [`Volume::from_litres`].
    pub fn from_millilitres(value: f64) -> Result<Self, UnitError> {
        Self::from_litres(value / 1000.0)
    }

    /// The value in millilitres.
    pub const fn millilitres(self) -> f64 {
        self.0 * 1000.0
    }

    /// This volume times a factor, held within the range of the type.
    pub fn scaled(self, factor: f64) -> Result<Self, UnitError> {
        Self::from_litres(self.0 * factor)
    }
}

impl Temperature {
    /// 20 °C: where nothing is said, things stand at room temperature.
    pub const ROOM: Self = Self(20.0);
}

impl Duration {
    /// From a value in minutes.
    ///
    /// # Errors
    /// As [`Duration::from_hours`].
    pub fn from_minutes(value: f64) -> Result<Self, UnitError> {
        Self::from_hours(value / 60.0)
    }

    /// The value in minutes.
    pub const fn minutes(self) -> f64 {
        self.0 * 60.0
    }

    /// The value in days.
    pub const fn days(self) -> f64 {
        self.0 / 24.0
    }
}

macro_rules! additive {
    ($name:ident) => {
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl Sub for $name {
            type Output = Self;
            /// Never below nothing: what is not there cannot be taken.
            fn sub(self, other: Self) -> Self {
                Self((self.0 - other.0).max(0.0))
            }
        }
    };
}

additive!(Mass);
additive!(Volume);

/// Mass per volume, 0.5 to 4 kg/L.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Density(f64);

impl Density {
    /// Water at 20 °C to two figures: the stand-in where a density is not known.
    pub const WATER: Self = Self(1.0);

    /// From a value in kg/L (the same number as g/mL).
    ///
    /// # Errors
    /// Refuses values outside 0.5 to 4 kg/L.
    pub fn from_kg_per_l(value: f64) -> Result<Self, UnitError> {
        let (low, high) = (0.5, 4.0);
        if value.is_finite() && (low..=high).contains(&value) {
            Ok(Self(value))
        } else {
            Err(UnitError::OutOfRange {
                what: "a density",
                value,
                low,
                high,
                unit: "kg/L",
            })
        }
    }

    /// The value in kg/L.
    pub const fn kg_per_l(self) -> f64 {
        self.0
    }
}

impl Mul<Density> for Volume {
    type Output = Mass;
    fn mul(self, density: Density) -> Mass {
        Mass(self.0 * 1000.0 * density.0)
    }
}

impl Mass {
    /// The volume this mass takes up at a density.
    pub fn at_density(self, density: Density) -> Volume {
        Volume(self.0 / 1000.0 / density.0)
    }
}

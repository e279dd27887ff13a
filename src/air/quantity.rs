//! Quantities only the air needs: rates of release, speeds of air, lengths, plain factors.

use std::str::FromStr;

use crate::units::{UnitError, parse_number, read_quantity};

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $from:ident, $get:ident, $low:expr, $high:expr, $base:literal, $what:literal, $units:expr, $known:literal, $example:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("From a value in ", $base, ".")]
            ///
            /// # Errors
            /// Refuses NaN, infinities and values outside the range of the type.
            pub fn $from(value: f64) -> Result<Self, UnitError> {
                if value.is_finite() && ($low..=$high).contains(&value) {
                    Ok(Self(value))
                } else {
                    Err(UnitError::OutOfRange { what: $what, value, low: $low, high: $high, unit: $base })
                }
            }

            #[doc = concat!("The value in ", $base, ".")]
            pub const fn $get(self) -> f64 {
                self.0
            }
        }

        impl FromStr for $name {
            type Err = UnitError;
            fn from_str(text: &str) -> Result<Self, UnitError> {
                Self::$from(read_quantity(text, $what, $units, $known, $example)?)
            }
        }
    };
}

quantity!(
    /// Mass released into the air per time, 0 to 1 000 000 000 mg/h.
    ReleaseRate, from_mg_per_h, mg_per_h, 0.0, 1e9, "mg/h", "a rate of release",
    &[
        (&["mg/h", "mg/hr"], 1.0),
        (&["mg/min"], 60.0),
        (&["mg/s"], 3600.0),
        (&["g/h", "g/hr"], 1000.0),
        (&["g/min"], 60_000.0),
    ],
    "mg/min, mg/h, mg/s, g/min and g/h", "2 mg/min"
);
quantity!(
    /// Speed of the air over a surface or in a room, 0.01 to 10 m/s.
    AirSpeed, from_m_per_s, m_per_s, 0.01, 10.0, "m/s", "an air speed",
    &[
        (&["m/s"], 1.0),
        (&["m/min"], 1.0 / 60.0),
        // A foot a minute: 0.3048 m / 60 s, exact.
        (&["ft/min", "fpm"], 0.005_08),
    ],
    "m/s, m/min and ft/min", "0.2 m/s"
);
quantity!(
    /// A length in the room, 0.01 to 50 m.
    Length, from_m, m, 0.01, 50.0, "m", "a length",
    &[
        (&["m"], 1.0),
        (&["cm"], 0.01),
        (&["mm"], 0.001),
        (&["in", "inch", "inches"], 0.0254),
        (&["ft", "feet", "foot"], 0.3048),
    ],
    "m, cm, mm, in and ft", "0.4 m"
);

/// How unevenly a room mixes, 1 (perfectly) to 100.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Mixing(f64);

impl Mixing {
    /// From a plain factor.
    ///
    /// # Errors
    /// Refuses anything but 1 to 100.
    pub fn new(value: f64) -> Result<Self, UnitError> {
        let (low, high) = (1.0, 100.0);
        if value.is_finite() && (low..=high).contains(&value) {
            Ok(Self(value))
        } else {
            Err(UnitError::OutOfRange {
                what: "a mixing factor",
                value,
                low,
                high,
                unit: "times",
            })
        }
    }

    /// The factor.
    pub const fn factor(self) -> f64 {
        self.0
    }
}

impl FromStr for Mixing {
    type Err = UnitError;

    /// `3`, a number without a unit.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        match parse_number(text) {
            Some((value, "")) => Self::new(value),
            Some((_, unit)) => Err(UnitError::UnknownUnit {
                what: "a mixing factor",
                unit: unit.to_owned(),
                known: "none: write a plain number like `3`",
            }),
            None => Err(UnitError::NoNumber {
                text: text.trim().to_owned(),
                example: "3",
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rates_and_speeds_as_people_write_them() {
        assert_eq!("2 mg/min".parse::<ReleaseRate>().unwrap().mg_per_h(), 120.0);
        assert_eq!("1.5 g/h".parse::<ReleaseRate>().unwrap().mg_per_h(), 1500.0);
        // 1 ft/min = 0.00508 m/s (NIST SP 811, Appendix B).
        assert!(("100 ft/min".parse::<AirSpeed>().unwrap().m_per_s() - 0.508).abs() < 1e-12);
        assert_eq!("3".parse::<Mixing>().unwrap().factor(), 3.0);
    }

    #[test]
    fn nonsense_is_refused() {
        for text in ["-1 mg/min", "2 mg", "2", "fast", "1e99 mg/min"] {
            assert!(text.parse::<ReleaseRate>().is_err(), "{text}");
        }
        for text in ["0 m/s", "100 m/s", "0.2"] {
            assert!(text.parse::<AirSpeed>().is_err(), "{text}");
        }
        for text in ["0.5", "0", "3 x", "NaN"] {
            assert!(text.parse::<Mixing>().is_err(), "{text}");
        }
    }

    /// Read as a decimal sign it would be a thousandth of what may be meant.
    #[test]
    fn a_comma_that_could_mean_thousands_is_refused() {
        assert!("1,000 mg/min".parse::<ReleaseRate>().is_err());
        assert_eq!(
            "1,5 mg/h".parse::<ReleaseRate>().map(ReleaseRate::mg_per_h),
            Ok(1.5)
        );
    }
}

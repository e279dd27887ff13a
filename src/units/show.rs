//! Quantities → text, rounded for people. A no-break space binds number and unit.

use std::fmt;

use super::{AirFlow, Area, Density, Duration, Mass, Percent, RoomVolume, Temperature, Volume};

/// A number to so many significant figures, without exponent, trailing zeros kept out.
///
/// `significant(0.012345, 3)` is `0.0123`, `significant(1234.5, 3)` is `1230`.
pub fn significant(value: f64, figures: i32) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 {
            "0".into()
        } else {
            value.to_string()
        };
    }
    let magnitude = libm::floor(libm::log10(value.abs())) as i32;
    let decimals = figures - 1 - magnitude;
    if decimals <= 0 {
        let step = libm::pow(10.0, f64::from(-decimals));
        return format!("{:.0}", libm::round(value / step) * step);
    }
    let text = format!("{:.*}", decimals.min(12) as usize, value);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A weighed amount: three figures, and below 10 g always a decimal (`5.0 g` is weighed, not guessed).
fn weighed(grams: f64) -> String {
    let text = significant(grams, 3);
    if grams < 10.0 && !text.contains('.') {
        format!("{text}.0")
    } else {
        text
    }
}

impl fmt::Display for Mass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.grams() >= 10_000.0 {
            write!(f, "{}\u{a0}kg", significant(self.grams() / 1000.0, 4))
        } else {
            write!(f, "{}\u{a0}g", weighed(self.grams()))
        }
    }
}

impl fmt::Display for Volume {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.litres() >= 1.0 {
            write!(f, "{}\u{a0}L", significant(self.litres(), 4))
        } else {
            write!(f, "{}\u{a0}mL", significant(self.millilitres(), 3))
        }
    }
}

impl fmt::Display for Temperature {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // −0 would print as "-0".
        write!(f, "{:.0}\u{a0}°C", libm::round(self.celsius()) + 0.0)
    }
}

impl fmt::Display for Duration {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hours = self.hours();
        let (value, unit) = match hours {
            h if h >= 8760.0 && (h % 8760.0) < 1.0 => (h / 8760.0, "year"),
            h if h >= 1440.0 => (h / 720.0, "month"),
            h if h >= 48.0 => (h / 24.0, "day"),
            h if h >= 1.0 => return write!(f, "{}\u{a0}h", significant(h, 3)),
            h => return write!(f, "{}\u{a0}min", significant(h * 60.0, 3)),
        };
        let text = significant(value, 3);
        let plural = if text == "1" { "" } else { "s" };
        write!(f, "{text}\u{a0}{unit}{plural}")
    }
}

macro_rules! plain {
    ($type:ident, $get:ident, $unit:literal) => {
        impl fmt::Display for $type {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}\u{a0}{}", significant(self.$get(), 3), $unit)
            }
        }
    };
}

plain!(AirFlow, m3_per_h, "m³/h");
plain!(RoomVolume, m3, "m³");
plain!(Area, m2, "m²");
plain!(Percent, percent, "%");
plain!(Density, kg_per_l, "kg/L");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_rounded_for_people() {
        for (value, figures, text) in [
            (0.012345, 3, "0.0123"),
            (1234.5, 3, "1230"),
            (231.0, 3, "231"),
            (9.999, 2, "10"),
            (0.0, 3, "0"),
            (2.0, 4, "2"),
            (-1.26, 2, "-1.3"),
        ] {
            assert_eq!(significant(value, figures), text, "{value}");
        }
    }

    #[test]
    fn amounts_keep_their_unit_on_the_same_line() {
        assert_eq!(Mass::from_grams(5.0).unwrap().to_string(), "5.0\u{a0}g");
        assert_eq!(Mass::from_grams(230.77).unwrap().to_string(), "231\u{a0}g");
        assert_eq!(Mass::from_grams(2.25).unwrap().to_string(), "2.25\u{a0}g");
        assert_eq!(Volume::from_litres(1.5).unwrap().to_string(), "1.5\u{a0}L");
        assert_eq!(
            Volume::from_litres(0.75).unwrap().to_string(),
            "750\u{a0}mL"
        );
        assert_eq!(
            "6 months".parse::<Duration>().unwrap().to_string(),
            "6\u{a0}months"
        );
        assert_eq!("8 h".parse::<Duration>().unwrap().to_string(), "8\u{a0}h");
    }
}

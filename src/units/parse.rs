//! Text → quantities. Forgiving about spacing, case, comma or point, and the unit's spelling.

use std::str::FromStr;

use super::spellings::{AIR_FLOW, AREA, HOURS, MASS, ROOM, SIDE, Units, VOLUME};
use super::{AirFlow, Area, Duration, Mass, Percent, RoomVolume, Temperature, UnitError, Volume};

/// `1,000 mL` is one or a thousand, by whose habit it was written; `0,125 g` and `2,5 g` are clear.
fn comma_is_unclear(text: &str) -> bool {
    let digits = |part: &str| part.bytes().take_while(u8::is_ascii_digit).count();
    let text = text.trim().trim_start_matches(['-', '−']);
    text.split_once(',').is_some_and(|(whole, rest)| {
        let thousands = (1..=3).contains(&whole.len()) && digits(whole) == whole.len();
        thousands && !whole.starts_with('0') && digits(rest) == 3
    })
}

/// Splits `2,5 g` into 2.5 and `g`. A comma is a decimal sign; thousands are not grouped.
///
/// Returns `None` when the text does not begin with a plain number.
pub fn parse_number(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let signed = text.strip_prefix(['-', '−']);
    let digits = signed.unwrap_or(text);
    let end = digits
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
        .unwrap_or(digits.len());
    let number = digits.get(..end)?.replace(',', ".");
    if !number.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    let value: f64 = number.parse().ok()?;
    let value = if signed.is_some() { -value } else { value };
    Some((value, digits.get(end..)?.trim()))
}

/// The number of a text in the base unit of these units; a comma that could mean thousands is refused.
pub(crate) fn quantity(
    text: &str,
    what: &'static str,
    units: Units,
    known: &'static str,
    example: &'static str,
) -> Result<f64, UnitError> {
    if comma_is_unclear(text) {
        return Err(UnitError::UnclearComma {
            text: text.trim().to_owned(),
        });
    }
    let (number, unit) = parse_number(text).ok_or_else(|| UnitError::NoNumber {
        text: text.trim().to_owned(),
        example,
    })?;
    if unit.is_empty() {
        return Err(UnitError::NoUnit { what, example });
    }
    let folded = unit.to_lowercase();
    units
        .iter()
        .find(|(names, _)| names.contains(&folded.as_str()))
        .map(|(_, factor)| number * factor)
        .ok_or_else(|| UnitError::UnknownUnit {
            what,
            unit: unit.to_owned(),
            known,
        })
}

macro_rules! from_text {
    ($type:ident, $from:ident, $units:expr, $known:literal, $example:literal) => {
        impl FromStr for $type {
            type Err = UnitError;
            fn from_str(text: &str) -> Result<Self, UnitError> {
                $type::$from(quantity(text, $type::WHAT, $units, $known, $example)?)
            }
        }
    };
}

from_text!(Mass, from_grams, MASS, "g, kg, mg, oz and lb", "2.5 g");
from_text!(
    Volume,
    from_litres,
    VOLUME,
    "L, mL, gallons, quarts and fl oz",
    "750 mL"
);
from_text!(
    Duration,
    from_hours,
    HOURS,
    "min, h, days, weeks and months",
    "8 h"
);
from_text!(
    AirFlow,
    from_m3_per_h,
    AIR_FLOW,
    "m3/h, L/s and cfm",
    "150 m3/h"
);
from_text!(RoomVolume, from_m3, ROOM, "m3 and ft3", "30 m3");

impl FromStr for Area {
    type Err = UnitError;

    /// `0.05 m2`, or a rectangle by its sides: `30 x 40 cm`.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        if let Some((one, other)) = text.split_once(['x', '×']) {
            return rectangle(one, other);
        }
        const KNOWN: &str = "m2, cm2 and ft2, or sides like `30 x 40 cm`";
        Self::from_m2(quantity(text, Self::WHAT, AREA, KNOWN, "30 x 40 cm")?)
    }
}

/// One side may leave its unit to the other.
fn rectangle(one: &str, other: &str) -> Result<Area, UnitError> {
    const KNOWN: &str = "m, cm, mm, in and ft";
    let side = |text: &str| quantity(text, "a side", SIDE, KNOWN, "30 x 40 cm");
    let second = side(other)?;
    let first = match side(one) {
        Err(UnitError::NoUnit { .. }) => {
            let unit = parse_number(other).map_or("", |(_, unit)| unit);
            side(&format!("{} {unit}", one.trim()))?
        }
        stated => stated?,
    };
    Area::from_m2(first * second)
}

impl FromStr for Temperature {
    type Err = UnitError;

    /// `50 °C`, `50C`, `125 F`: the letter decides, a bare number is refused.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        let (number, unit) = parse_number(text).ok_or_else(|| UnitError::NoNumber {
            text: text.trim().to_owned(),
            example: "50 °C",
        })?;
        let unit = unit.trim_start_matches(['°', 'º']).trim().to_lowercase();
        match unit.as_str() {
            "c" | "celsius" | "deg c" | "degc" | "℃" => Self::from_celsius(number),
            "f" | "fahrenheit" | "deg f" | "degf" | "℉" => {
                Self::from_celsius((number - 32.0) / 1.8)
            }
            "" => Err(UnitError::NoUnit {
                what: Self::WHAT,
                example: "50 °C",
            }),
            _ => Err(UnitError::UnknownUnit {
                what: Self::WHAT,
                unit,
                known: "°C and °F",
            }),
        }
    }
}

impl FromStr for Percent {
    type Err = UnitError;

    /// `5 %` or `5 percent`.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        let units: Units = &[(&["%", "percent", "per cent"], 1.0)];
        Self::from_percent(quantity(text, Self::WHAT, units, "%", "5 %")?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() <= 1e-9 * b.abs().max(1.0)
    }

    #[test]
    fn amounts_as_people_write_them() {
        for (text, grams) in [
            ("2.5 g", 2.5),
            ("2,5g", 2.5),
            (" 0.1 KG ", 100.0),
            ("1 oz", 28.349523125),
            ("500 mg", 0.5),
        ] {
            assert!(near(text.parse::<Mass>().unwrap().grams(), grams), "{text}");
        }
        for (text, litres) in [
            ("750 mL", 0.75),
            ("0.75 l", 0.75),
            ("750ml", 0.75),
            ("1 US gallon", 3.785411784),
            ("8 fl oz", 0.2365882365),
            ("1 quart", 0.946352946),
        ] {
            assert!(
                near(text.parse::<Volume>().unwrap().litres(), litres),
                "{text}"
            );
        }
    }

    /// 8 in × 10 in is 80 in², 0.0516128 m²: exact by the inch of 25.4 mm.
    #[test]
    fn areas_and_their_sides() {
        for (text, m2) in [
            ("0.05 m2", 0.05),
            ("30 x 40 cm", 0.12),
            ("30 cm × 0.4 m", 0.12),
            ("8x10in", 0.051_612_8),
        ] {
            assert!(near(text.parse::<Area>().unwrap().m2(), m2), "{text}");
        }
        for text in [
            "30 x 40",
            "x 40 cm",
            "30 x cm",
            "30 x 40 x 5 cm",
            "30 g x 40 cm",
        ] {
            assert!(text.parse::<Area>().is_err(), "{text}");
        }
    }

    /// NIST SP 811 (2008), Appendix B: t/°C = (t/°F − 32)/1.8.
    #[test]
    fn temperatures_in_both_scales() {
        for (text, celsius) in [
            ("50 °C", 50.0),
            ("50C", 50.0),
            ("125 F", 51.666_666_666_7),
            ("-5 °C", -5.0),
        ] {
            assert!(
                (text.parse::<Temperature>().unwrap().celsius() - celsius).abs() < 1e-6,
                "{text}"
            );
        }
    }

    #[test]
    fn what_is_not_a_quantity_is_refused_with_the_reason() {
        assert!(matches!(
            "lots".parse::<Mass>(),
            Err(UnitError::NoNumber { .. })
        ));
        assert!(matches!("5".parse::<Mass>(), Err(UnitError::NoUnit { .. })));
        assert!(matches!(
            "5 mL".parse::<Mass>(),
            Err(UnitError::UnknownUnit { .. })
        ));
        assert!(matches!(
            "-5 g".parse::<Mass>(),
            Err(UnitError::OutOfRange { .. })
        ));
        assert!(matches!(
            "1e9 L".parse::<Volume>(),
            Err(UnitError::UnknownUnit { .. })
        ));
        assert!(matches!(
            "1000000000 L".parse::<Volume>(),
            Err(UnitError::OutOfRange { .. })
        ));
        assert!(matches!(
            "1.2.3 g".parse::<Mass>(),
            Err(UnitError::NoNumber { .. })
        ));
        assert!(matches!(
            "NaN g".parse::<Mass>(),
            Err(UnitError::NoNumber { .. })
        ));
    }
}

//! Text → quantities. Forgiving about spacing, case, comma or point, and the unit's spelling.

use std::fmt;
use std::str::FromStr;

use super::{AirFlow, Area, Duration, Mass, Percent, RoomVolume, Temperature, Volume};

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

/// One unit's spellings and the factor to the base unit.
type Units = &'static [(&'static [&'static str], f64)];

const MASS: Units = &[
    (
        &["g", "gr", "gram", "grams", "gramme", "grammes", "gm"],
        1.0,
    ),
    (&["kg", "kilogram", "kilograms", "kilo", "kilos"], 1000.0),
    (&["mg", "milligram", "milligrams"], 0.001),
    // International avoirdupois: exact by definition (NIST SP 811, Appendix B).
    (&["oz", "ounce", "ounces"], 28.349_523_125),
    (&["lb", "lbs", "pound", "pounds"], 453.592_37),
];

const VOLUME: Units = &[
    (
        &["l", "litre", "litres", "liter", "liters", "dm3", "dm³"],
        1.0,
    ),
    (
        &[
            "ml",
            "millilitre",
            "millilitres",
            "milliliter",
            "milliliters",
            "cc",
            "cm3",
            "cm³",
        ],
        0.001,
    ),
    (&["cl", "centilitre", "centilitres"], 0.01),
    (&["dl", "decilitre", "decilitres"], 0.1),
    (&["m3", "m³"], 1000.0),
    // US customary: exact by definition (231 cubic inches a gallon, NIST Handbook 44, Appendix C).
    (
        &[
            "gal",
            "gallon",
            "gallons",
            "us gal",
            "us gallon",
            "us gallons",
        ],
        3.785_411_784,
    ),
    (&["qt", "quart", "quarts"], 0.946_352_946),
    (&["pt", "pint", "pints"], 0.473_176_473),
    (
        &[
            "fl oz",
            "floz",
            "fl. oz.",
            "fluid ounce",
            "fluid ounces",
            "us fl oz",
        ],
        0.029_573_529_562_5,
    ),
];

const HOURS: Units = &[
    (&["h", "hr", "hrs", "hour", "hours"], 1.0),
    (&["min", "minute", "minutes"], 1.0 / 60.0),
    (&["s", "sec", "second", "seconds"], 1.0 / 3600.0),
    (&["d", "day", "days"], 24.0),
    (&["week", "weeks"], 168.0),
    // A month is 30 days and a year 365: keeping times are not surveyors' work.
    (&["month", "months"], 720.0),
    (&["year", "years"], 8760.0),
];

const AIR_FLOW: Units = &[
    (&["m3/h", "m³/h", "m3/hr", "m³/hr", "m3h"], 1.0),
    (&["l/s"], 3.6),
    // Cubic feet a minute: 0.3048³ × 60 (NIST SP 811, Appendix B).
    (&["cfm", "ft3/min", "ft³/min"], 1.699_010_795_52),
];

const ROOM: Units = &[
    (&["m3", "m³"], 1.0),
    (&["ft3", "ft³", "cu ft"], 0.028_316_846_592),
];

const AREA: Units = &[
    (&["m2", "m²"], 1.0),
    (&["cm2", "cm²"], 1e-4),
    (&["ft2", "ft²", "sq ft"], 0.092_903_04),
];

/// Sides of a tray or sheet, m.
const SIDE: Units = &[
    (&["m"], 1.0),
    (&["cm"], 0.01),
    (&["mm"], 0.001),
    (&["in", "inch", "inches", "\"", "″"], 0.0254),
    (&["ft"], 0.3048),
];

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

/// How a stock becomes a working solution: parts of stock in parts of the whole.
///
/// `1+9` is one part of stock and nine of water; `1:10` is one part in ten, the chemist's
/// reading. The two differ, so `1:9` is taken as one part in nine and shown back as `1+8`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dilution {
    stock_parts: f64,
    water_parts: f64,
}

impl Dilution {
    /// Used as it is.
    pub const STOCK: Self = Self {
        stock_parts: 1.0,
        water_parts: 0.0,
    };

    /// The share of the working solution that is stock, above 0 up to 1.
    pub fn stock_share(self) -> f64 {
        self.stock_parts / (self.stock_parts + self.water_parts)
    }

    /// Whether water is added at all.
    pub fn dilutes(self) -> bool {
        self.water_parts > 0.0
    }
}

impl fmt::Display for Dilution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.dilutes() {
            write!(f, "{}+{}", self.stock_parts, self.water_parts)
        } else {
            f.write_str("stock")
        }
    }
}

impl FromStr for Dilution {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Self, UnitError> {
        let wrong = || UnitError::NotADilution {
            text: text.trim().to_owned(),
        };
        let folded = text.trim().to_lowercase();
        if matches!(
            folded.as_str(),
            "stock" | "undiluted" | "as is" | "full strength"
        ) {
            return Ok(Self::STOCK);
        }
        let plus = folded.split_once('+');
        let (first, second) = plus.or_else(|| folded.split_once(':')).ok_or_else(wrong)?;
        let part = |text: &str| match parse_number(text) {
            Some((value, "")) if (0.0..=1e6).contains(&value) => Ok(value),
            _ => Err(wrong()),
        };
        let (stock_parts, second) = (part(first)?, part(second)?);
        let water_parts = if plus.is_some() {
            second
        } else {
            second - stock_parts
        };
        if stock_parts <= 0.0 || water_parts < 0.0 {
            return Err(wrong());
        }
        Ok(Self {
            stock_parts,
            water_parts,
        })
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

    #[test]
    fn dilutions_say_parts_of_water_or_of_the_whole() {
        for (text, share) in [
            ("1+9", 0.1),
            ("1:10", 0.1),
            ("1 + 2", 1.0 / 3.0),
            ("stock", 1.0),
            ("1+0", 1.0),
        ] {
            assert!(
                near(text.parse::<Dilution>().unwrap().stock_share(), share),
                "{text}"
            );
        }
        for text in ["0+9", "1", "a+b", "2:1", "1+9 L", ""] {
            assert!(text.parse::<Dilution>().is_err(), "{text}");
        }
    }
}

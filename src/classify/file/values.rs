//! The values of a mixture file: shares, pH, estimates, M-factors, routes.

use std::collections::{BTreeMap, BTreeSet};
use std::str::FromStr;

use crate::classify::{Balance, Form, MFactors, Ph, Positive, Route};
use crate::source::yaml::{Node, Value};
use crate::source::{Fields, Mistake, Mistakes};
use crate::units::{Percent, parse_number};

/// `8`, `8 %`, `3..7`: a share by weight; the upper end is what counts (Canada's HPR 2.6).
#[derive(Debug, Clone, Copy)]
pub(super) struct Share {
    pub low: f64,
    pub high: Percent,
}

impl FromStr for Share {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let refuse = || format!("`{text}` is not a share in per cent; write it like `8` or `3..7`");
        let (low, high) = range(text, "%").ok_or_else(refuse)?;
        let high = Percent::from_percent(high).map_err(|error| error.to_string())?;
        if low < 0.0 {
            return Err(refuse());
        }
        Ok(Self { low, high })
    }
}

/// A number or a range `low..high` (or `low-high`), with a unit that may be left out.
fn range(text: &str, unit: &str) -> Option<(f64, f64)> {
    let number = |part: &str| {
        let (value, rest) = parse_number(part)?;
        (rest.is_empty() || rest == unit).then_some(value)
    };
    let text = text.trim();
    let dash = |text: &'_ str| {
        text.char_indices()
            .skip(1)
            .find(|(_, c)| matches!(c, '-' | '–'))
    };
    let parts = text.split_once("..").or_else(|| {
        dash(text).and_then(|(at, c)| Some((text.get(..at)?, text.get(at + c.len_utf8()..)?)))
    });
    let (low, high) = match parts {
        Some((low, high)) => (number(low)?, number(high)?),
        None => (number(text)?, number(text)?),
    };
    (low <= high).then_some((low, high))
}

impl FromStr for Ph {
    type Err = String;

    /// `13.2`, or a range `8.4..9.0`.
    fn from_str(text: &str) -> Result<Self, String> {
        let refuse = || format!("`{text}` is not a pH; write it like `8.7` or `8.4..9.0`");
        let (low, high) = range(text, "").ok_or_else(refuse)?;
        Self::between(low, high)
            .ok_or_else(|| format!("pH {text} is outside what water can have (-2 to 16)"))
    }
}

impl FromStr for Balance {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text.trim().to_lowercase().as_str() {
            "water" => Ok(Self::Water),
            "unknown" => Ok(Self::Unknown),
            _ => Err(format!(
                "`{text}` is not a balance; write `water` or `unknown`"
            )),
        }
    }
}

/// `20.5`, `20.5 mm2/s`: kinematic, at 40 °C.
pub(super) struct Viscosity(pub Positive);

impl FromStr for Viscosity {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        parse_number(text)
            .filter(|(_, rest)| ["", "mm2/s", "mm²/s", "cSt"].contains(rest))
            .and_then(|(value, _)| Positive::new(value))
            .map(Self)
            .ok_or_else(|| {
                format!("`{text}` is not a viscosity; write it like `7 mm2/s`, kinematic at 40 °C")
            })
    }
}

/// Yes or no, as YAML writes them.
pub(super) struct Answer(pub bool);

impl FromStr for Answer {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text.trim().to_lowercase().as_str() {
            "true" | "yes" => Ok(Self(true)),
            "false" | "no" => Ok(Self(false)),
            _ => Err(format!("`{text}` is neither `true` nor `false`")),
        }
    }
}

pub(super) fn estimates(node: &Node, mistakes: &mut Mistakes) -> BTreeMap<Route, Positive> {
    let routes: Vec<&str> = Route::ALL.iter().map(|route| route.word()).collect();
    let Some(fields) = Fields::of(node, "an acute toxicity estimate", &routes, mistakes) else {
        return BTreeMap::new();
    };
    Route::ALL
        .into_iter()
        .filter_map(|route| {
            let node = fields.get(route.word())?;
            Some((route, estimate(node, route, mistakes)?))
        })
        .collect()
}

fn estimate(node: &Node, route: Route, mistakes: &mut Mistakes) -> Option<Positive> {
    let unit = match route {
        Route::Oral | Route::Dermal => "mg/kg",
        Route::Gas => "ppm",
        Route::Vapour | Route::Dust => "mg/L",
    };
    let text = node.plain(mistakes)?;
    let value = parse_number(text)
        .filter(|(_, rest)| rest.is_empty() || rest.eq_ignore_ascii_case(unit))
        .and_then(|(value, _)| Positive::new(value));
    if value.is_none() {
        let message = format!("`{text}` is not an estimate in {unit} above 0");
        mistakes.note(Mistake::at(
            node.place.clone(),
            message,
            "write it like `125`",
        ));
    }
    value
}

pub(super) fn m_factors(node: &Node, mistakes: &mut Mistakes) -> MFactors {
    let fields = match &node.value {
        Value::Map(_) => Fields::of(node, "an M-factor", &["acute", "chronic"], mistakes),
        // Annex VI of CLP prints one `M=10` for both.
        _ => {
            let both = m_factor(node, mistakes);
            return MFactors {
                acute: both,
                chronic: both,
            };
        }
    };
    let mut of = |name| {
        let node = fields.as_ref()?.get(name)?;
        m_factor(node, mistakes)
    };
    MFactors {
        acute: of("acute"),
        chronic: of("chronic"),
    }
}

/// 1, or ten times that, and so on (CLP Annex I, Table 4.1.3).
fn m_factor(node: &Node, mistakes: &mut Mistakes) -> Option<Positive> {
    let text = node.plain(mistakes)?;
    let number = text.trim().trim_start_matches("M=").parse::<f64>().ok();
    let factor = number.filter(|value| *value >= 1.0).and_then(Positive::new);
    if factor.is_none() {
        let message = format!("`{text}` is not an M-factor, which is 1 or more");
        mistakes.note(Mistake::at(
            node.place.clone(),
            message,
            "write it like `10`",
        ));
    }
    factor
}

pub(super) fn unknown_routes(node: &Node, form: Form, mistakes: &mut Mistakes) -> BTreeSet<Route> {
    let Some(text) = node.plain(mistakes) else {
        return BTreeSet::new();
    };
    if text == "inhalation" {
        return form.breathed_as().iter().copied().collect();
    }
    let route = Route::ALL.into_iter().find(|route| route.word() == text);
    if route.is_none() {
        let message = format!("`{text}` is not a route");
        let help = "routes are oral, dermal, inhalation, and of breathing gas, vapour, dust";
        mistakes.note(Mistake::at(node.place.clone(), message, help));
    }
    route.into_iter().collect()
}

pub(super) fn supplemental(node: &Node, mistakes: &mut Mistakes) -> Option<String> {
    let text = node.plain(mistakes)?.trim();
    let digits = text.strip_prefix("EUH").unwrap_or("");
    if digits.len() >= 3 && digits.chars().take(3).all(|c| c.is_ascii_digit()) {
        return Some(text.to_owned());
    }
    let message = format!("`{text}` is not a supplemental statement");
    mistakes.note(Mistake::at(
        node.place.clone(),
        message,
        "write its code, like `EUH031`",
    ));
    None
}

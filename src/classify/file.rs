//! `MIXTURE.yaml` → [`Mixture`]; every mistake with its place.

use std::collections::{BTreeMap, BTreeSet};
use std::str::FromStr;
use std::sync::Arc;

use super::{Balance, Classes, Form, Ingredient, MFactors, Mixture, Ph, Positive, Route};
use crate::source::yaml::{self, Node, Value};
use crate::source::{Fields, Mistake, Mistakes, SourceFile};
use crate::units::{Percent, parse_number};

/// Gives the ingredient that a catalogue name stands for, or says why there is none.
pub type Chemicals<'a> = &'a dyn Fn(&str, Percent) -> Result<Ingredient, String>;

const MIXTURE: &[&str] = &[
    "mixture",
    "form",
    "ph",
    "flash_point",
    "boiling_point",
    "ingredients",
    "balance",
];

const INGREDIENT: &[&str] = &[
    "name",
    "chemical",
    "percent",
    "classification",
    "ate",
    "limits",
    "m",
    "unknown",
    "additive",
    "adds_with",
    "supplemental",
    "exposure_limit",
];

/// Reads a mixture file.
///
/// A share or pH given as a range (`3..7`) counts with its cautious end. A form left out is liquid:
/// then both vapour and mist are looked at.
///
/// # Errors
/// All mistakes of the file, in its order.
pub fn read_mixture(
    file: &Arc<SourceFile>,
    classes: &Classes,
    chemicals: Chemicals,
) -> Result<Mixture, Vec<Mistake>> {
    let mut mistakes = Mistakes::default();
    let reader = Reader { classes, chemicals };
    let mixture = mistakes
        .keep(yaml::parse(file))
        .and_then(|node| reader.mixture(&node, &mut mistakes));
    mistakes.or_value(mixture)
}

struct Reader<'a> {
    classes: &'a Classes,
    chemicals: Chemicals<'a>,
}

impl Reader<'_> {
    fn mixture(&self, node: &Node, mistakes: &mut Mistakes) -> Option<Mixture> {
        let fields = Fields::of(node, "a mixture", MIXTURE, mistakes)?;
        let form = fields.parse("form", mistakes).unwrap_or(Form::Liquid);
        let mixture = Mixture {
            name: fields
                .text("mixture", mistakes)
                .unwrap_or_else(|| node.place.file.name.clone()),
            form,
            ph: fields.parse("ph", mistakes),
            flash_point: fields.parse("flash_point", mistakes),
            boiling_point: fields.parse("boiling_point", mistakes),
            ingredients: self.ingredients(&fields, form, mistakes),
            balance: fields.parse("balance", mistakes).unwrap_or(Balance::Water),
        };
        Some(mixture)
    }

    fn ingredients(&self, fields: &Fields, form: Form, mistakes: &mut Mistakes) -> Vec<Ingredient> {
        let example = "[{name: ingredient A, percent: 8}]";
        if fields.required("ingredients", example, mistakes).is_none() {
            return Vec::new();
        }
        let mut ingredients = Vec::new();
        let mut least = 0.0;
        for node in fields.list("ingredients") {
            if let Some((ingredient, share)) = self.ingredient(node, form, mistakes) {
                least += share.low;
                ingredients.push(ingredient);
            }
        }
        if least > 100.0 + ROUNDING {
            mistakes.note(Mistake::at(
                fields.place().clone(),
                format!("the ingredients add up to {} %", crate::units::significant(least, 6)),
                "give shares by weight of the whole mixture; they cannot be more than 100 % together",
            ));
        }
        ingredients
    }

    fn ingredient(
        &self,
        node: &Node,
        form: Form,
        mistakes: &mut Mistakes,
    ) -> Option<(Ingredient, Share)> {
        let fields = Fields::of(node, "an ingredient", INGREDIENT, mistakes)?;
        let share: Option<Share> = fields
            .required("percent", "8", mistakes)
            .and_then(|node| node.parse(mistakes));
        let base = self.base(&fields, share, mistakes);
        let ingredient = self.described(base?, &fields, form, mistakes);
        Some((ingredient, share?))
    }

    /// The catalogue's ingredient, or one with a name and nothing else.
    fn base(
        &self,
        fields: &Fields,
        share: Option<Share>,
        mistakes: &mut Mistakes,
    ) -> Option<Ingredient> {
        let percent = share.map_or(Percent::from_percent(0.0).ok()?, |share| share.high);
        if let Some(node) = fields.get("chemical") {
            let found = (self.chemicals)(node.plain(mistakes)?, percent);
            let help = "write a name from the catalogue, or `name:` and its classification";
            return mistakes.keep(found.map_err(|why| Mistake::at(node.place.clone(), why, help)));
        }
        let name = fields.required("name", "ingredient A", mistakes)?;
        Some(Ingredient::new(name.plain(mistakes)?, percent, Vec::new()))
    }

    /// What is written in the file stands before what the catalogue says.
    fn described(
        &self,
        mut ingredient: Ingredient,
        fields: &Fields,
        form: Form,
        mistakes: &mut Mistakes,
    ) -> Ingredient {
        if let Some(name) = fields.text("name", mistakes) {
            ingredient.name = name;
        }
        if fields.get("classification").is_some() {
            ingredient.classification.clear();
            self.classification(fields, &mut ingredient, mistakes);
        }
        if let Some(node) = fields.get("ate") {
            ingredient.ate = estimates(node, mistakes);
        }
        if fields.get("limits").is_some() {
            let nodes = fields.list("limits").iter();
            let read = |node| self.read(node, mistakes, Classes::parse_limit);
            ingredient.limits = nodes.filter_map(read).collect();
        }
        if let Some(node) = fields.get("m") {
            ingredient.m = m_factors(node, mistakes);
        }
        for node in fields.list("unknown") {
            ingredient
                .unknown
                .extend(unknown_routes(node, form, mistakes));
        }
        if let Some(additive) = fields.parse::<Answer>("additive", mistakes) {
            ingredient.additive = additive.0;
        }
        if let Some(group) = fields.text("adds_with", mistakes) {
            ingredient.adds_with = Some(group);
        }
        for node in fields.list("supplemental") {
            ingredient.supplemental.extend(supplemental(node, mistakes));
        }
        if let Some(limit) = fields.parse::<Answer>("exposure_limit", mistakes) {
            ingredient.exposure_limit = limit.0;
        }
        ingredient
    }

    /// Classes; a supplemental code among them is taken as what it is.
    fn classification(
        &self,
        fields: &Fields,
        ingredient: &mut Ingredient,
        mistakes: &mut Mistakes,
    ) {
        for node in fields.list("classification") {
            let is_supplemental = node
                .text()
                .is_some_and(|text| text.starts_with("EUH") && self.classes.parse(text).is_err());
            if is_supplemental {
                ingredient.supplemental.extend(supplemental(node, mistakes));
            } else {
                let hazard = self.read(node, mistakes, Classes::parse);
                ingredient.classification.extend(hazard);
            }
        }
    }

    fn read<T>(
        &self,
        node: &Node,
        mistakes: &mut Mistakes,
        parse: impl Fn(&Classes, &str) -> Result<T, super::NotationError>,
    ) -> Option<T> {
        let text = node.plain(mistakes)?;
        let help = "as section 3 of the data sheet writes it";
        let read = parse(self.classes, text);
        mistakes.keep(read.map_err(|e| Mistake::at(node.place.clone(), e.to_string(), help)))
    }
}

/// Shares on data sheets are rounded; so much beyond 100 % is no mistake.
const ROUNDING: f64 = 0.5;

/// `8`, `8 %`, `3..7`: a share by weight; the upper end is what counts (Canada's HPR 2.6).
#[derive(Debug, Clone, Copy)]
struct Share {
    low: f64,
    high: Percent,
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

/// Yes or no, as YAML writes them.
struct Answer(bool);

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

fn estimates(node: &Node, mistakes: &mut Mistakes) -> BTreeMap<Route, Positive> {
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

fn m_factors(node: &Node, mistakes: &mut Mistakes) -> MFactors {
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

fn unknown_routes(node: &Node, form: Form, mistakes: &mut Mistakes) -> BTreeSet<Route> {
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

fn supplemental(node: &Node, mistakes: &mut Mistakes) -> Option<String> {
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

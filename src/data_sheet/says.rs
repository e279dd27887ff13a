//! What a data sheet says, section by section, as far as it was recorded.

use std::collections::{BTreeMap, BTreeSet};

use super::LimitSaid;
use crate::catalogue::{Catalogue, fold};
use crate::classify::{Classes, Limit};
use crate::source::yaml::{Node, Value};
use crate::source::{Fields, Mistake, Mistakes};
use crate::units::{Temperature, parse_number};

/// What was recorded; what is left out is the catalogue's.
#[derive(Debug, Clone, Default)]
pub struct Says {
    /// Hazard classes; an empty list says that it is not classified.
    pub classification: Option<Vec<String>>,
    /// EUH statements.
    pub supplemental: Option<Vec<String>>,
    /// Specific concentration limits: as written, and as read.
    pub specific_limits: Option<Vec<(String, Limit)>>,
    /// Glove materials.
    pub gloves: Option<GlovesSaid>,
    /// First aid by route: eyes, skin, breathed, swallowed.
    pub first_aid: BTreeMap<&'static str, String>,
    /// Workplace limits.
    pub limits: Vec<LimitSaid>,
    /// Density, kg/L, 0.5 to 4.
    pub density: Option<f64>,
    /// Flash point.
    pub flash_point: Option<Temperature>,
    /// pH as printed: a figure or a range, 0 to 14.
    pub ph: Option<String>,
    /// How it is kept.
    pub storage: Option<String>,
    /// Transport.
    pub transport: Option<TransportSaid>,
}

/// Glove materials; a list that is left out is the catalogue's.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct GlovesSaid {
    /// Enough for a splash.
    pub splash: Vec<String>,
    /// For longer contact.
    pub long: Vec<String>,
    /// Do not use.
    pub unsuitable: Vec<String>,
}

/// UN number, class and packing group; no number where it is no dangerous good.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TransportSaid {
    /// `UN 1789`, or `none`.
    pub un: String,
    /// Class.
    pub class: Option<String>,
    /// Packing group.
    pub group: Option<String>,
}

/// The routes of first aid.
pub const ROUTES: [&str; 4] = ["eyes", "skin", "breathed", "swallowed"];

/// A sentence that nobody can read in an emergency is no first aid.
const LONGEST_TEXT: usize = 600;

/// What stands between the name of a thing and its place in the file.
pub struct Said<'a> {
    /// The table of hazard classes.
    pub classes: &'a Classes,
    /// The bodies that set limits are those of its chemicals.
    pub catalogue: &'a Catalogue,
}

impl Said<'_> {
    /// Takes what a data sheet says out of the fields of its file.
    pub fn read(&self, fields: &Fields<'_>, mistakes: &mut Mistakes) -> Says {
        Says {
            classification: self.classification(fields, mistakes),
            supplemental: supplemental(fields, mistakes),
            specific_limits: self.specific_limits(fields, mistakes),
            gloves: fields.get("gloves").map(|node| gloves(node, mistakes)),
            first_aid: fields
                .get("first_aid")
                .map(|node| first_aid(node, mistakes))
                .unwrap_or_default(),
            limits: self.limits(fields, mistakes),
            density: fields
                .get("density")
                .and_then(|node| density(node, mistakes)),
            flash_point: fields.parse("flash_point", mistakes),
            ph: fields.get("ph").and_then(|node| ph(node, mistakes)),
            storage: fields.get("storage").and_then(|node| text(node, mistakes)),
            transport: fields
                .get("transport")
                .and_then(|node| transport(node, mistakes)),
        }
    }

    /// By bodies the catalogue knows: where another rules, and so whether its limit is in force,
    /// could not be told.
    fn limits(&self, fields: &Fields<'_>, mistakes: &mut Mistakes) -> Vec<LimitSaid> {
        let limits = self.catalogue.chemicals().flat_map(|c| &c.limits);
        let bodies: BTreeSet<&str> = limits.map(|limit| limit.body.as_str()).collect();
        let mut found = Vec::new();
        for node in fields.list("limits") {
            let Some(said) = node.parse::<LimitSaid>(mistakes) else {
                continue;
            };
            match bodies.iter().find(|body| fold(body) == fold(&said.body)) {
                Some(body) => found.push(LimitSaid {
                    body: (*body).to_owned(),
                    ..said
                }),
                None => {
                    let message = format!("`{}` sets no limits known here", said.body);
                    let known: Vec<&str> = bodies.iter().copied().collect();
                    let help = format!("known are {}", known.join(", "));
                    mistakes.note(Mistake::at(node.place.clone(), message, help));
                }
            }
        }
        found
    }

    fn classification(&self, fields: &Fields<'_>, mistakes: &mut Mistakes) -> Option<Vec<String>> {
        let node = fields.get("classification")?;
        if node.text().is_some_and(|text| text == "none") {
            return Some(Vec::new());
        }
        let items = fields.list("classification");
        if items.is_empty() {
            let help = "write `none` where the sheet says that it is not classified; leave the line away where nothing was recorded";
            mistakes.note(Mistake::at(
                node.place.clone(),
                "`classification` is an empty list",
                help,
            ));
        }
        let help = "write it as the sheet's section 2 does, like `Eye Dam. 1 H318`";
        let mut found = Vec::new();
        for (node, class) in plain(items, mistakes) {
            let read = self
                .classes
                .parse(class)
                .map_err(|error| Mistake::at(node.place.clone(), error.to_string(), help));
            found.extend(mistakes.keep(read).map(|_| class.to_owned()));
        }
        Some(found)
    }

    fn specific_limits(
        &self,
        fields: &Fields<'_>,
        mistakes: &mut Mistakes,
    ) -> Option<Vec<(String, Limit)>> {
        fields.get("specific_limits")?;
        let help =
            "write it like `Skin Corr. 1B H314 >= 5` or `Eye Irrit. 2 H319 0.5..2`, in percent";
        let mut found = Vec::new();
        for (node, limit) in plain(fields.list("specific_limits"), mistakes) {
            let read = self
                .classes
                .parse_limit(limit)
                .map_err(|error| Mistake::at(node.place.clone(), error.to_string(), help));
            found.extend(mistakes.keep(read).map(|read| (limit.to_owned(), read)));
        }
        Some(found)
    }
}

/// The plain values of a list.
fn plain<'n>(items: &'n [Node], mistakes: &mut Mistakes) -> Vec<(&'n Node, &'n str)> {
    items
        .iter()
        .filter_map(|node| Some((node, node.plain(mistakes)?.trim())))
        .collect()
}

fn text(node: &Node, mistakes: &mut Mistakes) -> Option<String> {
    let text = node.plain(mistakes)?.trim();
    let length = text.chars().count();
    if length > LONGEST_TEXT {
        let message = format!("{length} characters stand here; nobody reads that beside a tray");
        let help = format!("write what matters in at most {LONGEST_TEXT}");
        mistakes.note(Mistake::at(node.place.clone(), message, help));
        return None;
    }
    Some(text.to_owned()).filter(|text| !text.is_empty())
}

fn supplemental(fields: &Fields<'_>, mistakes: &mut Mistakes) -> Option<Vec<String>> {
    fields.get("supplemental")?;
    let mut found = Vec::new();
    for (node, code) in plain(fields.list("supplemental"), mistakes) {
        let known = code.strip_prefix("EUH").is_some_and(|rest| {
            rest.len() >= 3
                && rest.is_char_boundary(3)
                && rest[..3].bytes().all(|b| b.is_ascii_digit())
        });
        if known {
            found.push(code.to_owned());
        } else {
            mistakes.note(Mistake::at(
                node.place.clone(),
                format!("`{code}` is no supplemental statement"),
                "write its code, like `EUH066`; H statements stand under `classification`",
            ));
        }
    }
    Some(found)
}

fn gloves(node: &Node, mistakes: &mut Mistakes) -> GlovesSaid {
    let materials = |items: &[Node], mistakes: &mut Mistakes| {
        plain(items, mistakes)
            .into_iter()
            .map(|(_, material)| material.to_owned())
            .collect::<Vec<_>>()
    };
    match &node.value {
        Value::Map(_) => {
            let known = ["splash", "long", "unsuitable"];
            let Some(fields) = Fields::of(node, "gloves", &known, mistakes) else {
                return GlovesSaid::default();
            };
            GlovesSaid {
                splash: materials(fields.list("splash"), mistakes),
                long: materials(fields.list("long"), mistakes),
                unsuitable: materials(fields.list("unsuitable"), mistakes),
            }
        }
        Value::List(items) => GlovesSaid {
            long: materials(items, mistakes),
            ..GlovesSaid::default()
        },
        _ => GlovesSaid {
            long: materials(std::slice::from_ref(node), mistakes),
            ..GlovesSaid::default()
        },
    }
}

fn first_aid(node: &Node, mistakes: &mut Mistakes) -> BTreeMap<&'static str, String> {
    let Some(fields) = Fields::of(node, "first aid", &ROUTES, mistakes) else {
        return BTreeMap::new();
    };
    let said = ROUTES
        .iter()
        .filter_map(|route| Some((*route, text(fields.get(route)?, mistakes)?)));
    said.collect()
}

fn density(node: &Node, mistakes: &mut Mistakes) -> Option<f64> {
    let text = node.plain(mistakes)?;
    let read = parse_number(text).filter(|(_, unit)| {
        matches!(
            unit.to_lowercase().as_str(),
            "kg/l" | "g/ml" | "g/cm3" | "g/cm³"
        )
    });
    let value = read
        .map(|(value, _)| value)
        .filter(|value| (0.5..=4.0).contains(value));
    if value.is_none() {
        let message = format!("`{text}` is not a density from 0.5 to 4 kg/L");
        mistakes.note(Mistake::at(
            node.place.clone(),
            message,
            "write it with its unit, like `1.05 kg/L` or `1.05 g/mL`",
        ));
    }
    value
}

/// A figure, or a range of two with a dash between.
fn ph(node: &Node, mistakes: &mut Mistakes) -> Option<String> {
    let text = node.plain(mistakes)?.trim();
    let (low, high) = text.split_once(['-', '–']).unwrap_or((text, text));
    let read = |text: &str| {
        parse_number(text)
            .filter(|(value, rest)| rest.is_empty() && (0.0..=14.0).contains(value))
            .map(|(value, _)| value)
    };
    let range = read(low).zip(read(high)).filter(|(low, high)| low <= high);
    if range.is_none() {
        mistakes.note(Mistake::at(
            node.place.clone(),
            format!("`{text}` is not a pH"),
            "write a figure from 0 to 14, or a range like `2-3`",
        ));
    }
    range.map(|_| text.replace('-', "–"))
}

/// `UN 1789, class 8, group II`, or `none`.
fn transport(node: &Node, mistakes: &mut Mistakes) -> Option<TransportSaid> {
    let text = node.plain(mistakes)?;
    let said = read_transport(text);
    if said.is_none() {
        mistakes.note(Mistake::at(
            node.place.clone(),
            format!("`{text}` is no transport entry"),
            "write it like `UN 1789, class 8, group II`, or `none` where it is no dangerous good",
        ));
    }
    said
}

fn read_transport(text: &str) -> Option<TransportSaid> {
    let mut parts = text.split(',').map(str::trim);
    let number = parts.next()?;
    let mut said = TransportSaid {
        un: String::new(),
        class: None,
        group: None,
    };
    said.un = match number.to_uppercase().strip_prefix("UN") {
        Some(digits) => {
            let digits = digits.trim();
            let is_number = digits.len() == 4 && digits.bytes().all(|b| b.is_ascii_digit());
            is_number.then(|| format!("UN {digits}"))?
        }
        None => (number == "none").then(|| number.to_owned())?,
    };
    for part in parts {
        if let Some(class) = part.strip_prefix("class ") {
            said.class = Some(class.trim().to_owned());
        } else {
            let group = part
                .trim_start_matches("packing ")
                .trim_start_matches("group ");
            said.group = Some(matches!(group, "I" | "II" | "III").then(|| group.to_owned())?);
        }
    }
    Some(said)
}

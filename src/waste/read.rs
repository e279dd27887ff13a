//! A waste file as the person writes it → a [`WasteDescription`], or every mistake in it.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::NaiveDate;

use crate::source::yaml::{self, Node, Value};
use crate::source::{Fields, Mistake, Mistakes, SourceFile};
use crate::units::{Area, Mass, Volume, parse_number};

use super::chemical::{Chemicals, WasteChemical};
use super::description::{Drain, DrainKind, Emptied, Holder, Ingredient, Share, WasteDescription};
use super::facts::METALS;
use super::pack::Streams;

const FIELDS: &[&str] = &[
    "waste",
    "stream",
    "unused",
    "holder",
    "nation",
    "ph",
    "flash_point",
    "water_percent",
    "density",
    "volume",
    "mass",
    "mg_per_l",
    "contains",
    "clean",
    "made_this_month",
    "acute_this_month",
    "acute_spill_this_month",
    "made_this_year",
    "held",
    "acute_held",
    "since",
    "distance",
    "satellite",
    "satellite_over_since",
    "drain",
    "emptied",
];

/// Reads a waste file.
///
/// # Errors
/// Every mistake in the file, with its place.
pub fn read(
    file: &Arc<SourceFile>,
    streams: &Streams,
    chemicals: &dyn Chemicals,
) -> Result<WasteDescription, Vec<Mistake>> {
    let root = yaml::parse(file).map_err(|mistake| vec![mistake])?;
    let mut reader = Reader {
        streams,
        chemicals,
        mistakes: Mistakes::default(),
    };
    let waste = reader.waste(&root);
    reader.mistakes.or_value(waste)
}

struct Reader<'a> {
    streams: &'a Streams,
    chemicals: &'a dyn Chemicals,
    mistakes: Mistakes,
}

impl Reader<'_> {
    fn waste(&mut self, root: &Node) -> Option<WasteDescription> {
        let fields = Fields::of(root, "a waste file", FIELDS, &mut self.mistakes)?;
        // One chemical never used is judged by everything said of it.
        let unused = fields.get("unused").and_then(|node| self.chemical(node));
        let unused = unused.map(|chemical| chemical.with_all_classes());
        let stream = self.stream(&fields);
        let mut waste = WasteDescription {
            name: self.name(&fields),
            stream: stream.unwrap_or_default(),
            unused,
            contains: fields
                .list("contains")
                .iter()
                .filter_map(|node| self.ingredient(node))
                .collect(),
            mg_per_l: self.metals(fields.get("mg_per_l")),
            drain: fields.get("drain").and_then(|node| self.drain(node)),
            emptied: fields.get("emptied").and_then(|node| self.emptied(node)),
            ..WasteDescription::default()
        };
        self.measurements(&fields, &mut waste);
        self.accounts(&fields, &mut waste);
        Some(waste)
    }

    fn name(&mut self, fields: &Fields) -> String {
        let given = fields.text("waste", &mut self.mistakes);
        given
            .or_else(|| {
                fields
                    .get("unused")
                    .and_then(Node::text)
                    .map(|name| format!("unused {name}"))
            })
            .or_else(|| fields.get("stream").and_then(Node::text).map(str::to_owned))
            .unwrap_or_else(|| "waste".to_owned())
    }

    fn stream(&mut self, fields: &Fields) -> Option<String> {
        match (fields.get("stream"), fields.get("unused")) {
            (Some(node), None) => self.stream_name(node),
            (None, Some(_)) => Some("unused-chemical".to_owned()),
            (Some(node), Some(_)) => {
                let name = self.stream_name(node)?;
                if name != "unused-chemical" {
                    let message =
                        format!("a chemical that was never used is not in the stream `{name}`");
                    self.note(node, message, "leave out `stream`, or leave out `unused`");
                }
                Some(name)
            }
            (None, None) => {
                let place = fields.place().clone();
                let names: Vec<&str> = self.streams.keys().map(String::as_str).collect();
                let mistake = Mistake::at(
                    place,
                    "a waste file needs `stream`, or `unused` for a chemical never used",
                    "add a line like `stream: spent-fixer`, or `stream: unknown`",
                )
                .or(format!("streams are {}", names.join(", ")));
                self.mistakes.note(mistake);
                None
            }
        }
    }

    fn stream_name(&mut self, node: &Node) -> Option<String> {
        let name = node
            .plain(&mut self.mistakes)?
            .trim()
            .to_lowercase()
            .replace([' ', '_'], "-");
        if self.streams.contains_key(&name) {
            return Some(name);
        }
        let near = crate::source::nearest(&name, self.streams.keys().map(String::as_str));
        let names: Vec<&str> = self.streams.keys().map(String::as_str).collect();
        let all = format!("streams are {}", names.join(", "));
        let message = format!("`{name}` is no waste stream");
        let mistake = match near {
            Some(near) => Mistake::at(
                node.place.clone(),
                message,
                format!("did you mean `{near}`?"),
            )
            .or(all),
            None => Mistake::at(node.place.clone(), message, all),
        };
        self.mistakes.note(mistake);
        None
    }

    fn measurements(&mut self, fields: &Fields, waste: &mut WasteDescription) {
        waste.ph = self.number(fields, "ph", (-1.0, 15.0));
        waste.water_percent = self.number(fields, "water_percent", (0.0, 100.0));
        waste.density = self.number(fields, "density", (0.5, 4.0));
        waste.flash_point = fields.parse("flash_point", &mut self.mistakes);
        waste.volume = fields.parse("volume", &mut self.mistakes);
        waste.mass = fields.parse("mass", &mut self.mistakes);
        waste.clean = self.yes_or_no(fields, "clean");
    }

    fn accounts(&mut self, fields: &Fields, waste: &mut WasteDescription) {
        waste.holder = fields.get("holder").and_then(|node| self.holder(node));
        waste.nation = fields.get("nation").and_then(|node| self.nation(node));
        waste.made_this_month_kg = self.kilograms(fields, "made_this_month");
        waste.acute_this_month_kg = self.kilograms(fields, "acute_this_month");
        waste.acute_spill_kg = self.kilograms(fields, "acute_spill_this_month");
        waste.made_this_year_kg = self.kilograms(fields, "made_this_year");
        waste.held_kg = self.kilograms(fields, "held");
        waste.acute_held_kg = self.kilograms(fields, "acute_held");
        waste.since = self.date(fields, "since");
        waste.distance_miles = fields.get("distance").and_then(|node| self.distance(node));
        let satellite: Option<Volume> = fields.parse("satellite", &mut self.mistakes);
        waste.satellite_l = satellite.map(Volume::litres);
        waste.satellite_over_since = self.date(fields, "satellite_over_since");
    }

    fn ingredient(&mut self, node: &Node) -> Option<Ingredient> {
        const KNOWN: &[&str] = &["chemical", "percent", "percent_by_volume", "g_per_l"];
        let fields = Fields::of(node, "an ingredient", KNOWN, &mut self.mistakes)?;
        let chemical = fields.required("chemical", "hydroquinone", &mut self.mistakes);
        let chemical = chemical.and_then(|node| self.chemical(node));
        let shares = [
            self.number(&fields, "percent", (0.0, 100.0))
                .map(Share::Percent),
            self.number(&fields, "percent_by_volume", (0.0, 100.0))
                .map(Share::PercentByVolume),
            self.number(&fields, "g_per_l", (0.0, 4000.0))
                .map(Share::GramsPerLitre),
        ];
        let mut given = shares.into_iter().flatten();
        let share = given.next();
        let has_any = KNOWN[1..].iter().any(|name| fields.get(name).is_some());
        if given.next().is_some() {
            self.note(
                node,
                "the amount stands here in two ways",
                "keep one of `percent`, `percent_by_volume`, `g_per_l`",
            );
        } else if !has_any {
            self.note(
                node,
                "how much of it is there?",
                "add `percent: 1.5` (by weight), or `g_per_l: 10`",
            );
        }
        Some(Ingredient {
            chemical: chemical?,
            share: share?,
        })
    }

    fn chemical(&mut self, node: &Node) -> Option<WasteChemical> {
        let name = node.plain(&mut self.mistakes)?;
        match self.chemicals.find(name) {
            Ok(chemical) => Some(chemical),
            Err((message, help)) => {
                self.note(node, message, &help);
                None
            }
        }
    }

    /// Named figures in mg/L.
    fn metals(&mut self, node: Option<&Node>) -> BTreeMap<String, f64> {
        let names: Vec<&str> = METALS.iter().map(|(name, _)| *name).collect();
        let Some(node) = node else {
            return BTreeMap::new();
        };
        let Some(fields) = Fields::of(node, "mg_per_l", &names, &mut self.mistakes) else {
            return BTreeMap::new();
        };
        names
            .iter()
            .filter_map(|name| {
                let value = self.number(&fields, name, (0.0, 1e6))?;
                Some(((*name).to_owned(), value))
            })
            .collect()
    }

    fn drain(&mut self, node: &Node) -> Option<Drain> {
        if let Value::Text(_) = node.value {
            let to = self.drain_kind(node);
            return Some(Drain {
                to,
                ..Drain::default()
            });
        }
        const KNOWN: &[&str] = &[
            "to",
            "hazardous_per_month",
            "acute",
            "processed_per_day",
            "direct",
            "local_mg_per_l",
        ];
        let fields = Fields::of(node, "drain", KNOWN, &mut self.mistakes)?;
        let area: Option<Area> = fields.parse("processed_per_day", &mut self.mistakes);
        Some(Drain {
            to: fields.get("to").and_then(|node| self.drain_kind(node)),
            kg_per_month: self.kilograms(&fields, "hazardous_per_month"),
            acute: self.yes_or_no(&fields, "acute"),
            m2_per_day: area.map(Area::m2),
            direct: self.yes_or_no(&fields, "direct"),
            local_mg_per_l: self.metals(fields.get("local_mg_per_l")),
        })
    }

    fn emptied(&mut self, node: &Node) -> Option<Emptied> {
        const KNOWN: &[&str] = &[
            "capacity",
            "residue_percent",
            "residue_cm",
            "held",
            "rinses",
        ];
        let fields = Fields::of(node, "emptied", KNOWN, &mut self.mistakes)?;
        fields.required("capacity", "4 L", &mut self.mistakes);
        let residue_percent = self.number(&fields, "residue_percent", (0.0, 100.0));
        let residue_cm = self.number(&fields, "residue_cm", (0.0, 1000.0));
        let rinses = self.number(&fields, "rinses", (0.0, 100.0)).unwrap_or(0.0) as u32;
        // A stream's name is no chemical: a spent bath is never on the list of acute chemicals.
        let held = fields.get("held").and_then(|node| {
            let stream = node
                .text()
                .is_some_and(|name| self.streams.contains_key(name));
            if stream { None } else { self.chemical(node) }
        });
        Some(Emptied {
            capacity: fields.parse("capacity", &mut self.mistakes)?,
            residue_percent,
            residue_cm,
            held,
            rinses,
        })
    }

    fn number(&mut self, fields: &Fields, name: &str, (low, high): (f64, f64)) -> Option<f64> {
        let node = fields.get(name)?;
        let text = node.plain(&mut self.mistakes)?.trim().trim_end_matches('%');
        match parse_number(text) {
            Some((value, "")) if (low..=high).contains(&value) => Some(value),
            Some((value, "")) => {
                self.note(
                    node,
                    format!("{value} is outside what `{name}` can be ({low} to {high})"),
                    "correct this value",
                );
                None
            }
            _ => {
                self.note(
                    node,
                    format!("`{text}` is not a plain number"),
                    &format!("write `{name}` as a number without a unit"),
                );
                None
            }
        }
    }

    fn kilograms(&mut self, fields: &Fields, name: &str) -> Option<f64> {
        let mass: Option<Mass> = fields.parse(name, &mut self.mistakes);
        mass.map(|mass| mass.grams() / 1000.0)
    }

    fn date(&mut self, fields: &Fields, name: &str) -> Option<NaiveDate> {
        let node = fields.get(name)?;
        let text = node.plain(&mut self.mistakes)?;
        let date = NaiveDate::parse_from_str(text, "%Y-%m-%d").ok();
        if date.is_none() {
            self.note(
                node,
                format!("`{text}` is not a date"),
                "write it as `2026-12-03`",
            );
        }
        date
    }

    fn distance(&mut self, node: &Node) -> Option<f64> {
        /// Kilometres in an international mile, exact (NIST SP 811, Appendix B).
        const KM_PER_MILE: f64 = 1.609_344;
        let text = node.plain(&mut self.mistakes)?;
        match parse_number(text) {
            Some((value, "miles" | "mile" | "mi")) => Some(value),
            Some((value, "km")) => Some(value / KM_PER_MILE),
            _ => {
                self.note(
                    node,
                    format!("`{text}` is not a distance"),
                    "write it as `120 miles` or `190 km`",
                );
                None
            }
        }
    }

    fn yes_or_no(&mut self, fields: &Fields, name: &str) -> bool {
        let Some(node) = fields.get(name) else {
            return false;
        };
        match node.text() {
            Some("yes" | "true") => true,
            Some("no" | "false") => false,
            _ => {
                self.note(
                    node,
                    format!("`{name}` is `yes` or `no`"),
                    "write one of the two",
                );
                false
            }
        }
    }

    fn holder(&mut self, node: &Node) -> Option<Holder> {
        self.choice(
            node,
            "holder",
            &[
                ("business", Holder::Business),
                ("school", Holder::School),
                ("private", Holder::Private),
            ],
        )
    }

    fn drain_kind(&mut self, node: &Node) -> Option<DrainKind> {
        self.choice(
            node,
            "drain",
            &[
                ("sewer", DrainKind::Sewer),
                ("septic", DrainKind::Septic),
                ("none", DrainKind::None),
            ],
        )
    }

    fn nation(&mut self, node: &Node) -> Option<String> {
        let names = ["england", "wales", "scotland", "northern-ireland"];
        let choices: Vec<(&str, String)> = names
            .iter()
            .map(|name| (*name, (*name).to_owned()))
            .collect();
        self.choice(node, "nation", &choices)
    }

    fn choice<T: Clone>(&mut self, node: &Node, what: &str, choices: &[(&str, T)]) -> Option<T> {
        let text = node
            .plain(&mut self.mistakes)?
            .trim()
            .to_lowercase()
            .replace(' ', "-");
        let found = choices.iter().find(|(name, _)| *name == text);
        if found.is_none() {
            let names: Vec<&str> = choices.iter().map(|(name, _)| *name).collect();
            self.note(
                node,
                format!("`{text}` is no {what}"),
                &format!("write one of {}", names.join(", ")),
            );
        }
        found.map(|(_, value)| value.clone())
    }

    fn note(&mut self, node: &Node, message: impl Into<String>, help: &str) {
        self.mistakes
            .note(Mistake::at(node.place.clone(), message, help));
    }
}

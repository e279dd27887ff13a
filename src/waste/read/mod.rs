//! A waste file as the person writes it → a [`WasteDescription`], or every mistake in it.

mod parts;
mod values;

use std::sync::Arc;

use crate::source::yaml::{self, Node};
use crate::source::{Fields, Mistake, Mistakes, SourceFile};
use crate::units::Volume;

use super::chemical::{Chemicals, WasteChemical};
use super::description::WasteDescription;
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

    fn note(&mut self, node: &Node, message: impl Into<String>, help: &str) {
        self.mistakes
            .note(Mistake::at(node.place.clone(), message, help));
    }
}

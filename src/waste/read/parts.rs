//! The parts of a waste file that have fields of their own: ingredients, metals, drain, emptied.

use std::collections::BTreeMap;

use crate::source::Fields;
use crate::source::yaml::{Node, Value};
use crate::units::Area;
use crate::waste::description::{Drain, Emptied, Ingredient, Share};
use crate::waste::facts::METALS;

use super::Reader;

impl Reader<'_> {
    pub(super) fn ingredient(&mut self, node: &Node) -> Option<Ingredient> {
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

    /// Named figures in mg/L.
    pub(super) fn metals(&mut self, node: Option<&Node>) -> BTreeMap<String, f64> {
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

    pub(super) fn drain(&mut self, node: &Node) -> Option<Drain> {
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

    pub(super) fn emptied(&mut self, node: &Node) -> Option<Emptied> {
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
}

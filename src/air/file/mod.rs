//! `AIR.yaml` → a case, or every mistake in it with its place.

mod let_out;

use std::str::FromStr;
use std::sync::Arc;

use crate::source::yaml::{self, Node};
use crate::source::{Fields, Mistake, Mistakes, SourceFile};
use crate::units::Duration;

use super::case::{AirCase, FreshAir, Inlet, NearField, Outlet, Speciation};
use super::gases::Gases;

const CASE: &[&str] = &[
    "room",
    "fresh_air",
    "fan",
    "window",
    "mixing",
    "near_field",
    "releases",
    "open",
    "fill",
    "weigh",
    "until",
];

struct Reader<'a> {
    gases: &'a Gases,
    speciation: &'a dyn Speciation,
    mistakes: Mistakes,
}

/// Reads a case; `speciation` says what is volatile in the solutions it names.
///
/// # Errors
/// Everything in the file that cannot be taken as it stands.
pub fn read(
    file: &Arc<SourceFile>,
    gases: &Gases,
    speciation: &dyn Speciation,
) -> Result<AirCase, Vec<Mistake>> {
    let node = yaml::parse(file).map_err(|mistake| vec![mistake])?;
    let mut reader = Reader {
        gases,
        speciation,
        mistakes: Mistakes::default(),
    };
    let case = reader.case(&node);
    reader.mistakes.or_value(case)
}

impl Reader<'_> {
    fn case(&mut self, node: &Node) -> Option<AirCase> {
        let fields = Fields::of(node, "an air file", CASE, &mut self.mistakes)?;
        let room = self.needed(&fields, "room", "30 m3");
        let until: Option<Duration> = self.needed(&fields, "until", "8 h");
        if until.is_some_and(|until| until.hours() <= 0.0) {
            self.fault(
                fields.get("until"),
                "there is no time to look at",
                "write a time above 0",
            );
        }
        let fresh_air = self.fresh_air(&fields);
        let window_open = self
            .choice(&fields, "window", &[("open", true), ("shut", false)])
            .unwrap_or(false);
        let mixing = fields.parse("mixing", &mut self.mistakes);
        let near_field = fields
            .get("near_field")
            .map(|node| self.near_field(node))
            .unwrap_or_default();
        let releases = fields
            .list("releases")
            .iter()
            .map(|node| self.release(node))
            .collect::<Vec<_>>();
        let baths = fields
            .list("open")
            .iter()
            .map(|node| self.bath(node))
            .collect::<Vec<_>>();
        let fillings = fields
            .list("fill")
            .iter()
            .map(|node| self.filling(node))
            .collect::<Vec<_>>();
        let weighings = fields
            .list("weigh")
            .iter()
            .map(|node| self.weighing(node))
            .collect::<Vec<_>>();
        Some(AirCase {
            room: room?,
            fresh_air,
            window_open,
            mixing,
            near_field,
            releases: releases.into_iter().flatten().collect(),
            baths: baths.into_iter().flatten().collect(),
            fillings: fillings.into_iter().flatten().collect(),
            weighings: weighings.into_iter().flatten().collect(),
            until: until?,
        })
    }

    fn needed<T: FromStr>(&mut self, fields: &Fields<'_>, name: &str, example: &str) -> Option<T>
    where
        T::Err: std::fmt::Display,
    {
        fields
            .required(name, example, &mut self.mistakes)?
            .parse(&mut self.mistakes)
    }

    fn fault(&mut self, node: Option<&Node>, message: &str, help: &str) {
        if let Some(node) = node {
            self.mistakes
                .note(Mistake::at(node.place.clone(), message, help));
        }
    }

    fn choice<T: Copy>(
        &mut self,
        fields: &Fields<'_>,
        name: &str,
        known: &[(&str, T)],
    ) -> Option<T> {
        let node = fields.get(name)?;
        let text = node.plain(&mut self.mistakes)?;
        let found = known
            .iter()
            .find(|(word, _)| *word == text)
            .map(|(_, value)| *value);
        if found.is_none() {
            let words: Vec<&str> = known.iter().map(|(word, _)| *word).collect();
            let message = format!("`{text}` is no answer to `{name}`");
            self.fault(
                Some(node),
                &message,
                &format!("write {}", words.join(" or ")),
            );
        }
        found
    }

    fn fresh_air(&mut self, fields: &Fields<'_>) -> FreshAir {
        match (fields.get("fresh_air"), fields.get("fan")) {
            (Some(_), Some(fan)) => {
                self.fault(
                    Some(fan),
                    "fresh air is stated twice",
                    "keep `fresh_air` if it was measured, else `fan`",
                );
                FreshAir::NotStated
            }
            (Some(node), None) => node
                .parse(&mut self.mistakes)
                .map_or(FreshAir::NotStated, FreshAir::Stated),
            (None, Some(node)) => self.fan(node).unwrap_or(FreshAir::NotStated),
            (None, None) => FreshAir::NotStated,
        }
    }

    fn fan(&mut self, node: &Node) -> Option<FreshAir> {
        if node.text().is_some() {
            let rated = node.parse(&mut self.mistakes)?;
            return Some(FreshAir::Fan {
                rated,
                outlet: Outlet::Unknown,
                inlet: Inlet::Unknown,
            });
        }
        let fields = Fields::of(
            node,
            "a fan",
            &["rated", "blows", "inlet"],
            &mut self.mistakes,
        )?;
        let rated = self.needed(&fields, "rated", "150 m3/h");
        let outlets = [
            ("outdoors", Outlet::Outdoors),
            ("same room", Outlet::SameRoom),
        ];
        let inlets = [("open", Inlet::Open), ("none", Inlet::Shut)];
        let outlet = self
            .choice(&fields, "blows", &outlets)
            .unwrap_or(Outlet::Unknown);
        let inlet = self
            .choice(&fields, "inlet", &inlets)
            .unwrap_or(Inlet::Unknown);
        Some(FreshAir::Fan {
            rated: rated?,
            outlet,
            inlet,
        })
    }

    fn near_field(&mut self, node: &Node) -> NearField {
        let Some(fields) = Fields::of(
            node,
            "the near field",
            &["radius", "air_speed"],
            &mut self.mistakes,
        ) else {
            return NearField::default();
        };
        NearField {
            radius: fields.parse("radius", &mut self.mistakes),
            air_speed: fields.parse("air_speed", &mut self.mistakes),
        }
    }

    fn misplaced(&mut self, fields: &Fields<'_>, name: &str, help: &str) {
        self.fault(
            fields.get(name),
            &format!("`{name}` means nothing here"),
            help,
        );
    }

    /// When something begins; from the start when it is left out.
    fn from(&mut self, fields: &Fields<'_>) -> Option<Duration> {
        match fields.get("from") {
            Some(node) => node.parse(&mut self.mistakes),
            None => Duration::from_hours(0.0).ok(),
        }
    }

    fn gas(&mut self, node: &Node) -> Option<String> {
        let name = node.plain(&mut self.mistakes)?;
        if let Some(gas) = self.gases.find(name) {
            return Some(gas.id.clone());
        }
        let help = match self.gases.nearest(name) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "write it by name, formula or CAS number".to_owned(),
        };
        self.fault(Some(node), &format!("`{name}` is no gas on file"), &help);
        None
    }
}

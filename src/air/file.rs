//! `AIR.yaml` → a case, or every mistake in it with its place.

use std::str::FromStr;
use std::sync::Arc;

use crate::source::yaml::{self, Node};
use crate::source::{Fields, Mistake, Mistakes, SourceFile};
use crate::units::{Area, Duration, Mass};

use super::case::{
    AirCase, Amount, FreshAir, GasRelease, Inlet, NearField, OpenBath, Outlet, Speciation, Weighing,
};
use super::gases::Gases;
use super::model::DustBand;

const CASE: &[&str] = &[
    "room",
    "fresh_air",
    "fan",
    "window",
    "mixing",
    "near_field",
    "releases",
    "open",
    "weigh",
    "until",
];
const RELEASE: &[&str] = &["gas", "rate", "from", "for", "burst", "at"];
const BATH: &[&str] = &[
    "solution",
    "area",
    "at",
    "air_speed",
    "along",
    "lid",
    "from",
    "for",
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
            fillings: Vec::new(),
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

    fn release(&mut self, node: &Node) -> Option<GasRelease> {
        let fields = Fields::of(node, "a release", RELEASE, &mut self.mistakes)?;
        let gas = fields
            .required("gas", "sulfur dioxide", &mut self.mistakes)
            .and_then(|node| self.gas(node));
        let amount = match (fields.get("rate"), fields.get("burst")) {
            (Some(rate), None) => self.rate(&fields, rate),
            (None, Some(burst)) => self.burst(&fields, burst),
            _ => {
                let message = "a release has either a `rate` or a `burst`";
                self.mistakes.note(Mistake::at(
                    node.place.clone(),
                    message,
                    "write `rate: 2 mg/min` with `from` and `for`, or `burst: 3 g` with `at`",
                ));
                None
            }
        };
        Some(GasRelease {
            gas: gas?,
            amount: amount?,
        })
    }

    fn rate(&mut self, fields: &Fields<'_>, rate: &Node) -> Option<Amount> {
        self.misplaced(fields, "at", "a release with a `rate` has `from` and `for`");
        let rate = rate.parse(&mut self.mistakes);
        let from = self.from(fields);
        let lasts = self.needed(fields, "for", "60 min");
        Some(Amount::Rate {
            rate: rate?,
            from: from?,
            lasts: lasts?,
        })
    }

    fn burst(&mut self, fields: &Fields<'_>, burst: &Node) -> Option<Amount> {
        for name in ["from", "for"] {
            self.misplaced(fields, name, "a `burst` has only `at`");
        }
        let mass: Option<Mass> = burst.parse(&mut self.mistakes);
        let at = self.needed(fields, "at", "10 min");
        Some(Amount::Burst {
            mass: mass?,
            at: at?,
        })
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

    fn bath(&mut self, node: &Node) -> Option<OpenBath> {
        let fields = Fields::of(node, "an open bath", BATH, &mut self.mistakes)?;
        let solution = fields.required("solution", "recipes/acetic-stop.yaml", &mut self.mistakes);
        let area: Option<Area> = self.needed(&fields, "area", "0.05 m2");
        let at = self.needed(&fields, "at", "20 °C");
        let lasts = self.needed(&fields, "for", "4 h");
        let from = self.from(&fields);
        let lid = self
            .choice(&fields, "lid", &[("yes", true), ("no", false)])
            .unwrap_or(false);
        let air_speed = fields.parse("air_speed", &mut self.mistakes);
        let along = fields.parse("along", &mut self.mistakes);
        let node = solution?;
        let solution = node.plain(&mut self.mistakes)?.to_owned();
        let volatiles = match self.speciation.volatiles(&solution, at?) {
            Ok(volatiles) => volatiles,
            Err(why) => {
                self.fault(
                    Some(node),
                    &why,
                    "name a recipe whose vapours can be computed, or give a release by its rate",
                );
                return None;
            }
        };
        Some(OpenBath {
            solution,
            area: area?,
            at: at?,
            air_speed,
            along,
            lid,
            from: from?,
            lasts: lasts?,
            volatiles,
        })
    }

    fn weighing(&mut self, node: &Node) -> Option<Weighing> {
        let fields = Fields::of(
            node,
            "a weighing",
            &["powder", "amount", "dust"],
            &mut self.mistakes,
        )?;
        let bands = [
            ("high", DustBand::High),
            ("medium", DustBand::Medium),
            ("low", DustBand::Low),
        ];
        let band = self.choice(&fields, "dust", &bands);
        let powder: Option<String> = self.needed(&fields, "powder", "metol");
        let mass = self.needed(&fields, "amount", "10 g");
        Some(Weighing {
            powder: powder?,
            band,
            mass: mass?,
        })
    }
}

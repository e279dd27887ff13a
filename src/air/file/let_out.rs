//! What a file lets out: gases, open baths, vessels filled, powders weighed.

use crate::source::yaml::Node;
use crate::source::{Fields, Mistake};
use crate::units::{Area, Mass, Temperature, Volume};

use super::Reader;
use crate::air::case::{Amount, Filling, GasRelease, OpenBath, Volatile, Weighing};
use crate::air::model::DustBand;

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
const FILLING: &[&str] = &["solution", "volume", "times", "at", "from", "for"];

impl Reader<'_> {
    pub(super) fn release(&mut self, node: &Node) -> Option<GasRelease> {
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

    pub(super) fn bath(&mut self, node: &Node) -> Option<OpenBath> {
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
        let (solution, volatiles) = self.volatiles(solution?, at?)?;
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

    /// A vessel filled so many times.
    pub(super) fn filling(&mut self, node: &Node) -> Option<Filling> {
        let fields = Fields::of(node, "a filling", FILLING, &mut self.mistakes)?;
        let solution = fields.required("solution", "recipes/collodion.yaml", &mut self.mistakes);
        let each: Option<Volume> = self.needed(&fields, "volume", "1 L");
        let at = self.needed(&fields, "at", "20 °C");
        let lasts = self.needed(&fields, "for", "5 min");
        let from = self.from(&fields);
        let times = match fields.get("times") {
            Some(node) => self.times(node)?,
            None => 1.0,
        };
        let (solution, volatiles) = self.volatiles(solution?, at?)?;
        Some(Filling {
            solution,
            volume: Volume::from_litres(each?.litres() * times).ok()?,
            at: at?,
            from: from?,
            lasts: lasts?,
            volatiles,
        })
    }

    fn times(&mut self, node: &Node) -> Option<f64> {
        let text = node.plain(&mut self.mistakes)?;
        let times = text.trim().parse::<u32>().ok();
        let times = times.filter(|times| (1..=1000).contains(times));
        if times.is_none() {
            let message = format!("`{text}` is no number of times");
            self.fault(Some(node), &message, "write a whole number from 1 to 1000");
        }
        times.map(f64::from)
    }

    /// The solution a file names, and what is volatile in it.
    fn volatiles(&mut self, node: &Node, at: Temperature) -> Option<(String, Vec<Volatile>)> {
        let solution = node.plain(&mut self.mistakes)?.to_owned();
        match self.speciation.volatiles(&solution, at) {
            Ok(volatiles) => Some((solution, volatiles)),
            Err(why) => {
                let help =
                    "name a recipe whose vapours can be computed, or give a release by its rate";
                self.fault(Some(node), &why, help);
                None
            }
        }
    }

    pub(super) fn weighing(&mut self, node: &Node) -> Option<Weighing> {
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

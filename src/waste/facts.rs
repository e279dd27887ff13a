//! What is known of a waste, measured, worked out or usual, asked by name.

use crate::provenance::Origin;

use super::chemical::WasteChemical;
use super::description::{Form, Share, WasteDescription};
use super::pack::{RulePack, Stream};
use super::when::Answer;

/// A figure and how it is known.
#[derive(Debug, Clone, PartialEq)]
pub enum Known {
    /// Measured or stated by the person.
    Measured(f64),
    /// Worked out from the stated composition.
    Computed(f64),
    /// What this kind of waste usually has.
    Usual { low: f64, high: f64, origin: Origin },
    /// There is nothing to measure: a water bath without anything flammable has no flash point.
    Absent,
    /// Nothing is known.
    Missing,
}

/// One part of the waste with its share by weight.
#[derive(Debug, Clone)]
pub struct Part<'a> {
    pub chemical: &'a WasteChemical,
    /// Percent by weight of the whole waste, at the more cautious density.
    pub percent: f64,
    /// Grams a litre, at the more cautious density.
    pub grams_per_litre: f64,
}

/// A waste with the facts of its stream behind it.
pub struct Facts<'a> {
    pub waste: &'a WasteDescription,
    pub stream: Option<&'a Stream>,
    pub parts: Vec<Part<'a>>,
    pub form: Option<Form>,
    pack: &'a RulePack,
}

/// Names and symbols of the metals that rules speak of.
pub const METALS: [(&str, &str); 9] = [
    ("silver", "Ag"),
    ("selenium", "Se"),
    ("chromium", "Cr"),
    ("cadmium", "Cd"),
    ("lead", "Pb"),
    ("mercury", "Hg"),
    ("arsenic", "As"),
    ("barium", "Ba"),
    ("copper", "Cu"),
];

/// The extraction test takes twenty parts of liquid to one of solid by weight (method 1311;
/// from memory), so a litre of extract holds at most a twentieth of what a kilogram holds.
const EXTRACT_PARTS: f64 = 20.0;

impl<'a> Facts<'a> {
    /// The facts of a waste under a rule pack.
    pub fn of(waste: &'a WasteDescription, pack: &'a RulePack) -> Self {
        let stream = pack.streams.get(&waste.stream);
        let form = form_of(waste, stream);
        Self {
            waste,
            stream,
            parts: parts_of(waste, stream),
            form,
            pack,
        }
    }

    /// The stated pH, or the usual one.
    pub fn ph(&self) -> Known {
        if let Some(ph) = self.waste.ph {
            return Known::Measured(ph);
        }
        match self.usual(|stream| stream.ph) {
            Known::Missing if self.without_corrosives() => Known::Absent,
            usual => usual,
        }
    }

    /// Whether parts are stated and none of them is corrosive, an acid or an alkali.
    fn without_corrosives(&self) -> bool {
        const MOVES_PH: [&str; 6] = [
            "acid",
            "strong-acid",
            "oxidising-acid",
            "alkali",
            "strong-alkali",
            "ammonia",
        ];
        let moves_ph = |chemical: &WasteChemical| {
            chemical.classification.is_none()
                || chemical.has_statement("H314")
                || chemical
                    .groups
                    .iter()
                    .any(|group| MOVES_PH.contains(&group.as_str()))
        };
        !self.parts.is_empty() && !self.parts.iter().any(|part| moves_ph(part.chemical))
    }

    /// The stated flash point, or the usual one, °C.
    pub fn flash_point(&self) -> Known {
        if let Some(point) = self.waste.flash_point {
            return Known::Measured(point.celsius());
        }
        if self.without_flammables() {
            return Known::Absent;
        }
        self.usual(|stream| stream.flash_point)
    }

    /// Whether nothing in it is known to burn: a water bath, or an unused chemical whose
    /// classification is known, and no stated part a flammable liquid.
    fn without_flammables(&self) -> bool {
        const FLAMMABLE_LIQUID: [&str; 3] = ["H224", "H225", "H226"];
        let water_bath =
            self.waste.unused.is_none() && self.stream.is_some_and(|stream| stream.aqueous);
        let known = self.waste.is_unused() && self.composition_known();
        let burns = self.parts.iter().any(|part| {
            FLAMMABLE_LIQUID
                .iter()
                .any(|s| part.chemical.has_statement(s))
        });
        (water_bath || known) && !burns
    }

    fn usual(&self, range: impl Fn(&Stream) -> Option<(f64, f64)>) -> Known {
        match self.stream.filter(|_| self.waste.unused.is_none()) {
            Some(stream) => range(stream).map_or(Known::Missing, |(low, high)| Known::Usual {
                low,
                high,
                origin: stream.origin.clone(),
            }),
            None => Known::Missing,
        }
    }

    /// A metal, mg/L (of the liquid, or of the extract of a solid).
    ///
    /// As measured; else what the stated parts hold; else what this kind of waste usually has.
    pub fn metal(&self, name: &str) -> Known {
        if let Some(measured) = self.waste.mg_per_l.get(name) {
            return Known::Measured(*measured);
        }
        let computed = self.metal_of_parts(name);
        if computed > 0.0 {
            return Known::Computed(computed);
        }
        let usual = self
            .stream
            .filter(|_| self.waste.unused.is_none())
            .and_then(|stream| stream.mg_per_l.get(name));
        match usual {
            Some((low, high, origin)) => Known::Usual {
                low: *low,
                high: *high,
                origin: origin.clone(),
            },
            None if self.composition_unknown() => Known::Missing,
            None => Known::Computed(0.0),
        }
    }

    fn metal_of_parts(&self, name: &str) -> f64 {
        let symbol = METALS
            .iter()
            .find(|(metal, _)| *metal == name)
            .map_or("", |(_, symbol)| symbol);
        self.parts
            .iter()
            .map(|part| {
                let fraction = part.chemical.elements.get(symbol).copied().unwrap_or(0.0);
                match self.form {
                    Some(Form::Solid) => part.percent * 1e4 * fraction / EXTRACT_PARTS,
                    _ => part.grams_per_litre * 1e3 * fraction,
                }
            })
            .sum()
    }

    /// Alcohols, percent by volume.
    pub fn alcohol_by_volume(&self) -> Known {
        let Some(alcohols) = &self.pack.alcohols else {
            return Known::Missing;
        };
        if self.waste.contains.is_empty() {
            return Known::Missing;
        }
        let sum = self
            .waste
            .contains
            .iter()
            .filter(|part| {
                part.chemical
                    .cas
                    .as_ref()
                    .is_some_and(|cas| alcohols.cas.contains(cas))
            })
            .map(|part| match part.share {
                Share::PercentByVolume(percent) => percent,
                Share::GramsPerLitre(grams) => grams / (10.0 * alcohols.kg_per_l),
                // Water and alcohol weigh less than water: its density bounds the answer from above.
                Share::Percent(percent) => {
                    percent * self.waste.density.unwrap_or(1.0) / alcohols.kg_per_l
                }
            })
            .sum();
        Known::Computed(sum)
    }

    /// Whether its pH can be measured.
    pub fn aqueous(&self) -> Answer {
        if self.form == Some(Form::Solid) {
            return Answer::No;
        }
        if let (Some(water), Some(bound)) = (self.waste.water_percent, &self.pack.aqueous) {
            return Answer::from(bound.holds(water));
        }
        if self.waste.ph.is_some() {
            return Answer::Yes;
        }
        match self.stream {
            Some(stream) if !self.waste.is_unused() && self.waste.stream != "unknown" => {
                Answer::from(stream.aqueous)
            }
            _ => Answer::Possible,
        }
    }

    /// Whether it bears a kind of matter (`sulfide`, `cyanide`): by its stream or its parts.
    pub fn bears(&self, kind: &str) -> bool {
        let by_stream = self.waste.unused.is_none()
            && self
                .stream
                .is_some_and(|stream| stream.bears.iter().any(|other| other == kind));
        by_stream
            || self
                .parts
                .iter()
                .any(|part| part.chemical.groups.iter().any(|group| group == kind))
    }

    /// Whether nobody knows what is in it.
    pub fn composition_unknown(&self) -> bool {
        self.parts.is_empty()
            && matches!(self.waste.stream.as_str(), "unknown" | "unused-chemical")
            && self.waste.unused.is_none()
    }

    /// Whether every part is stated and its classification known.
    pub fn composition_known(&self) -> bool {
        /// Stated parts and water that leave less than this unsaid, percent, count as all.
        const UNSAID: f64 = 1.0;
        let stated: f64 = self.parts.iter().map(|part| part.percent).sum();
        let all = self.waste.unused.is_some()
            || stated + self.waste.water_percent.unwrap_or(0.0) >= 100.0 - UNSAID;
        all && !self.parts.is_empty()
            && self
                .parts
                .iter()
                .all(|part| part.chemical.classification.is_some())
    }

    /// The mass of the waste, kg, at the heavier end of its density.
    pub fn mass_kg(&self) -> Option<f64> {
        let density = self
            .waste
            .density
            .or(self.stream.map(|stream| stream.density.1))
            .unwrap_or(1.0);
        self.waste
            .mass
            .map(|mass| mass.grams() / 1000.0)
            .or_else(|| self.waste.volume.map(|volume| volume.litres() * density))
    }
}

fn form_of(waste: &WasteDescription, stream: Option<&Stream>) -> Option<Form> {
    if let Some(chemical) = waste.sole_unused() {
        return chemical.form;
    }
    let by_measure = (waste.ph.is_some() || waste.volume.is_some() || waste.flash_point.is_some())
        .then_some(Form::Liquid);
    stream.and_then(|stream| stream.form).or(by_measure)
}

/// Shares by weight: a lower density gives more percent, a higher one more grams a litre.
fn parts_of<'a>(waste: &'a WasteDescription, stream: Option<&Stream>) -> Vec<Part<'a>> {
    let (low, high) = waste
        .density
        .map(|density| (density, density))
        .or(stream.map(|stream| stream.density))
        .unwrap_or((1.0, 1.0));
    let unused = waste.unused.iter().map(|chemical| Part {
        chemical,
        percent: 100.0,
        grams_per_litre: 1000.0 * high,
    });
    let stated = waste.contains.iter().map(|part| {
        let (percent, grams_per_litre) = match part.share {
            Share::Percent(percent) => (percent, percent * 10.0 * high),
            // A pure liquid rarely weighs more than the mixture it is in.
            Share::PercentByVolume(percent) => (percent, percent * 10.0 * high),
            Share::GramsPerLitre(grams) => (grams / (10.0 * low), grams),
        };
        Part {
            chemical: &part.chemical,
            percent: percent.min(100.0),
            grams_per_litre,
        }
    });
    unused.chain(stated).collect()
}

//! How much silver the fixer may hold: always a span, never a figure to rely on.

use serde::Deserialize;

use crate::catalogue::{DataError, DataFiles};
use crate::provenance::Origin;
use crate::waste::Streams;

use super::amount::Unit;
use super::books::{Books, Names};

/// Silver coated on materials, and the share that fixing takes.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SilverTable {
    coated: Vec<Coated>,
    to_fixer: Share,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Coated {
    material: String,
    g_per_m2: Span,
    from: Origin,
    also: Origin,
}

#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
struct Span {
    low: f64,
    high: f64,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Share {
    low: f64,
    high: f64,
    from: Origin,
}

/// Silver, g, at least and at most.
#[derive(Debug, Clone, PartialEq)]
pub struct SilverEstimate {
    /// In what is held now: litres times what such baths usually hold.
    pub held_g: (f64, f64),
    /// Brought into the fixer since the book began: area times what is coated on it.
    pub by_area_g: (f64, f64),
    /// Where the spans are from.
    pub origins: Vec<Origin>,
}

impl SilverEstimate {
    /// Whether there may be any.
    pub fn any(&self) -> bool {
        self.held_g.1 > 0.0 || self.by_area_g.1 > 0.0
    }
}

impl SilverTable {
    /// The table of the data files.
    ///
    /// # Errors
    /// When the file is missing or malformed.
    pub fn load(files: &DataFiles) -> Result<Self, DataError> {
        files.read("hazards/silver.yaml")
    }

    /// Estimates the silver of a book; a material the table does not know takes the widest span.
    pub(super) fn estimate(
        &self,
        books: &Books,
        names: &Names,
        streams: &Streams,
    ) -> SilverEstimate {
        let mut origins = vec![self.to_fixer.from.clone()];
        let mut by_area = (0.0, 0.0);
        for (material, mm2) in &books.films {
            let m2 = *mm2 as f64 / 1e6;
            let span = self.span(material, &mut origins);
            by_area.0 += m2 * span.low * self.to_fixer.low;
            by_area.1 += m2 * span.high * self.to_fixer.high;
        }
        origins.dedup();
        SilverEstimate {
            held_g: held(books, names, streams, &mut origins),
            by_area_g: by_area,
            origins,
        }
    }

    fn span(&self, material: &str, origins: &mut Vec<Origin>) -> Span {
        if let Some(known) = self
            .coated
            .iter()
            .find(|coated| coated.material == material)
        {
            origins.extend([known.from.clone(), known.also.clone()]);
            return known.g_per_m2;
        }
        let low = self
            .coated
            .iter()
            .map(|coated| coated.g_per_m2.low)
            .fold(f64::INFINITY, f64::min);
        let high = self
            .coated
            .iter()
            .map(|coated| coated.g_per_m2.high)
            .fold(0.0, f64::max);
        Span {
            low: low.min(high),
            high,
        }
    }
}

/// Waste holds what such baths usually hold; of a bath still in use nobody knows how far it is.
fn held(books: &Books, names: &Names, streams: &Streams, origins: &mut Vec<Origin>) -> (f64, f64) {
    let mut grams = (0.0, 0.0);
    for ((place, solution, unit), amount) in &books.holdings {
        let place = names.places.get(place).filter(|place| place.is_real());
        let (Some(place), Unit::Microlitre, Some(what)) =
            (place, unit, names.solutions.get(solution))
        else {
            continue;
        };
        let stream = streams.get(&what.stream);
        let Some((low, high, origin)) = stream.and_then(|stream| stream.mg_per_l.get("silver"))
        else {
            continue;
        };
        let litres = unit.in_litres_or_kilograms(*amount);
        if !place.is_for_use() {
            grams.0 += litres * low / 1000.0;
        }
        grams.1 += litres * high / 1000.0;
        if !origins.contains(origin) {
            origins.push(origin.clone());
        }
    }
    grams
}

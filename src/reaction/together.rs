//! Two things poured into one vessel, and how warm that gets.

use crate::chemistry::{Bath, Chemistry, Figure};
use crate::finding::Severity;
use crate::provenance::Origin;

use super::{Event, Party};

/// Below this share of water by mass no equilibrium is computed, so water is thought in.
const LEAST_WATER: f64 = 0.25;
/// A rise that is felt in the hand (common practice, no source), K.
const FELT: f64 = 5.0;
/// Water near its boiling point spits, °C.
const BOILS: f64 = 95.0;

/// Both in one vessel, and how warm that gets.
pub(super) struct Mixed {
    pub bath: Bath,
    pub temperature: Figure,
    pub rise: f64,
}

/// The wetter one is taken as poured in first. Where hardly any water is there, as much water as
/// the two weigh is thought in: nothing reacts dry, and dry things get wet.
pub(super) fn together(
    a: &Party,
    b: &Party,
    chemistry: &Chemistry,
    assumptions: &mut Vec<String>,
) -> Result<Mixed, String> {
    let (first, second) = if b.water_share() > a.water_share() {
        (b, a)
    } else {
        (a, b)
    };
    let (one, other) = (first.bath.clone()?, second.bath.clone()?);
    let before = one.with(&other).celsius;
    let mass = one.mass_kg + other.mass_kg;
    let base = if first.water_share() < LEAST_WATER {
        assumptions.push("hardly any water is in either: worked out as if wetted with as much water as both weigh".to_owned());
        let water = Bath {
            water_kg: mass,
            mass_kg: mass,
            celsius: one.celsius,
            ..Bath::nothing()
        };
        chemistry.add(&water, &one, first.is_bath).bath
    } else {
        one
    };
    let heated = chemistry.add(&base, &other, second.is_bath);
    // The equilibrium is that of the bath once it has cooled to where it began.
    let bath = Bath {
        celsius: before,
        ..heated.bath
    };
    Ok(Mixed {
        rise: heated.temperature.value - before,
        temperature: heated.temperature,
        bath,
    })
}

/// The same without the heat: what is in the vessel once it has cooled to where it began.
pub(super) fn poured(a: &Party, b: &Party) -> Option<Bath> {
    let (one, other) = (a.bath.as_ref().ok()?, b.bath.as_ref().ok()?);
    let dry = a.water_share().max(b.water_share()) < LEAST_WATER;
    let bath = one.with(other);
    Some(if dry { wetted(bath) } else { bath })
}

/// With as much water as it weighs.
pub(super) fn wetted(mut bath: Bath) -> Bath {
    bath.water_kg += bath.mass_kg;
    bath.mass_kg *= 2.0;
    bath
}

/// Warmth that is felt.
pub(super) fn warmth(mixed: &Mixed) -> Option<Event> {
    let boils = mixed.temperature.high >= BOILS;
    let degrees = |value: f64| format!("{value:.0}\u{a0}°C");
    let to = if mixed.temperature.value >= BOILS {
        "and boils".to_owned()
    } else {
        format!(
            "to {}, perhaps {}",
            degrees(mixed.temperature.value),
            degrees(mixed.temperature.high)
        )
    };
    (mixed.rise >= FELT).then(|| Event {
        consequence: "heat".to_owned(),
        gas: None,
        severity: if boils {
            Severity::Stop
        } else {
            Severity::Attention
        },
        why: format!(
            "Poured together at once it warms by about {}, {to}.",
            degrees(mixed.rise)
        ),
        advice: "Pour the one slowly into the other, stirring, with time to cool in between."
            .to_owned(),
        rule: None,
        origins: vec![Origin::Computed {
            formula: "heats of solution and of acid steps, heat capacities".to_owned(),
        }],
    })
}

impl Event {
    /// The same told in figures: the graver of both stands.
    pub(super) fn also(&mut self, other: &Self) {
        self.why = format!("{} {}", self.why, other.why);
        self.severity = self.severity.max(other.severity);
        self.origins.extend(other.origins.iter().cloned());
    }
}

//! What comes of two things in one vessel.

use crate::air::Gases;
use crate::catalogue::Catalogue;
use crate::chemistry::{Chemistry, Equilibrium, Figure, Ph};
use crate::finding::Severity;
use crate::provenance::Origin;
use crate::units::RoomVolume;

use super::most::{self, Most};
use super::teller::Teller;
use super::together::{together, warmth};
use super::{GasInRoom, Party, Verdict};

/// The room a gas spreads in.
#[derive(Debug, Clone, Copy)]
pub struct Room(pub RoomVolume);

/// What comes of two things in one vessel.
#[derive(Debug, Clone)]
pub struct Meeting {
    /// pH and species of the two together, where that can be computed.
    pub equilibrium: Result<Equilibrium, String>,
    /// Temperature in a vessel that keeps all heat.
    pub temperature: Option<Figure>,
    /// How much warmer than before, K.
    pub rise: Option<f64>,
    /// What happens, worst first.
    pub events: Vec<Event>,
    /// What is said of it as a whole.
    pub verdict: Verdict,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// One thing that happens.
#[derive(Debug, Clone)]
pub struct Event {
    /// toxic gas, heat, fire, …
    pub consequence: String,
    /// The gas set free.
    pub gas: Option<GasInRoom>,
    /// How much it weighs.
    pub severity: Severity,
    /// What happens and why.
    pub why: String,
    /// What to do instead.
    pub advice: String,
    /// The rule of the table of reactions that says so.
    pub rule: Option<String>,
    /// Where it is from.
    pub origins: Vec<Origin>,
}

/// In which amounts two things meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Amounts {
    /// All of both.
    AsGiven,
    /// All of one and as much of the other as gives off the most gas, for each gas apart; pH and
    /// heat are still those of all of both.
    Worst,
}

/// What comes of two things in one vessel.
pub fn meet(
    a: &Party,
    b: &Party,
    amounts: Amounts,
    room: Room,
    chemistry: &Chemistry,
    catalogue: &Catalogue,
    gases: &Gases,
) -> Meeting {
    let mut assumptions = Vec::new();
    let together = together(a, b, chemistry, &mut assumptions);
    let equilibrium = together
        .as_ref()
        .map(|mixed| chemistry.equilibrium(&mixed.bath))
        .map_err(Clone::clone);
    let leaving = match (&together, &equilibrium) {
        (Ok(mixed), Ok(equilibrium)) => {
            let given = Most::each(chemistry.gases(&mixed.bath, &equilibrium.ph));
            match amounts {
                Amounts::AsGiven => given,
                Amounts::Worst => most::over_ratios(a, b, chemistry, given),
            }
        }
        _ => most::of_what_is_known(a, b, chemistry),
    };
    let teller = Teller {
        a,
        b,
        room,
        chemistry,
        known: gases,
        leaving,
        every_ratio: amounts == Amounts::Worst,
        computed: together
            .as_ref()
            .ok()
            .map(|mixed| &mixed.bath)
            .filter(|_| equilibrium.as_ref().is_ok_and(has_ph)),
    };
    let mut events = teller.events(catalogue);
    let mixed = together.as_ref().ok();
    if let Some(warmth) = mixed.and_then(warmth) {
        match events.iter_mut().find(|event| event.consequence == "heat") {
            Some(told) => told.also(&warmth),
            None => events.push(warmth),
        }
    }
    events.sort_by_key(|event| std::cmp::Reverse(event.severity));
    Meeting {
        verdict: Verdict::of(&events, teller.computed.is_none()),
        equilibrium,
        temperature: mixed.map(|mixed| mixed.temperature.clone()),
        rise: mixed.map(|mixed| mixed.rise),
        events,
        assumptions,
    }
}

fn has_ph(equilibrium: &Equilibrium) -> bool {
    matches!(equilibrium.ph, Ph::Computed(_))
}

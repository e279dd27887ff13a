//! How much gas a pour gives off at most: what the place holds, summed, against what comes in.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use crate::air::Gases;
use crate::catalogue::Catalogue;
use crate::chemistry::Chemistry;
use crate::finding::Severity;
use crate::reaction::{self, Amounts, GasInRoom, Room};
use crate::units::{RoomVolume, significant};
use crate::waste::Streams;

use super::checks::Content;
use super::held::{Holdings, Litre};

/// Says what a litre of each of some names is, where that is known.
pub type LitresOf<'a> = dyn Fn(&[&str]) -> BTreeMap<String, Litre> + 'a;

/// What the amount of a gas is worked out with.
pub struct GasTable<'a> {
    /// Equilibria.
    pub chemistry: &'a Chemistry,
    /// Gases and their limits.
    pub gases: &'a Gases,
    /// What is known of the solutions the book names.
    pub litres: &'a LitresOf<'a>,
    /// The room the gas spreads in.
    pub room: RoomVolume,
    /// Whether the room was stated; otherwise it is taken.
    pub room_is_stated: bool,
}

/// One gas of a pour.
pub struct Given {
    /// The gas.
    pub gas: GasInRoom,
    /// How much it weighs.
    pub severity: Severity,
}

impl GasTable<'_> {
    /// Every gas that all of both may give off, the worst first.
    pub fn of_pour(
        &self,
        place: &str,
        (held, incoming): (&[Content], &[Content]),
        catalogue: &Catalogue,
        streams: &Streams,
    ) -> Vec<Given> {
        let both = held.iter().chain(incoming);
        let names: Vec<&str> = both.map(|content| content.name.as_str()).collect();
        let holdings = Holdings {
            catalogue,
            streams,
            litres: (self.litres)(&names),
        };
        let name = incoming.first().map_or("", |content| content.name.as_str());
        let (a, b) = (holdings.party(place, held), holdings.party(name, incoming));
        let room = Room(self.room);
        let meeting = reaction::meet(
            &a,
            &b,
            Amounts::AsGiven,
            room,
            self.chemistry,
            catalogue,
            self.gases,
        );
        let events = meeting.events.into_iter();
        let given = events.filter_map(|event| {
            Some(Given {
                gas: event.gas?,
                severity: event.severity,
            })
        });
        given
            .filter(|given| given.gas.greatest_g.is_none_or(|grams| grams > 0.0))
            .collect()
    }

    /// The gas as a fact: its name, grams at most, what that is in the room, the limit it passes.
    pub fn fact(&self, gas: &GasInRoom) -> Value {
        let figure = |value: f64| significant(value, 2);
        let passes = gas.passes().map(|limit| {
            json!({"body": limit.body, "kind": limit.over.to_string(), "mg_per_m3": figure(limit.mg_per_m3)})
        });
        json!({
            "gas": gas.name,
            "most_g": gas.greatest_g.map(figure),
            "known_g": gas.from_known_g.map(figure),
            "room_mg_per_m3": gas.room_mg_per_m3.map(figure),
            "room_m3": figure(self.room.m3()),
            "room_is_stated": self.room_is_stated,
            "passes": passes,
        })
    }
}

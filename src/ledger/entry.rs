//! What can be booked.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::units::Area;

use super::amount::{Amount, Unit};

/// One thing that happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The day it happened; may lie in the past.
    pub day: NaiveDate,
    /// Who books it.
    pub who: String,
    /// Anything worth knowing.
    pub note: String,
    /// The session it belongs to, if any.
    pub session: String,
    /// What happened.
    pub action: Action,
}

/// What happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// A bottle, tray or container comes into use.
    AddPlace(NewPlace),
    /// A solution was mixed; without a place it is unaccounted for.
    Made {
        what: Solution,
        amount: Amount,
        into: Option<String>,
    },
    /// Stock that was there before the book: old bottles, containers of unknown age or contents.
    Start {
        what: Solution,
        amount: Amount,
        into: String,
    },
    /// From one place into another.
    Pour { from: String, to: String, how: How },
    /// Handed to a collector.
    Collected {
        from: String,
        how: How,
        receipt: String,
        carrier: String,
    },
    /// Spilled.
    Spill { from: String, how: How },
    /// Gone into the air.
    Evaporated { from: String, how: How },
    /// Gone with film and paper into the wash.
    CarriedOver { from: String, how: How },
    /// A measured level; the difference to the book is booked.
    Count { place: String, level: Amount },
    /// Film or paper processed in a bath.
    Film {
        bath: String,
        area: Area,
        material: String,
    },
    /// Someone was briefed on chemicals.
    Trained {
        person: String,
        by: String,
        chemicals: Vec<String>,
    },
    /// An entry is taken back.
    Undo { number: i64 },
    /// An entry is taken back and booked again with another amount.
    Correct { number: i64, amount: Amount },
}

/// How much moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// So much.
    Amount(Amount),
    /// All but so much.
    Left(Amount),
    /// All of it.
    All,
}

/// What a solution is, for the book.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Solution {
    /// Its name.
    pub name: String,
    /// The waste stream it becomes; `unknown` for contents nobody knows.
    pub stream: String,
    /// Days it keeps; 0 where not known.
    #[serde(default)]
    pub keeps_days: i64,
    /// Area it can process, mm² a litre; 0 where not known.
    #[serde(default)]
    pub mm2_per_l: i64,
}

impl Solution {
    /// A solution with no keeping time and no capacity known.
    pub fn new(name: impl Into<String>, stream: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            stream: stream.into(),
            keeps_days: 0,
            mm2_per_l: 0,
        }
    }
}

/// What a place is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum PlaceKind {
    /// Keeps a solution for use.
    Bottle,
    /// Holds a bath while it is used.
    Tray,
    /// Collects the waste of one stream.
    Container,
    /// Under the sink.
    Trap,
    /// Where matter comes from outside the room.
    Source,
    /// Where matter goes outside the room.
    Sink,
}

/// A place to be.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NewPlace {
    /// Its name, unlike any other.
    pub name: String,
    /// What it is; bottle, tray, container or trap.
    pub kind: PlaceKind,
    /// The stream a container collects.
    #[serde(default)]
    pub stream: Option<String>,
    /// Whether it holds volumes or masses.
    pub unit: Unit,
    /// How much it holds, in its unit.
    #[serde(default)]
    pub capacity: Option<i64>,
}

impl Action {
    /// The word the book keeps for it.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::AddPlace(_) => "place",
            Self::Made { .. } => "made",
            Self::Start { .. } => "start",
            Self::Pour { .. } => "pour",
            Self::Collected { .. } => "collected",
            Self::Spill { .. } => "spill",
            Self::Evaporated { .. } => "evaporated",
            Self::CarriedOver { .. } => "carried over",
            Self::Count { .. } => "count",
            Self::Film { .. } => "film",
            Self::Trained { .. } => "trained",
            Self::Undo { .. } => "undo",
            Self::Correct { .. } => "correct",
        }
    }
}

impl PlaceKind {
    /// As stored.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Bottle => "bottle",
            Self::Tray => "tray",
            Self::Container => "container",
            Self::Trap => "trap",
            Self::Source => "source",
            Self::Sink => "sink",
        }
    }

    /// From what is stored.
    pub fn from_stored(text: &str) -> Option<Self> {
        [
            Self::Bottle,
            Self::Tray,
            Self::Container,
            Self::Trap,
            Self::Source,
            Self::Sink,
        ]
        .into_iter()
        .find(|kind| kind.as_str() == text)
    }
}

//! A place of the book with its id; those that every book has.

use super::amount::Unit;
use super::entry::PlaceKind;

/// Ids of the places every book has.
pub const MIXED: i64 = 1;
pub const AT_START: i64 = 2;
pub const UNACCOUNTED: i64 = 3;
pub const COLLECTED: i64 = 4;
pub const EVAPORATED: i64 = 5;
pub const SPILLED: i64 = 6;
pub const CARRIED_OVER: i64 = 7;

/// A place with its id.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    pub id: i64,
    pub name: String,
    pub kind: PlaceKind,
    pub stream: Option<String>,
    /// `None` for the places outside the room: they take either.
    pub unit: Option<Unit>,
    pub capacity: Option<i64>,
}

impl Place {
    /// Whether it is in the room, so that what it holds is held and cannot go below zero.
    pub fn is_real(&self) -> bool {
        !matches!(self.kind, PlaceKind::Source | PlaceKind::Sink)
    }

    /// Whether what it holds is still used, and not waste.
    pub fn is_for_use(&self) -> bool {
        matches!(self.kind, PlaceKind::Bottle | PlaceKind::Tray)
    }
}

pub(super) fn place_row(row: &rusqlite::Row) -> rusqlite::Result<Place> {
    let kind: String = row.get(2)?;
    let unit: Option<String> = row.get(4)?;
    Ok(Place {
        id: row.get(0)?,
        name: row.get(1)?,
        kind: PlaceKind::from_stored(&kind).unwrap_or(PlaceKind::Sink),
        stream: row.get(3)?,
        unit: unit.as_deref().and_then(Unit::from_stored),
        capacity: row.get(5)?,
    })
}

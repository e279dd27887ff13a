//! What of the catalogue gave way to something of greater authority, kept so that both are printed.

use std::sync::Arc;

use super::{Catalogue, Chemical};
use crate::provenance::Origin;

/// A kind of datum that a supplier's data sheet or a rule of the place may state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Datum {
    /// Hazard classes.
    Classification,
    /// EUH statements.
    Supplemental,
    /// Specific concentration limits.
    SpecificLimits,
    /// Glove materials.
    Gloves,
    /// First aid, eyes.
    FirstAidEyes,
    /// First aid, skin.
    FirstAidSkin,
    /// First aid, breathed in.
    FirstAidBreathed,
    /// First aid, swallowed.
    FirstAidSwallowed,
    /// A workplace exposure limit.
    Limit,
    /// Density.
    Density,
    /// Flash point.
    FlashPoint,
    /// pH as it is sold.
    Ph,
    /// How it is kept.
    Storage,
    /// Transport number.
    Transport,
}

/// Which way a replaced datum went.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Change {
    /// The new one asks for more care.
    Stricter,
    /// It cannot be told.
    Other,
    /// The new one asks for less care somewhere.
    Milder,
}

/// A datum and what took its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Superseded {
    /// What kind.
    pub datum: Datum,
    /// What stood there, in words.
    pub before: String,
    /// Where that is from.
    pub before_from: Origin,
    /// What stands there now, in words.
    pub after: String,
    /// Where that is from.
    pub from: Origin,
    /// Which way it went.
    pub change: Change,
}

impl Datum {
    /// The datum's name in data and templates.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Classification => "hazard classes",
            Self::Supplemental => "supplemental statements",
            Self::SpecificLimits => "specific limits",
            Self::Gloves => "gloves",
            Self::FirstAidEyes => "first aid, eyes",
            Self::FirstAidSkin => "first aid, skin",
            Self::FirstAidBreathed => "first aid, breathed in",
            Self::FirstAidSwallowed => "first aid, swallowed",
            Self::Limit => "limit in the air",
            Self::Density => "density",
            Self::FlashPoint => "flash point",
            Self::Ph => "pH",
            Self::Storage => "storage",
            Self::Transport => "transport",
        }
    }
}

impl Change {
    /// One word for data and templates.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Stricter => "stricter",
            Self::Other => "other",
            Self::Milder => "milder",
        }
    }
}

impl Catalogue {
    /// Puts an entry in the place of the one of its id, and keeps what gave way. Names and numbers
    /// stay those of the entry there: they lead to it.
    pub fn supersede(&mut self, chemical: Chemical, replaced: Vec<Superseded>) {
        let id = chemical.id.clone();
        if self.chemicals.contains_key(&id) {
            self.superseded
                .entry(id.clone())
                .or_default()
                .extend(replaced);
            self.chemicals.insert(id, Arc::new(chemical));
        }
    }

    /// What of an entry gave way to something of greater authority.
    pub fn superseded(&self, id: &str) -> &[Superseded] {
        self.superseded.get(id).map_or(&[], Vec::as_slice)
    }
}

//! One of two things that meet.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::catalogue::{Chemical, Reaction};
use crate::chemistry::Bath;
use crate::session::Amount;

/// A bath, a chemical or what a vessel holds, and how much of it.
#[derive(Debug, Clone)]
pub struct Party {
    /// What it is called.
    pub name: String,
    /// How much.
    pub amount: Amount,
    /// The chemicals in it.
    pub chemicals: Vec<Arc<Chemical>>,
    /// Reactive groups it may hold besides, as used baths of its sort do.
    pub groups: BTreeSet<String>,
    /// What it is in terms of components, or why that is not known.
    pub bath: Result<Bath, String>,
    /// What of it nobody knows.
    pub unknown: Option<Unknown>,
    /// Whether it is a bath: already in solution, at working strength or near it.
    pub is_bath: bool,
}

/// Contents nobody knows, among others or alone.
#[derive(Debug, Clone)]
pub struct Unknown {
    /// What the book calls them.
    pub names: Vec<String>,
    /// Whether they may be anything; otherwise what their waste stream holds.
    pub anything: bool,
    /// All the rest.
    pub known: Bath,
}

impl Party {
    /// Its chemicals.
    pub fn chemicals(&self) -> Vec<&Chemical> {
        self.chemicals.iter().map(|chemical| &**chemical).collect()
    }

    /// A share of it, from none (0) to all (1).
    pub fn share(&self, share: f64) -> Self {
        Self {
            amount: self.amount.scaled(share).unwrap_or(self.amount),
            bath: self.bath.clone().map(|bath| bath.scaled(share)),
            unknown: self.unknown.clone().map(|unknown| Unknown {
                known: unknown.known.scaled(share),
                ..unknown
            }),
            ..self.clone()
        }
    }

    /// Whether all of it is at working strength or near it.
    pub(super) fn is_dilute(&self) -> bool {
        self.is_bath && self.unknown.is_none()
    }

    /// Whether it may be anything.
    pub fn may_be_anything(&self) -> bool {
        self.unknown
            .as_ref()
            .is_some_and(|unknown| unknown.anything)
    }

    /// All of it that is known in terms of components.
    pub(super) fn known(&self) -> Option<&Bath> {
        let part = self.unknown.as_ref().map(|unknown| &unknown.known);
        self.bath.as_ref().ok().or(part)
    }

    /// Whether it belongs to the first side of a rule.
    pub(super) fn is_a(&self, rule: &Reaction) -> bool {
        self.has_group(&rule.a) || self.chemicals.iter().any(|chemical| rule.is_a(chemical))
    }

    /// Whether it belongs to the other side of a rule.
    pub(super) fn is_b(&self, rule: &Reaction) -> bool {
        self.has_group(&rule.b) || self.chemicals.iter().any(|chemical| rule.is_b(chemical))
    }

    fn has_group(&self, side: &[String]) -> bool {
        side.iter().any(|name| self.groups.contains(name))
    }

    /// Share of water by mass that is there before anything dissolves: crystal water is none.
    pub(super) fn water_share(&self) -> f64 {
        let solid = !self.is_bath && self.chemicals.iter().all(|chemical| chemical.is_solid());
        if solid {
            0.0
        } else {
            self.bath.as_ref().map_or(0.0, Bath::water_share)
        }
    }
}

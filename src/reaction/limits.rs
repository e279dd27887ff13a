//! Limits of a gas in air, in one list: the lowest first.

use std::fmt;

use crate::air::{Gas, LimitKind};
use crate::provenance::Origin;

/// What a limit is over, danger to life included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Over {
    /// A working day, a quarter of an hour, or no moment.
    Work(LimitKind),
    /// Immediately dangerous to life or health.
    Danger,
}

impl fmt::Display for Over {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Work(kind) => kind.fmt(f),
            Self::Danger => f.write_str("IDLH"),
        }
    }
}

/// A limit of a gas in air.
#[derive(Debug, Clone, PartialEq)]
pub struct GasLimit {
    /// Who set it.
    pub body: String,
    /// What it is over.
    pub over: Over,
    /// mg/m³.
    pub mg_per_m3: f64,
    /// Where it was read.
    pub origin: Origin,
}

/// Every limit of a gas on file, the lowest first.
pub(super) fn limits(gas: &Gas) -> Vec<GasLimit> {
    let of_work = gas.limits.iter().map(|limit| GasLimit {
        body: limit.body.clone(),
        over: Over::Work(limit.kind),
        mg_per_m3: limit.mg_per_m3,
        origin: limit.origin.clone(),
    });
    let of_danger = gas.idlh.known().map(|idlh| GasLimit {
        body: "NIOSH".to_owned(),
        over: Over::Danger,
        mg_per_m3: idlh.value.mg_per_m3,
        origin: idlh.origin.clone(),
    });
    let mut limits: Vec<GasLimit> = of_work.chain(of_danger).collect();
    limits.sort_by(|a, b| a.mg_per_m3.total_cmp(&b.mg_per_m3));
    limits
}

//! What an entry may not do: overfill, go into the wrong stream, go below zero, or mix what must
//! not meet.

use serde_json::json;

use crate::finding::{Finding, Severity, Subject};

use super::amount::{Amount, Unit};
use super::error::LedgerError;
use super::store::{Move, Place, Store};

/// A part of what is in a place, or on its way into it.
#[derive(Debug, Clone, PartialEq)]
pub struct Content {
    /// The solution's name.
    pub name: String,
    /// The stream it belongs to.
    pub stream: String,
    /// What is counted.
    pub unit: Unit,
    /// How many.
    pub amount: i64,
}

/// Says what comes of bringing two contents together; asked before every pour.
pub trait Mixing {
    /// Findings on `incoming` going into `place`, which holds `held` (or last held it, unwashed).
    /// A [`Severity::Stop`] among them refuses the entry.
    fn meet(&self, place: &str, held: &[Content], incoming: &[Content]) -> Vec<Finding>;
}

/// Knows of no reaction: for books that only count.
pub struct NothingKnown;

impl Mixing for NothingKnown {
    fn meet(&self, _: &str, _: &[Content], _: &[Content]) -> Vec<Finding> {
        Vec::new()
    }
}

/// What the checks found: findings, and by how much the source falls short.
pub struct Checked {
    pub findings: Vec<Finding>,
    pub short: i64,
}

/// A movement as it is meant, before it is split into solutions.
pub struct Meant<'a> {
    pub source: &'a Place,
    pub destination: &'a Place,
    pub unit: Unit,
    pub amount: i64,
}

/// Runs every check over a movement.
pub fn check(
    store: &Store,
    meant: &Meant,
    moves: &[Move],
    mixing: &dyn Mixing,
) -> Result<Checked, LedgerError> {
    let mut out = check_change(store, meant.source, meant.unit, -meant.amount)?;
    let into = check_change(store, meant.destination, meant.unit, meant.amount)?;
    out.findings.extend(into.findings);
    if meant.destination.is_real() {
        let incoming = contents(
            store,
            moves.iter().map(|step| (step.solution, step.amount)),
            meant.unit,
        )?;
        out.findings.extend(wrong_stream(meant, &incoming));
        let held = last_held(store, meant.destination.id, meant.unit)?;
        out.findings
            .extend(mixing.meet(&meant.destination.name, &held, &incoming));
    }
    Ok(out)
}

/// Checks what a place would hold after a change: not below nothing, not above its capacity.
pub fn check_change(
    store: &Store,
    place: &Place,
    unit: Unit,
    change: i64,
) -> Result<Checked, LedgerError> {
    let mut checked = Checked {
        findings: Vec::new(),
        short: 0,
    };
    if !place.is_real() {
        return Ok(checked);
    }
    let held = store.fill(place.id, unit)?;
    let after = held.saturating_add(change);
    if change < 0 && after < 0 {
        checked.short = -after;
        let finding = Finding::new("ledger/below-zero", Severity::Stop, subject(place))
            .fact("place", place.name.as_str())
            .fact("held", words(unit, held))
            .fact("wanted", words(unit, -change));
        checked.findings.push(finding);
    }
    if let Some(capacity) = place
        .capacity
        .filter(|capacity| change > 0 && after > *capacity)
    {
        let finding = Finding::new("ledger/overfill", Severity::Stop, subject(place))
            .fact("place", place.name.as_str())
            .fact("capacity", words(unit, capacity))
            .fact("held", words(unit, held))
            .fact("incoming", words(unit, change));
        checked.findings.push(finding);
    }
    Ok(checked)
}

fn subject(place: &Place) -> Subject {
    Subject::Solution(place.name.clone())
}

fn words(unit: Unit, count: i64) -> serde_json::Value {
    json!(Amount { unit, count }.to_string())
}

fn wrong_stream(meant: &Meant, incoming: &[Content]) -> Option<Finding> {
    let stream = meant.destination.stream.as_ref()?;
    let stranger = incoming.iter().find(|content| content.stream != *stream)?;
    Some(
        Finding::new(
            "ledger/wrong-stream",
            Severity::Stop,
            subject(meant.destination),
        )
        .fact("place", meant.destination.name.as_str())
        .fact("stream", stream.as_str())
        .fact("incoming", stranger.name.as_str())
        .fact("incoming_stream", stranger.stream.as_str()),
    )
}

fn contents(
    store: &Store,
    parts: impl Iterator<Item = (i64, i64)>,
    unit: Unit,
) -> Result<Vec<Content>, LedgerError> {
    parts
        .map(|(solution, amount)| {
            let what = store.solution(solution)?;
            Ok(Content {
                name: what.name,
                stream: what.stream,
                unit,
                amount,
            })
        })
        .collect()
}

/// What is in a place, and, with an amount of nothing, what was in it: an unwashed jar remembers.
fn last_held(store: &Store, place: i64, unit: Unit) -> Result<Vec<Content>, LedgerError> {
    let mut statement = store.0.prepare_cached(
        "SELECT solution, amount FROM holding WHERE place = ?1 AND unit = ?2 ORDER BY solution",
    )?;
    let rows = statement.query_map(rusqlite::params![place, unit.as_str()], |row| {
        Ok((row.get(0)?, row.get(1)?))
    })?;
    let parts: Vec<(i64, i64)> = rows.collect::<Result<_, _>>()?;
    contents(store, parts.into_iter(), unit)
}

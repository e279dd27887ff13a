//! Working an entry out: which places, how much of what, and whether it may be.

use chrono::Datelike;
use serde_json::{Value, json};

use crate::finding::{Finding, Severity, Subject};

use super::amount::{Amount, Unit};
use super::book::Caller;
use super::checks::{self, Checked, Meant};
use super::entry::{Action, Entry, How, NewPlace, PlaceKind, Solution};
use super::error::{LedgerError, Refusal};
use super::lines;
use super::store::{
    AT_START, CARRIED_OVER, COLLECTED, EVAPORATED, MIXED, Move, Place, SPILLED, Store, UNACCOUNTED,
};

/// An entry worked out, ready to be written.
pub struct Draft {
    pub kind: String,
    pub moves: Vec<Move>,
    pub reverses: Option<i64>,
    pub details: Value,
    pub findings: Vec<Finding>,
    /// The day that a month's account goes by.
    pub month_of: String,
    pub effect: Effect,
}

/// What an entry does beside moving matter.
pub enum Effect {
    None,
    Place(NewPlace),
    Area {
        bath: i64,
        material: String,
        mm2: i64,
    },
    Training {
        person: String,
        by: String,
        chemicals: String,
    },
}

/// Works an entry out, without writing it.
pub fn draft(store: &Store, entry: &Entry, caller: &Caller) -> Result<Draft, Refusal> {
    // Days are kept and compared as texts of four-figure years.
    if !(1900..=2999).contains(&entry.day.year()) {
        return Err(nonsense("ledger/no-such-day", &entry.day.to_string()));
    }
    let plan = Planner {
        store,
        entry,
        caller,
    };
    match &entry.action {
        Action::AddPlace(place) => plan.add_place(place),
        Action::Made { what, amount, into } => {
            let unaccounted = store.place_by_id(UNACCOUNTED)?.name;
            plan.brought_in(MIXED, what, *amount, into.as_ref().unwrap_or(&unaccounted))
        }
        Action::Start { what, amount, into } => plan.brought_in(AT_START, what, *amount, into),
        Action::Pour { from, to, how } => plan.moved(from, &plan.place(to)?, *how, json!({})),
        Action::Collected {
            from,
            how,
            receipt,
            carrier,
        } => {
            let details = json!({"receipt": receipt, "carrier": carrier});
            plan.moved(from, &store.place_by_id(COLLECTED)?, *how, details)
        }
        Action::Spill { from, how } => {
            plan.moved(from, &store.place_by_id(SPILLED)?, *how, json!({}))
        }
        Action::Evaporated { from, how } => {
            plan.moved(from, &store.place_by_id(EVAPORATED)?, *how, json!({}))
        }
        Action::CarriedOver { from, how } => {
            plan.moved(from, &store.place_by_id(CARRIED_OVER)?, *how, json!({}))
        }
        Action::Count { place, level } => plan.count(place, *level),
        Action::Film {
            bath,
            area,
            material,
        } => plan.film(bath, area.m2(), material),
        Action::Trained {
            person,
            by,
            chemicals,
        } => plan.trained(person, by, chemicals),
        Action::Undo { number } | Action::Correct { number, .. } => plan.undo(*number),
    }
}

pub fn nonsense(code: &str, name: &str) -> Refusal {
    let finding = Finding::new(code, Severity::Stop, Subject::Solution(name.to_owned()));
    Refusal::Nonsense(Box::new(finding.fact("name", name)))
}

pub struct Planner<'a> {
    pub store: &'a Store<'a>,
    pub entry: &'a Entry,
    pub caller: &'a Caller<'a>,
}

impl Planner<'_> {
    pub fn place(&self, name: &str) -> Result<Place, Refusal> {
        self.store
            .place(name)?
            .ok_or_else(|| nonsense("ledger/no-such-place", name))
    }

    /// A place in the room: nobody pours out of `collected`.
    pub(super) fn real_place(&self, name: &str) -> Result<(Place, Unit), Refusal> {
        let place = self.place(name)?;
        match place.unit {
            Some(unit) if place.is_real() => Ok((place, unit)),
            _ => Err(nonsense("ledger/not-in-the-room", name)),
        }
    }

    pub(super) fn draft(&self, moves: Vec<Move>, details: Value) -> Draft {
        Draft {
            kind: self.entry.action.kind().to_owned(),
            moves,
            reverses: None,
            details,
            findings: Vec::new(),
            month_of: self.entry.day.to_string(),
            effect: Effect::None,
        }
    }

    fn add_place(&self, place: &NewPlace) -> Result<Draft, Refusal> {
        if self.store.place(&place.name)?.is_some() {
            return Err(nonsense("ledger/name-taken", &place.name));
        }
        let outside = matches!(place.kind, PlaceKind::Source | PlaceKind::Sink);
        // A container collects one stream, if only `unknown`; nothing else collects.
        let streamless = (place.kind == PlaceKind::Container) != place.stream.is_some();
        if outside
            || streamless
            || place.name.trim().is_empty()
            || place.capacity.is_some_and(|c| c <= 0)
        {
            return Err(nonsense("ledger/not-a-place", &place.name));
        }
        let mut draft = self.draft(Vec::new(), json!({"place": place}));
        draft.effect = Effect::Place(place.clone());
        Ok(draft)
    }

    pub fn brought_in(
        &self,
        source: i64,
        what: &Solution,
        amount: Amount,
        into: &str,
    ) -> Result<Draft, Refusal> {
        let destination = self.place(into)?;
        self.same_unit(&destination, amount.unit)?;
        self.positive(amount.count, into)?;
        let step = Move {
            source,
            destination: destination.id,
            solution: self.store.solution_id(what)?,
            unit: amount.unit,
            amount: amount.count,
        };
        let source = self.store.place_by_id(source)?;
        self.checked(&source, &destination, vec![step], json!({}))
    }

    pub fn moved(
        &self,
        from: &str,
        destination: &Place,
        how: How,
        details: Value,
    ) -> Result<Draft, Refusal> {
        let (source, unit) = self.real_place(from)?;
        self.same_unit(destination, unit)?;
        if source.id == destination.id {
            return Err(nonsense("ledger/same-place", from));
        }
        let held = self.store.fill(source.id, unit)?;
        let amount = match how {
            How::All => held,
            How::Amount(amount) => self.in_unit(&source, amount)?,
            How::Left(left) => held - self.in_unit(&source, left)?,
        };
        self.positive(amount, from)?;
        let mut moves = lines::draw(
            self.store,
            source.id,
            destination.id,
            unit,
            amount.min(held),
        )?;
        // What the book does not know of is drawn as unknown; below_zero reports it.
        if amount > held {
            moves.push(Move {
                source: source.id,
                destination: destination.id,
                solution: self.main_solution(source.id, unit)?,
                unit,
                amount: amount - held.max(0),
            });
        }
        self.checked(&source, destination, moves, details)
    }

    /// What a place holds most of, or something unknown.
    fn main_solution(&self, place: i64, unit: Unit) -> Result<i64, LedgerError> {
        let parts = self.store.holdings(place, unit)?;
        match parts
            .iter()
            .max_by_key(|part| (part.amount, -part.solution))
        {
            Some(part) => Ok(part.solution),
            None => self.store.solution_id(&Solution::new("unknown", "unknown")),
        }
    }

    /// Runs the checks; with force, what the source falls short of is first booked as found.
    fn checked(
        &self,
        source: &Place,
        destination: &Place,
        moves: Vec<Move>,
        details: Value,
    ) -> Result<Draft, Refusal> {
        let unit = moves.first().map_or(Unit::Microlitre, |step| step.unit);
        let amount = moves.iter().map(|step| step.amount).sum();
        let meant = Meant {
            source,
            destination,
            unit,
            amount,
        };
        let Checked { findings, short } =
            checks::check(self.store, &meant, &moves, self.caller.mixing)?;
        let mut draft = self.draft(Vec::new(), details);
        if short > 0 {
            draft.moves.push(self.found(source.id, unit, short)?);
        }
        draft.moves.extend(moves);
        draft.findings = findings;
        Ok(draft)
    }

    /// A difference that turns up in a place without the book knowing whence.
    pub(super) fn found(&self, place: i64, unit: Unit, amount: i64) -> Result<Move, LedgerError> {
        Ok(Move {
            source: UNACCOUNTED,
            destination: place,
            solution: self.main_solution(place, unit)?,
            unit,
            amount,
        })
    }

    fn same_unit(&self, place: &Place, unit: Unit) -> Result<(), Refusal> {
        match place.unit {
            Some(other) if other != unit => Err(nonsense("ledger/volume-or-mass", &place.name)),
            _ => Ok(()),
        }
    }

    pub(super) fn in_unit(&self, place: &Place, amount: Amount) -> Result<i64, Refusal> {
        self.same_unit(place, amount.unit)?;
        Ok(amount.count)
    }

    pub(super) fn positive(&self, amount: i64, name: &str) -> Result<(), Refusal> {
        if amount > 0 {
            Ok(())
        } else {
            Err(nonsense("ledger/nothing-moves", name))
        }
    }
}

//! Booking an entry: one transaction, all of it or none.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::TransactionBehavior;
use serde_json::{Value, json};

use crate::finding::{Finding, Severity, Subject};

use super::Ledger;
use super::amount::{Amount, Unit};
use super::chain::{Record, hex};
use super::checks::{self, Checked, Meant, Mixing};
use super::entry::{Action, Entry, How, NewPlace, PlaceKind, Solution};
use super::error::{LedgerError, Refusal};
use super::lines;
use super::store::{
    AT_START, CARRIED_OVER, COLLECTED, EVAPORATED, MIXED, Move, Place, SPILLED, Store, UNACCOUNTED,
};

/// Who asks for an entry, and how firmly.
pub struct Caller<'a> {
    /// Asked before anything is poured.
    pub mixing: &'a dyn Mixing,
    /// Book all the same, with the findings attached.
    pub force: bool,
}

/// An entry that was booked.
#[derive(Debug, Clone, PartialEq)]
pub struct Booked {
    /// Its number; of the last one when an action makes two entries.
    pub number: i64,
    /// Its hash, in hexadecimal digits.
    pub hash: String,
    /// What the checks found; with force, also what would have refused it.
    pub findings: Vec<Finding>,
}

/// An entry worked out, ready to be written.
struct Draft {
    kind: String,
    moves: Vec<Move>,
    reverses: Option<i64>,
    details: Value,
    findings: Vec<Finding>,
    /// The day that a month's account goes by.
    month_of: String,
    effect: Effect,
}

/// What an entry does beside moving matter.
enum Effect {
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

impl Ledger {
    /// Books one entry.
    ///
    /// # Errors
    /// Refused with the reasons, or the book cannot be used; nothing is booked then.
    pub fn book(&mut self, entry: &Entry, caller: &Caller) -> Result<Booked, Refusal> {
        let booked = self.book_all(std::slice::from_ref(entry), caller)?;
        booked
            .into_iter()
            .next_back()
            .ok_or_else(|| Refusal::Ledger(LedgerError::Other("there was nothing to book".into())))
    }

    /// Books several entries, all or none.
    ///
    /// # Errors
    /// As [`Ledger::book`], for the first entry that is refused.
    pub fn book_all(&mut self, entries: &[Entry], caller: &Caller) -> Result<Vec<Booked>, Refusal> {
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let store = Store(&transaction);
        let mut booked = Vec::with_capacity(entries.len());
        for entry in entries {
            booked.push(book_one(&store, entry, caller)?);
        }
        transaction.commit()?;
        Ok(booked)
    }
}

fn book_one(store: &Store, entry: &Entry, caller: &Caller) -> Result<Booked, Refusal> {
    if let Action::Correct { number, amount } = &entry.action {
        return correct(store, entry, *number, *amount, caller);
    }
    let draft = draft(store, entry, caller)?;
    write(store, entry, draft, caller.force)
}

fn write(store: &Store, entry: &Entry, draft: Draft, force: bool) -> Result<Booked, Refusal> {
    let refused = draft
        .findings
        .iter()
        .any(|finding| finding.severity == Severity::Stop);
    if refused && !force {
        return Err(Refusal::Findings(draft.findings));
    }
    let (last, previous) = store.last()?;
    let mut record = Record {
        number: last + 1,
        kind: draft.kind,
        day: entry.day.to_string(),
        who: entry.who.clone(),
        note: entry.note.clone(),
        session: entry.session.clone(),
        reverses: draft.reverses,
        lines: Vec::new(),
        details: with_findings(draft.details, &draft.findings).to_string(),
        hash: String::new(),
    };
    record.lines = draft
        .moves
        .iter()
        .map(|step| named(store, step))
        .collect::<Result<_, _>>()?;
    let hash = record.hash_after(&previous);
    store.insert(&record, &hash, &draft.moves)?;
    settle(store, &record, &draft.moves, &draft.month_of)?;
    take_effect(store, &record, &draft.effect)?;
    Ok(Booked {
        number: record.number,
        hash: hex(&hash),
        findings: draft.findings,
    })
}

/// Forced findings stay with the entry: code and facts, as text.
fn with_findings(mut details: Value, findings: &[Finding]) -> Value {
    if let (Value::Object(fields), false) = (&mut details, findings.is_empty()) {
        let list = findings
            .iter()
            .map(|finding| {
                let facts = serde_json::to_string(&finding.facts).unwrap_or_default();
                json!({"code": finding.code.as_str(), "severity": finding.severity.to_string(), "facts": facts})
            })
            .collect();
        fields.insert("findings".into(), Value::Array(list));
    }
    details
}

fn named(store: &Store, step: &Move) -> Result<super::chain::Line, LedgerError> {
    Ok(super::chain::Line {
        from: store.place_by_id(step.source)?.name,
        to: store.place_by_id(step.destination)?.name,
        what: store.solution(step.solution)?,
        unit: step.unit,
        amount: step.amount,
    })
}

/// Brings the kept balances up to date with an entry.
pub(super) fn settle(
    store: &Store,
    record: &Record,
    moves: &[Move],
    month_of: &str,
) -> Result<(), LedgerError> {
    for step in moves {
        store.add(step.source, step, -step.amount, &record.day)?;
        store.add(step.destination, step, step.amount, &record.day)?;
        if store.fill(step.source, step.unit)? == 0 {
            store.reset_bath(step.source)?;
        }
        account_month(store, record, step, month_of)?;
    }
    Ok(())
}

/// Waste is made when it enters a container of its stream from elsewhere; taking such an entry
/// back takes it out of the month it was booked in.
fn account_month(
    store: &Store,
    record: &Record,
    step: &Move,
    month_of: &str,
) -> Result<(), LedgerError> {
    let source = store.place_by_id(step.source)?;
    let destination = store.place_by_id(step.destination)?;
    let month = month_of.get(..7).unwrap_or(month_of);
    match (&source.stream, &destination.stream) {
        (None, Some(stream)) => store.add_to_month(month, stream, step.unit, step.amount),
        (Some(stream), None) if record.reverses.is_some() => {
            store.add_to_month(month, stream, step.unit, -step.amount)
        }
        _ => Ok(()),
    }
}

fn take_effect(store: &Store, record: &Record, effect: &Effect) -> Result<(), LedgerError> {
    match effect {
        Effect::None => Ok(()),
        Effect::Place(place) => store.insert_place(record.number, place).map(|_| ()),
        Effect::Area {
            bath,
            material,
            mm2,
        } => store.add_area(*bath, material, *mm2),
        Effect::Training {
            person,
            by,
            chemicals,
        } => store.insert_training(record.number, &record.day, person, by, chemicals),
    }
}

fn draft(store: &Store, entry: &Entry, caller: &Caller) -> Result<Draft, Refusal> {
    let plan = Planner {
        store,
        entry,
        caller,
    };
    match &entry.action {
        Action::AddPlace(place) => plan.add_place(place),
        Action::Made { what, amount, into } => {
            let unaccounted = store.place_by_id(UNACCOUNTED)?.name;
            plan.from_outside(MIXED, what, *amount, into.as_ref().unwrap_or(&unaccounted))
        }
        Action::Start { what, amount, into } => plan.from_outside(AT_START, what, *amount, into),
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

fn nonsense(code: &str, name: &str) -> Refusal {
    Refusal::Nonsense(
        Finding::new(code, Severity::Stop, Subject::Solution(name.to_owned())).fact("name", name),
    )
}

struct Planner<'a> {
    store: &'a Store<'a>,
    entry: &'a Entry,
    caller: &'a Caller<'a>,
}

impl Planner<'_> {
    fn place(&self, name: &str) -> Result<Place, Refusal> {
        self.store
            .place(name)?
            .ok_or_else(|| nonsense("ledger/no-such-place", name))
    }

    /// A place in the room: nobody pours out of `collected`.
    fn real_place(&self, name: &str) -> Result<(Place, Unit), Refusal> {
        let place = self.place(name)?;
        match place.unit {
            Some(unit) if place.is_real() => Ok((place, unit)),
            _ => Err(nonsense("ledger/not-in-the-room", name)),
        }
    }

    fn draft(&self, moves: Vec<Move>, details: Value) -> Draft {
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

    fn from_outside(
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

    fn moved(
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
    fn found(&self, place: i64, unit: Unit, amount: i64) -> Result<Move, LedgerError> {
        Ok(Move {
            source: UNACCOUNTED,
            destination: place,
            solution: self.main_solution(place, unit)?,
            unit,
            amount,
        })
    }

    fn count(&self, name: &str, level: Amount) -> Result<Draft, Refusal> {
        let (place, unit) = self.real_place(name)?;
        let level = self.in_unit(&place, level)?;
        let held = self.store.fill(place.id, unit)?;
        let moves = match level - held {
            0 => Vec::new(),
            more if more > 0 => vec![self.found(place.id, unit, more)?],
            less => lines::draw(self.store, place.id, UNACCOUNTED, unit, -less)?,
        };
        let details = json!({"place": name, "booked": held, "measured": level});
        Ok(self.draft(moves, details))
    }

    fn film(&self, bath: &str, m2: f64, material: &str) -> Result<Draft, Refusal> {
        let (place, _) = self.real_place(bath)?;
        let mm2 = libm::round(m2 * 1e6) as i64;
        self.positive(mm2, bath)?;
        let details = json!({"bath": bath, "material": material, "mm2": mm2});
        let mut draft = self.draft(Vec::new(), details);
        draft.effect = Effect::Area {
            bath: place.id,
            material: material.to_owned(),
            mm2,
        };
        Ok(draft)
    }

    fn trained(&self, person: &str, by: &str, chemicals: &[String]) -> Result<Draft, Refusal> {
        let details = json!({"person": person, "by": by, "chemicals": chemicals});
        let mut draft = self.draft(Vec::new(), details);
        draft.effect = Effect::Training {
            person: person.to_owned(),
            by: by.to_owned(),
            chemicals: json!(chemicals).to_string(),
        };
        Ok(draft)
    }

    fn undo(&self, number: i64) -> Result<Draft, Refusal> {
        let name = number.to_string();
        let original = self
            .store
            .record(number)?
            .ok_or_else(|| nonsense("ledger/no-such-entry", &name))?;
        if self.store.reversed_by(number)?.is_some() {
            return Err(nonsense("ledger/undone-already", &name));
        }
        if original.kind == "place" {
            return Err(nonsense("ledger/place-stays", &name));
        }
        let places = self.store.places()?;
        let real = |id: i64| places.iter().any(|place| place.id == id && place.is_real());
        let moves = lines::take_back(self.store, &self.store.moves(number)?, real)?;
        let mut draft = self.draft(Vec::new(), json!({"kind": original.kind}));
        draft.kind = "undo".to_owned();
        draft.reverses = Some(number);
        draft.month_of = super::books::first_day(&original, &|number| self.store.record(number))?;
        draft.effect = self.effect_back(&original)?;
        self.check_back(&moves, &places, &mut draft)?;
        draft.moves.extend(moves);
        Ok(draft)
    }

    /// An area is taken back as an area; taking that back in turn adds it again.
    fn effect_back(&self, original: &Record) -> Result<Effect, LedgerError> {
        match super::books::area_of(original, &|number| self.store.record(number))? {
            Some((bath, material, mm2)) => Ok(match self.store.place(&bath)? {
                Some(place) => Effect::Area {
                    bath: place.id,
                    material,
                    mm2: -mm2,
                },
                None => Effect::None,
            }),
            None => Ok(Effect::None),
        }
    }

    /// Only what each place gains or loses in all counts: a forced entry moves both ways.
    fn check_back(
        &self,
        moves: &[Move],
        places: &[Place],
        draft: &mut Draft,
    ) -> Result<(), Refusal> {
        let mut net: BTreeMap<(i64, Unit), i64> = BTreeMap::new();
        for step in moves {
            *net.entry((step.source, step.unit)).or_default() -= step.amount;
            *net.entry((step.destination, step.unit)).or_default() += step.amount;
        }
        for ((id, unit), change) in net {
            let Some(place) = places
                .iter()
                .find(|place| place.id == id && place.is_real())
            else {
                continue;
            };
            let checked = checks::check_change(self.store, place, unit, change)?;
            if checked.short > 0 {
                draft.moves.push(self.found(place.id, unit, checked.short)?);
            }
            draft.findings.extend(checked.findings);
        }
        Ok(())
    }

    fn same_unit(&self, place: &Place, unit: Unit) -> Result<(), Refusal> {
        match place.unit {
            Some(other) if other != unit => Err(nonsense("ledger/volume-or-mass", &place.name)),
            _ => Ok(()),
        }
    }

    fn in_unit(&self, place: &Place, amount: Amount) -> Result<i64, Refusal> {
        self.same_unit(place, amount.unit)?;
        Ok(amount.count)
    }

    fn positive(&self, amount: i64, name: &str) -> Result<(), Refusal> {
        if amount > 0 {
            Ok(())
        } else {
            Err(nonsense("ledger/nothing-moves", name))
        }
    }
}

/// Takes an entry back and books it again with the amount it should have had.
fn correct(
    store: &Store,
    entry: &Entry,
    number: i64,
    amount: Amount,
    caller: &Caller,
) -> Result<Booked, Refusal> {
    let name = number.to_string();
    let original = store
        .record(number)?
        .ok_or_else(|| nonsense("ledger/no-such-entry", &name))?;
    let (Some(line), None) = (original.lines.last(), original.reverses) else {
        return Err(nonsense("ledger/cannot-be-corrected", &name));
    };
    if original.kind == "count" {
        return Err(nonsense("ledger/cannot-be-corrected", &name));
    }
    let undo = Entry {
        action: Action::Undo { number },
        ..entry.clone()
    };
    let mut taken_back = book_one(store, &undo, caller)?;

    let day = original.day.parse::<NaiveDate>().unwrap_or(entry.day);
    let again = Entry {
        day,
        ..entry.clone()
    };
    let plan = Planner {
        store,
        entry: &again,
        caller,
    };
    let mut draft = match line.from.as_str() {
        "mixed" | "stock at start" => {
            let source = plan.place(&line.from)?;
            plan.from_outside(source.id, &line.what, amount, &line.to)?
        }
        from => plan.moved(from, &plan.place(&line.to)?, How::Amount(amount), json!({}))?,
    };
    draft.kind.clone_from(&original.kind);
    let details = serde_json::from_str(&original.details).unwrap_or(json!({}));
    draft.details = corrected(details, number);
    let mut booked = write(store, &again, draft, caller.force)?;
    taken_back.findings.append(&mut booked.findings);
    Ok(Booked {
        findings: taken_back.findings,
        ..booked
    })
}

fn corrected(details: Value, number: i64) -> Value {
    match details {
        Value::Object(mut fields) => {
            fields.shift_remove("findings");
            fields.insert("corrects".into(), json!(number));
            Value::Object(fields)
        }
        _ => json!({"corrects": number}),
    }
}

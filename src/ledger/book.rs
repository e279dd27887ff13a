//! Booking an entry: one transaction, all of it or none.

use chrono::NaiveDate;
use rusqlite::TransactionBehavior;
use serde_json::{Value, json};

use crate::finding::{Finding, Severity, Subject};

use super::Ledger;
use super::amount::Amount;
use super::chain::{Record, hex};
use super::checks::Mixing;
use super::entry::{Action, Entry, How};
use super::error::{LedgerError, Refusal};
use super::plan::{Draft, Effect, Planner, draft, nonsense};
use super::store::{Move, Store};

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
        self.in_one(|store| {
            let booked = entries.iter().map(|entry| book_one(store, entry, caller));
            booked.collect()
        })
    }

    /// Books what a session made, all or none, and once: whether it was booked already is asked
    /// while nobody else can book it.
    ///
    /// # Errors
    /// As [`Ledger::book_all`]; and when the session stands in the book, unless forced.
    pub fn book_made(
        &mut self,
        session: &str,
        entries: &[Entry],
        caller: &Caller,
    ) -> Result<Vec<Booked>, Refusal> {
        self.in_one(|store| {
            let again: Vec<Finding> = made_already(store, session)?.into_iter().collect();
            let booked = entries.iter().map(|entry| {
                let mut draft = draft(store, entry, caller)?;
                if entry.action.kind() == "made" {
                    draft.findings.extend(again.iter().cloned());
                }
                write(store, entry, draft, caller.force)
            });
            booked.collect()
        })
    }

    /// Runs one transaction that keeps others from writing from its beginning on.
    fn in_one(
        &mut self,
        book: impl FnOnce(&Store) -> Result<Vec<Booked>, Refusal>,
    ) -> Result<Vec<Booked>, Refusal> {
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let booked = book(&Store(&transaction))?;
        transaction.commit()?;
        Ok(booked)
    }
}

/// Says so when a session was booked as made already and that entry still stands.
fn made_already(store: &Store, session: &str) -> Result<Option<Finding>, LedgerError> {
    let number = store.standing_made(session)?;
    Ok(number.map(|number| {
        let subject = Subject::Solution(session.to_owned());
        Finding::new("ledger/made-already", Severity::Stop, subject)
            .fact("session", session)
            .fact("number", number)
    }))
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
        let held = store.fill(step.source, step.unit)?;
        store.add(step.source, step, -step.amount, &record.day)?;
        store.add(step.destination, step, step.amount, &record.day)?;
        if store.place_by_id(step.destination)?.is_for_use() {
            let share = area_share(store.bath(step.source)?, step.amount, held);
            store.add_to_bath(step.source, -share)?;
            store.add_to_bath(step.destination, share)?;
        }
        if held == step.amount {
            store.reset_bath(step.source)?;
        }
        account_month(store, record, step, month_of)?;
    }
    Ok(())
}

/// A bath takes its share of the area it has processed along, mm²: back in its bottle it is as
/// used up as it was in the tray.
pub(super) fn area_share(mm2: i64, amount: i64, held: i64) -> i64 {
    if held <= 0 {
        return 0;
    }
    (i128::from(mm2) * i128::from(amount.min(held)) / i128::from(held)) as i64
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
            plan.brought_in(source.id, &line.what, amount, &line.to)?
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

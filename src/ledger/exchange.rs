//! The book as lines of JSON, one entry a line, and back to the same hashes.

use std::io::{BufRead, Read, Write};
use std::path::Path;

use rusqlite::TransactionBehavior;

use super::Ledger;
use super::book;
use super::books::{Names, area_of, first_day};
use super::chain::{Record, START, hex};
use super::entry::NewPlace;
use super::error::LedgerError;
use super::store::{Move, Store};

/// Bytes of a line; an entry takes some hundred.
const LONGEST_LINE: u64 = 1_000_000;

impl Ledger {
    /// Writes every entry as one line of JSON; gives the number of entries.
    ///
    /// # Errors
    /// When the book cannot be read or the output not written.
    pub fn export(&self, out: &mut dyn Write) -> Result<i64, LedgerError> {
        let view = self.connection.unchecked_transaction()?;
        let store = Store(&view);
        let names = Names::read(&store)?;
        let mut entries = 0;
        store.each_entry(&names, |record, _| {
            let line = serde_json::to_string(record)
                .map_err(|error| LedgerError::Other(error.to_string()))?;
            out.write_all(line.as_bytes())?;
            out.write_all(b"\n")?;
            entries += 1;
            Ok(())
        })?;
        Ok(entries)
    }

    /// Lays down a new book from an export; all of it or nothing.
    ///
    /// # Errors
    /// Names the first line that is malformed or whose hash does not follow from the line before.
    pub fn import(path: &Path, lines: &mut dyn BufRead) -> Result<Self, LedgerError> {
        let mut ledger = Self::create(path)?;
        match ledger.take_in(lines) {
            Ok(()) => Ok(ledger),
            Err(error) => {
                drop(ledger);
                let _ = std::fs::remove_file(path);
                Err(error)
            }
        }
    }

    fn take_in(&mut self, lines: &mut dyn BufRead) -> Result<(), LedgerError> {
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let store = Store(&transaction);
        let mut previous = START;
        let mut text = String::new();
        for line in 1.. {
            text.clear();
            let wrong = |what: String| LedgerError::Import { line, what };
            let mut lines = Read::take(&mut *lines, LONGEST_LINE);
            if lines.read_line(&mut text)? == 0 {
                break;
            }
            if text.len() as u64 == LONGEST_LINE {
                return Err(wrong("it is longer than any entry".into()));
            }
            let record: Record =
                serde_json::from_str(&text).map_err(|error| wrong(error.to_string()))?;
            if record.number != line as i64 {
                return Err(wrong(format!(
                    "entry {line} is missing; here stands entry {}",
                    record.number
                )));
            }
            let hash = record.hash_after(&previous);
            if hex(&hash) != record.hash {
                return Err(wrong("its contents and its hash do not fit".into()));
            }
            enter(&store, &record, &hash).map_err(|error| wrong(error.to_string()))?;
            previous = hash;
        }
        transaction.commit()?;
        Ok(())
    }
}

fn enter(store: &Store, record: &Record, hash: &[u8; 32]) -> Result<(), LedgerError> {
    let moves = record
        .lines
        .iter()
        .map(|line| move_of(store, line))
        .collect::<Result<Vec<_>, _>>()?;
    store.insert(record, hash, &moves)?;
    let look_up = |number| store.record(number);
    book::settle(store, record, &moves, &first_day(record, &look_up)?)?;
    let details: serde_json::Value = serde_json::from_str(&record.details).unwrap_or_default();
    if record.kind == "place" {
        let place: NewPlace = serde_json::from_value(details["place"].clone())
            .map_err(|error| LedgerError::Other(error.to_string()))?;
        store.insert_place(record.number, &place)?;
    }
    if record.kind == "trained" {
        let text = |key: &str| details[key].as_str().unwrap_or_default().to_owned();
        let chemicals = details["chemicals"].to_string();
        store.insert_training(
            record.number,
            &record.day,
            &text("person"),
            &text("by"),
            &chemicals,
        )?;
    }
    if let Some((bath, material, mm2)) = area_of(record, &look_up)?
        && let Some(place) = store.place(&bath)?
    {
        store.add_area(place.id, &material, mm2)?;
    }
    Ok(())
}

fn move_of(store: &Store, line: &super::chain::Line) -> Result<Move, LedgerError> {
    let place = |name: &str| -> Result<i64, LedgerError> {
        let found = store.place(name)?;
        found
            .map(|place| place.id)
            .ok_or_else(|| LedgerError::Other(format!("the place `{name}` is not in the book yet")))
    };
    Ok(Move {
        source: place(&line.from)?,
        destination: place(&line.to)?,
        solution: store.solution_id(&line.what)?,
        unit: line.unit,
        amount: line.amount,
    })
}

//! Checking that the book is as it was booked.

use std::path::Path;
use std::thread;

use super::Ledger;
use super::books::{Books, Names};
use super::chain::{Record, START, hex};
use super::entry::NewPlace;
use super::error::LedgerError;
use super::store::{Move, Store};

/// A book that is as it was booked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verified {
    /// How many entries.
    pub entries: i64,
    /// The hash of the last one; write it down elsewhere, and a shortened book will show.
    pub last_hash: String,
}

impl Ledger {
    /// Recomputes the chain of hashes and every balance.
    ///
    /// # Errors
    /// Names the first entry that is not as it was booked, or the balance that does not fit.
    pub fn verify(&self) -> Result<Verified, LedgerError> {
        thread::scope(|scope| {
            let beside = self
                .beside()
                .map(|other| scope.spawn(move || check_rows(&Store(&other.connection))));
            let verified = self.verify_entries()?;
            match beside.map(thread::ScopedJoinHandle::join) {
                Some(Ok(rows)) => rows?,
                _ => check_rows(&Store(&self.connection))?,
            }
            Ok(verified)
        })
    }

    /// The same file a second time, so that its pages are checked while its entries are.
    fn beside(&self) -> Option<Self> {
        let path = self.connection.path().filter(|path| !path.is_empty())?;
        Self::open_read_only(Path::new(path)).ok()
    }

    fn verify_entries(&self) -> Result<Verified, LedgerError> {
        // One view of the book, however many others are booking.
        let view = self.connection.unchecked_transaction()?;
        let store = Store(&view);
        let names = Names::read(&store)?;
        let mut books = Books::default();
        let mut previous = START;
        let mut reached = 0;
        store.each_entry(&names, |record, moves| {
            let hash = check_entry(record, reached, &previous)?;
            books.apply(&store, &names, record, moves)?;
            check_details(&store, record, moves)?;
            reached = record.number;
            previous = hash;
            Ok(())
        })?;
        check_balances(&store, &names, &books)?;
        Ok(Verified {
            entries: reached,
            last_hash: hex(&previous),
        })
    }

    /// Number of entries and hash of the last one, without checking them.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn last(&self) -> Result<Verified, LedgerError> {
        let (entries, hash) = Store(&self.connection).last()?;
        Ok(Verified {
            entries,
            last_hash: hex(&hash),
        })
    }
}

fn bad(number: i64, what: impl Into<String>) -> LedgerError {
    LedgerError::BadEntry {
        number,
        what: what.into(),
    }
}

/// The entry's own hash, when it is the one it carries.
fn check_entry(
    record: &Record,
    reached: i64,
    previous: &[u8; 32],
) -> Result<[u8; 32], LedgerError> {
    if record.number != reached + 1 {
        return Err(bad(reached + 1, "it is missing"));
    }
    let hash = record.hash_after(previous);
    if hex(&hash) == record.hash {
        Ok(hash)
    } else {
        Err(bad(record.number, "its contents and its hash do not fit"))
    }
}

/// The rows that an entry made beside its movements must say what the entry says.
fn check_details(store: &Store, record: &Record, moves: &[Move]) -> Result<(), LedgerError> {
    match record.kind.as_str() {
        "place" => check_place(store, record),
        "trained" => check_training(store, record),
        _ if moves.iter().any(|step| step.amount <= 0) => {
            Err(bad(record.number, "it moves nothing"))
        }
        _ => Ok(()),
    }
}

fn check_place(store: &Store, record: &Record) -> Result<(), LedgerError> {
    let details: serde_json::Value = serde_json::from_str(&record.details).unwrap_or_default();
    let booked: Option<NewPlace> = details
        .get("place")
        .and_then(|place| serde_json::from_value(place.clone()).ok());
    let booked = booked.ok_or_else(|| bad(record.number, "it names no place"))?;
    let kept = store.place(&booked.name)?;
    let same = kept.is_some_and(|kept| {
        (kept.kind, &kept.stream, kept.unit, kept.capacity)
            == (
                booked.kind,
                &booked.stream,
                Some(booked.unit),
                booked.capacity,
            )
    });
    if same {
        Ok(())
    } else {
        Err(bad(record.number, "the place it made has been changed"))
    }
}

fn check_training(store: &Store, record: &Record) -> Result<(), LedgerError> {
    let details: serde_json::Value = serde_json::from_str(&record.details).unwrap_or_default();
    let kept = store.0.query_row(
        "SELECT person, given_by, day, chemicals FROM training WHERE entry = ?1",
        [record.number],
        |row| {
            Ok((
                row.get::<_, String>(0)?,
                row.get::<_, String>(1)?,
                row.get::<_, String>(2)?,
                row.get::<_, String>(3)?,
            ))
        },
    );
    let text = |key: &str| {
        details
            .get(key)
            .and_then(|value| value.as_str())
            .unwrap_or_default()
            .to_owned()
    };
    let chemicals = details
        .get("chemicals")
        .map(ToString::to_string)
        .unwrap_or_default();
    match kept {
        Ok(row) if row == (text("person"), text("by"), record.day.clone(), chemicals) => Ok(()),
        _ => Err(bad(record.number, "its training record has been changed")),
    }
}

/// The pages of the file, and rows that belong to no entry.
fn check_rows(store: &Store) -> Result<(), LedgerError> {
    check_pages(store)?;
    check_strays(store)
}

fn check_pages(store: &Store) -> Result<(), LedgerError> {
    let report: String = store
        .0
        .query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))?;
    if report == "ok" {
        Ok(())
    } else {
        Err(LedgerError::Damaged(report))
    }
}

/// Rows that belong to no entry.
fn check_strays(store: &Store) -> Result<(), LedgerError> {
    let strays: i64 = store.0.query_row(
        "SELECT (SELECT count(*) FROM transfer WHERE entry NOT IN (SELECT number FROM entry))
              + (SELECT count(*) FROM place WHERE entry <> 0 AND entry NOT IN (SELECT number FROM entry WHERE kind = 'place'))
              + (SELECT count(*) FROM training WHERE entry NOT IN (SELECT number FROM entry WHERE kind = 'trained'))",
        [],
        |row| row.get(0),
    )?;
    if strays == 0 {
        Ok(())
    } else {
        Err(LedgerError::Damaged(format!(
            "{strays} rows belong to no entry"
        )))
    }
}

fn check_balances(store: &Store, names: &Names, added_up: &Books) -> Result<(), LedgerError> {
    let kept = Books::kept(store)?;
    let mut added_up = added_up.clone();
    added_up.drop_nothing();
    if kept == added_up {
        return Ok(());
    }
    let differs = |place: &i64| {
        let part = |books: &Books| -> Vec<_> {
            let fills = books.fills.iter().filter(|((at, _), _)| at == place);
            fills.map(|(key, fill)| (*key, fill.clone())).collect()
        };
        part(&kept) != part(&added_up)
    };
    let place = names
        .places
        .iter()
        .find(|(id, _)| differs(id))
        .map(|(_, place)| place.name.as_str());
    Err(LedgerError::Damaged(match place {
        Some(name) => format!("the kept balance of `{name}` is not the sum of its entries"),
        None => "a kept balance is not the sum of its entries".to_owned(),
    }))
}

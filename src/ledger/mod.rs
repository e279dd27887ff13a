//! The book of every litre made, kept, poured and collected.
//!
//! Places and transfers between them in one SQLite file: what leaves one place arrives in another,
//! so nothing is lost and nothing appears. Entries are only ever added; a mistake is undone by a
//! reversing entry that keeps both halves. Each entry carries the hash of the one before it, so
//! that a changed entry shows. Balances are kept as entries are booked and can be checked against
//! the entries at any time ([`Ledger::verify`]).
//!
//! There is no clock in here: every date is given. What must not be mixed is asked of the caller
//! ([`Mixing`]).

mod amount;
mod error;
mod entry;
mod chain;
mod telling;
mod open;
mod place;
mod store;
mod walk;
mod lines;
mod checks;
mod held;
mod gas;
mod meeting;
mod plan;
mod plan_back;
mod plan_noted;
mod book;
mod books;
mod verify;
mod exchange;
mod label_id;
mod report;
mod silver;
mod tally;
mod about;
mod strictest;
mod teller;
mod tally_json;

pub use amount::{Amount, Unit};
pub use book::{Booked, Caller};
pub use chain::Record;
pub use checks::{Content, Mixing, NothingKnown};
pub use entry::{Action, Entry, How, NewPlace, PlaceKind, Solution};
pub use error::{LedgerError, Refusal};
pub use gas::{GasTable, LitresOf};
pub use held::{Holdings, Litre};
pub use label_id::{bottle_id, is_meant, label_id};
pub use meeting::Meeting;
pub use report::{MonthVolume, Training};
pub use silver::{SilverEstimate, SilverTable};
pub use tally::{
    CategoryLine, ContainerLine, Deadline, KeepingLine, MonthLine, StreamLine, Tally, TallyRules,
};
pub use verify::Verified;

use rusqlite::Connection;

/// An open book.
pub struct Ledger {
    connection: Connection,
}

//! Creating, opening and bringing up to date the file.

use std::path::Path;
use std::time::Duration;

use rusqlite::{Connection, OpenFlags, TransactionBehavior};

use super::Ledger;
use super::error::LedgerError;

/// Marks the file as a book of this program (`WETS`).
const APPLICATION: i64 = 0x5745_5453;

/// Every schema, oldest first; never edited once shipped.
const SCHEMAS: [&str; 1] = [include_str!("schema/0001.sql")];

/// How long to wait for another program.
const PATIENCE: Duration = Duration::from_secs(60);

impl Ledger {
    /// A new book at a path where nothing stands yet.
    ///
    /// # Errors
    /// When a file is there already, or it cannot be written.
    pub fn create(path: &Path) -> Result<Self, LedgerError> {
        // Claims the name, so that two programs cannot both lay down a book.
        let claim = std::fs::OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(path);
        match claim {
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
                return Err(LedgerError::Exists(path.display().to_string()));
            }
            other => other?,
        };
        let made = Self::lay_down(path);
        if made.is_err() {
            let _ = std::fs::remove_file(path);
        }
        made
    }

    fn lay_down(path: &Path) -> Result<Self, LedgerError> {
        let mut ledger = Self::connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        ledger.migrate()?;
        Ok(ledger)
    }

    /// Opens a book for reading and booking, and brings an older one up to date.
    ///
    /// # Errors
    /// When there is none, it is another program's file, damaged, or from a newer program.
    pub fn open(path: &Path) -> Result<Self, LedgerError> {
        let mut ledger = Self::open_with(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        ledger.migrate()?;
        Ok(ledger)
    }

    /// Opens a book for reading only. What a program killed in the middle of booking left
    /// behind is first taken back, as it is on opening for booking.
    ///
    /// # Errors
    /// As [`Ledger::open`].
    pub fn open_read_only(path: &Path) -> Result<Self, LedgerError> {
        match Self::open_with(path, OpenFlags::SQLITE_OPEN_READ_ONLY) {
            Err(LedgerError::ReadOnly) => {
                drop(Self::open_with(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?);
                Self::open_with(path, OpenFlags::SQLITE_OPEN_READ_ONLY)
            }
            other => other,
        }
    }

    fn open_with(path: &Path, flags: OpenFlags) -> Result<Self, LedgerError> {
        if !path.is_file() {
            return Err(LedgerError::Missing(path.display().to_string()));
        }
        let foreign = || LedgerError::Foreign(path.display().to_string());
        let ledger = Self::connect(path, flags).map_err(|error| match error {
            LedgerError::Foreign(_) => foreign(),
            other => other,
        })?;
        if ledger.number("PRAGMA application_id")? != APPLICATION {
            return Err(foreign());
        }
        let (found, known) = (ledger.number("PRAGMA user_version")?, SCHEMAS.len() as i64);
        if found > known {
            return Err(LedgerError::FromTheFuture { found, known });
        }
        Ok(ledger)
    }

    fn connect(path: &Path, flags: OpenFlags) -> Result<Self, LedgerError> {
        let connection =
            Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)?;
        connection.busy_timeout(PATIENCE)?;
        // Without recursive triggers, INSERT OR REPLACE would slip past the ban on deleting.
        connection.execute_batch(
            "PRAGMA recursive_triggers = ON; PRAGMA foreign_keys = ON; PRAGMA synchronous = FULL;
             PRAGMA trusted_schema = OFF; PRAGMA cache_size = -16384;",
        )?;
        connection.set_prepared_statement_cache_capacity(64);
        let ledger = Self { connection };
        // The first read finds out what kind of file it is, and whether it is cut short.
        ledger.number("SELECT count(*) FROM sqlite_schema")?;
        Ok(ledger)
    }

    fn number(&self, sql: &str) -> Result<i64, LedgerError> {
        Ok(self.connection.query_row(sql, [], |row| row.get(0))?)
    }

    /// Runs every schema the file does not have yet, all or none.
    fn migrate(&mut self) -> Result<(), LedgerError> {
        let known = SCHEMAS.len() as i64;
        if self.number("PRAGMA user_version")? == known {
            return Ok(());
        }
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        // Another program may have done it while we waited.
        let found: i64 = transaction.query_row("PRAGMA user_version", [], |row| row.get(0))?;
        for schema in SCHEMAS.iter().skip(usize::try_from(found).unwrap_or(0)) {
            transaction.execute_batch(schema)?;
        }
        transaction.pragma_update(None, "application_id", APPLICATION)?;
        transaction.pragma_update(None, "user_version", known)?;
        transaction.commit()?;
        Ok(())
    }
}

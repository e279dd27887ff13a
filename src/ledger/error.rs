//! What can go wrong with the book.

use std::fmt;

use crate::finding::Finding;

/// Why the book cannot be used.
#[derive(Debug)]
pub enum LedgerError {
    /// There is no file there.
    Missing(String),
    /// There is a file there already.
    Exists(String),
    /// The file is no book of this program.
    Foreign(String),
    /// The book was written by a newer program.
    FromTheFuture {
        /// Schema of the file.
        found: i64,
        /// Newest schema this program knows.
        known: i64,
    },
    /// The file is damaged; says how.
    Damaged(String),
    /// An entry does not fit the chain or the balances; says which.
    BadEntry {
        /// Its number.
        number: i64,
        /// What is wrong with it.
        what: String,
    },
    /// The file or its folder cannot be written.
    ReadOnly,
    /// The disk is full.
    Full,
    /// Another program held the book for too long.
    Busy,
    /// A line of an import is wrong.
    Import {
        /// Line, from 1.
        line: usize,
        /// What is wrong with it.
        what: String,
    },
    /// Anything else that reading or writing brought.
    Other(String),
}

impl fmt::Display for LedgerError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing(path) => write!(f, "there is no ledger at {path}"),
            Self::Exists(path) => write!(f, "there is a file at {path} already; it was left alone"),
            Self::Foreign(path) => write!(
                f,
                "{path} is not a ledger of this program; it was left alone"
            ),
            Self::FromTheFuture { found, known } => write!(
                f,
                "the ledger was written by a newer program (form {found}, this one knows {known}); use the newer program"
            ),
            Self::Damaged(how) => write!(
                f,
                "the ledger is damaged: {how}; restore it from a backup or an export"
            ),
            Self::BadEntry { number, what } => {
                write!(f, "entry {number} is not as it was booked: {what}")
            }
            Self::ReadOnly => {
                f.write_str("the ledger cannot be written: the file or its folder is read-only")
            }
            Self::Full => f.write_str("the disk is full; nothing was booked"),
            Self::Busy => {
                f.write_str("another program is using the ledger; nothing was booked, try again")
            }
            Self::Import { line, what } => {
                write!(f, "line {line} of the import: {what}; nothing was imported")
            }
            Self::Other(what) => write!(f, "the ledger could not be used: {what}"),
        }
    }
}

impl std::error::Error for LedgerError {}

impl From<rusqlite::Error> for LedgerError {
    fn from(error: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode;
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseCorrupt) => {
                Self::Damaged("its pages do not fit together".into())
            }
            Some(ErrorCode::NotADatabase) => Self::Foreign("the file".into()),
            Some(ErrorCode::ReadOnly) => Self::ReadOnly,
            Some(ErrorCode::DiskFull) => Self::Full,
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            _ => Self::Other(error.to_string()),
        }
    }
}

impl From<std::io::Error> for LedgerError {
    fn from(error: std::io::Error) -> Self {
        match error.kind() {
            std::io::ErrorKind::StorageFull => Self::Full,
            std::io::ErrorKind::PermissionDenied | std::io::ErrorKind::ReadOnlyFilesystem => {
                Self::ReadOnly
            }
            _ => Self::Other(error.to_string()),
        }
    }
}

/// Why an entry was not booked.
#[derive(Debug)]
pub enum Refusal {
    /// It would do what must not be done; may be booked all the same with force.
    Findings(Vec<Finding>),
    /// It makes no sense: an unknown place, an entry undone already. Force does not help.
    Nonsense(Box<Finding>),
    /// The book itself could not be used.
    Ledger(LedgerError),
}

impl<E: Into<LedgerError>> From<E> for Refusal {
    fn from(error: E) -> Self {
        Self::Ledger(error.into())
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Findings(findings) => {
                let codes: Vec<&str> = findings
                    .iter()
                    .map(|finding| finding.code.as_str())
                    .collect();
                write!(f, "not booked: {}", codes.join(", "))
            }
            Self::Nonsense(finding) => write!(f, "not booked: {}", finding.code),
            Self::Ledger(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for Refusal {}

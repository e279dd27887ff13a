//! Why the work could not be done.

use std::io;
use std::path::{Path, PathBuf};

use crate::catalogue::DataError;
use crate::document::TemplateError;
use crate::source::Mistake;

/// What stopped the program; every kind ends with exit code 2.
#[derive(Debug)]
pub enum Error {
    /// What is wrong with the person's files, all of it.
    Mistakes(Vec<Mistake>),
    /// A data file that cannot be used.
    Data(DataError),
    /// A file that cannot be read or written.
    File {
        /// What was being done, `read` or `write`.
        doing: &'static str,
        /// The file.
        path: PathBuf,
        /// What the system said.
        error: io::Error,
    },
    /// Anything else, with what to do about it.
    Other {
        /// What is wrong.
        message: String,
        /// What to do.
        help: String,
    },
}

impl Error {
    /// A file that cannot be read.
    pub fn read(path: &Path, error: io::Error) -> Self {
        Self::File {
            doing: "read",
            path: path.to_owned(),
            error,
        }
    }

    /// A file that cannot be written.
    pub fn write(path: &Path, error: io::Error) -> Self {
        Self::File {
            doing: "write",
            path: path.to_owned(),
            error,
        }
    }

    /// Something else.
    pub fn other(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self::Other {
            message: message.into(),
            help: help.into(),
        }
    }
}

impl From<Vec<Mistake>> for Error {
    fn from(mistakes: Vec<Mistake>) -> Self {
        Self::Mistakes(mistakes)
    }
}

impl From<Mistake> for Error {
    fn from(mistake: Mistake) -> Self {
        Self::Mistakes(vec![mistake])
    }
}

impl From<DataError> for Error {
    fn from(error: DataError) -> Self {
        Self::Data(error)
    }
}

impl From<TemplateError> for Error {
    fn from(error: TemplateError) -> Self {
        Self::other(
            error.to_string(),
            "correct the template; leave yours away to use the built-in one",
        )
    }
}

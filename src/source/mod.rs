//! A file the person wrote, kept whole, with the place of everything in it.
//!
//! [`yaml`] reads it into nodes that know their line and column; [`Fields`] takes fields out of
//! nodes and collects every mistake instead of stopping at the first.

pub mod yaml;
mod read;

pub use read::{Fields, Mistake, Mistakes, nearest, nearest_ranked};

use std::sync::Arc;

/// A file's name as the person knows it, and its text.
#[derive(Debug, PartialEq, Eq)]
pub struct SourceFile {
    /// The path as it was given.
    pub name: String,
    /// The text, without a byte-order mark.
    pub text: String,
}

impl SourceFile {
    /// The most a person's file may hold; a hand-written session is a few kilobytes.
    pub const MAX_BYTES: usize = 1_000_000;

    /// Takes bytes as UTF-8 text.
    ///
    /// # Errors
    /// When the file is too large, binary, or in another encoding.
    pub fn new(name: impl Into<String>, bytes: Vec<u8>) -> Result<Arc<Self>, Mistake> {
        let name = name.into();
        let refuse = |message: String, help: &str| Mistake {
            place: None,
            file: name.clone(),
            message,
            help: vec![help.to_owned()],
        };
        if bytes.len() > Self::MAX_BYTES {
            return Err(refuse(
                "the file holds more than 1 MB, far more than a person writes".to_owned(),
                "files here may be at most 1 MB; is this the file you meant?",
            ));
        }
        let text = String::from_utf8(bytes).map_err(|error| {
            let line = error.as_bytes()[..error.utf8_error().valid_up_to()]
                .iter()
                .filter(|&&byte| byte == b'\n')
                .count()
                + 1;
            refuse(
                format!("the file is not UTF-8 text (from line {line} on)"),
                "save it as plain text in UTF-8",
            )
        })?;
        if text.contains('\0') {
            return Err(refuse(
                "the file is not text".into(),
                "is this the file you meant?",
            ));
        }
        let text = text
            .strip_prefix('\u{feff}')
            .map_or(text.clone(), str::to_owned);
        Ok(Arc::new(Self { name, text }))
    }

    /// The text of a line, counted from 1.
    pub fn line(&self, number: usize) -> &str {
        self.text
            .lines()
            .nth(number.saturating_sub(1))
            .unwrap_or("")
    }
}

/// A stretch of one line of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The file.
    pub file: Arc<SourceFile>,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// How many characters, at least 1.
    pub length: usize,
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}:{}:{}", self.file.name, self.line, self.column)
    }
}

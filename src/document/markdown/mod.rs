//! Markdown → blocks.
//!
//! CommonMark with tables, task lists and heading attributes, opened by a block of facts
//! between two lines of `---`, one `key: text` a line. HTML has no meaning here and is
//! shown as the characters it is made of.

mod attributes;
mod escape;
mod facts;
mod nest;
mod reader;
#[cfg(test)]
mod tests;

use std::fmt;

use self::attributes::CLASSES;
pub use self::escape::escape;
use self::facts::FACTS;
use self::reader::{DEEPEST, Reader};
use super::Document;
use super::blocks::LARGEST_PICTURE;

/// A fault in a template, at a line counted from 1.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkdownError {
    pub line: usize,
    pub fault: Fault,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Fault {
    UnknownClass(String),
    UnknownFact(String),
    NotAFact(String),
    NotAPictogram(String),
    NotASize { found: String, least: f64 },
    TooDeep,
}

impl fmt::Display for MarkdownError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.fault)
    }
}

impl std::error::Error for MarkdownError {}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::UnknownClass(class) => write!(
                f,
                "`.{class}` is no layout; there are {}",
                CLASSES.map(|name| format!("`.{name}`")).join(", ")
            ),
            Fault::UnknownFact(key) => {
                write!(
                    f,
                    "`{key}` is no fact of a document; there are {}",
                    FACTS.join(", ")
                )
            }
            Fault::NotAFact(text) => write!(f, "expected `key: text`, found `{text}`"),
            Fault::NotAPictogram(link) => {
                write!(f, "a picture is given as `pictogram:NAME`, not `{link}`")
            }
            Fault::NotASize { found, least } => write!(
                f,
                "this picture's size is given as `{least} mm` to `{LARGEST_PICTURE} mm`, not `{found}`"
            ),
            Fault::TooDeep => write!(f, "more than {DEEPEST} lists or quotes inside one another"),
        }
    }
}

/// Turns filled-in Markdown into a document.
///
/// # Errors
///
/// A class, fact or picture that no page knows, or nesting no page can show.
pub fn parse(markdown: &str) -> Result<Document, MarkdownError> {
    Reader::new(markdown).document()
}

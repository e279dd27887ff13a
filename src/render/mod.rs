//! Blocks on a medium: PDF, HTML, terminal text, Markdown.
//!
//! Every renderer is pure: a document in, bytes or text out. None filters what it is given;
//! a medium that cannot show a layout shows the same words one after another.

mod breaks;
mod widths;
pub mod drawing;
pub mod layout;
pub mod paint;
mod html;
mod markdown;
mod text;

pub use drawing::{Drawing, Pictograms};
pub use html::html;
pub use layout::{Pages, Paper, label};
pub use markdown::markdown;
pub use text::{Terminal, text};

use crate::document::Document;

/// A document as a PDF file. `written` goes into the file's properties, in seconds since
/// 1970-01-01 UTC; the same input gives the same bytes.
///
/// # Errors
///
/// If a font cannot be cut down to the characters used.
pub fn pdf(
    document: &Document,
    pictograms: &Pictograms,
    paper: Paper,
    written: i64,
) -> Result<Vec<u8>, paint::PaintError> {
    paint::paint(
        &layout::lay_out(document, paper),
        &document.facts,
        pictograms,
        written,
    )
}

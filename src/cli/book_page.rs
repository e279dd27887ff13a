//! Where and how pages about the book are written: on the media of any document, and as CSV.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::Error;
use super::medium::{self, Medium, PaperSize};
use super::workspace::Workspace;
use super::{book, output, rules};

/// Where and how a page about the book is written.
#[derive(Args)]
pub struct BookPage {
    /// The file to write; standard output where left out.
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// How it is printed; otherwise by the ending of the file, otherwise text.
    #[arg(long, value_enum)]
    format: Option<Format>,
    /// On the terminal, everything; a file and any `--format` hold everything as it is.
    #[arg(long)]
    all: bool,
    /// Paper of the PDF.
    #[arg(long, value_enum, default_value_t = PaperSize::A4)]
    paper: PaperSize,
    /// Language of the page; otherwise the workspace's.
    #[arg(long, value_name = "LANG")]
    language: Option<String>,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    Text,
    Json,
    Csv,
    Pdf,
    Html,
    Md,
}

impl BookPage {
    /// The medium asked for, or that of the file's ending; none for CSV, which has no page.
    pub fn format(&self) -> Option<medium::Format> {
        let ending = self.output.as_deref().and_then(Path::extension);
        let by_ending = ending.and_then(|ending| Format::from_str(ending.to_str()?, true).ok());
        match self.format.or(by_ending).unwrap_or(Format::Text) {
            Format::Csv => None,
            Format::Pdf => Some(medium::Format::Pdf),
            Format::Html => Some(medium::Format::Html),
            Format::Md => Some(medium::Format::Md),
            Format::Json => Some(medium::Format::Json),
            Format::Text => Some(medium::Format::Text),
        }
    }

    /// Whether it goes to the terminal and nobody asked for all of it.
    pub fn is_short(&self) -> bool {
        !self.all && self.format.is_none() && self.output.is_none()
    }

    /// The page's medium in a format.
    pub fn medium(&self, format: medium::Format) -> Medium {
        Medium::chosen(self.output.clone(), format, self.paper)
    }

    /// The language asked for, or the workspace's.
    pub fn language(&self, workspace: &Workspace) -> String {
        rules::language(workspace, self.language.as_deref())
    }

    /// Writes it, never over the book.
    ///
    /// # Errors
    /// As [`output::write`].
    pub fn write(&self, bytes: &[u8], workspace: &Workspace) -> Result<(), Error> {
        output::write(self.output.as_deref(), bytes, &[&book::path(workspace)?])
    }
}

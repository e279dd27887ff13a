//! A document on the medium asked for: by `--format`, or by the ending of `-o`.

use std::io::{self, IsTerminal as _};
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use clap::{Args, ValueEnum};
use serde::Serialize;
use serde_json::Value;

use crate::catalogue::{Catalogue, DataFiles};
use crate::document;
use crate::render::{self, Paper, Pictograms, Terminal};
use crate::rules::HouseLine;

use super::{Error, manners, output};

/// Where and how a document is written, in one of the formats that it has.
#[derive(Args)]
pub struct Medium<F: ValueEnum + Send + Sync + 'static = Format> {
    /// The file to write; standard output where left out.
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// How it is printed; otherwise by the ending of the file, otherwise text.
    #[arg(long, value_enum)]
    format: Option<F>,
    /// Paper of the PDF.
    #[arg(long, value_enum, default_value_t = PaperSize::A4)]
    paper: PaperSize,
    /// Language of the document; otherwise the workspace's.
    #[arg(long, value_name = "LANG")]
    language: Option<String>,
    /// Characters of a line of text.
    #[arg(skip = 79usize)]
    width: usize,
    /// Whether a PDF is in large print.
    #[arg(skip)]
    large: bool,
    /// What the rules of the place say on it.
    #[arg(skip)]
    house: Vec<HouseLine>,
}

/// How much is told of a document that is made to be printed: in short on a terminal, whole anywhere
/// else, so that what goes on to a printer is the document.
#[derive(Args)]
pub struct Length {
    /// On the terminal, the whole page; a file, a pipe and any `--format` hold it as it is.
    #[arg(long)]
    all: bool,
    /// In short, wherever it goes.
    #[arg(long, conflicts_with = "all")]
    short: bool,
}

impl Length {
    /// The template of a document on a medium.
    pub fn page(&self, name: &str, medium: &Medium) -> String {
        let on_screen = io::stdout().is_terminal() && medium.is_short(self.all);
        template(name, self.short || on_screen)
    }
}

fn template(name: &str, is_short: bool) -> String {
    format!("{name}{}.md", if is_short { "-short" } else { "" })
}

/// The media.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    Pdf,
    Html,
    Md,
    Text,
    Json,
}

/// The media of pages about the book, which goes out as a table too.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum BookFormat {
    Text,
    Json,
    Csv,
    Pdf,
    Html,
    Md,
}

/// Papers of a printer.
#[derive(Clone, Copy, ValueEnum)]
pub enum PaperSize {
    A4,
    Letter,
}

impl Medium<BookFormat> {
    /// The medium of its page; none for CSV, which has no page.
    pub fn of_page(&self) -> Option<Medium> {
        let format = match self.format {
            Some(BookFormat::Csv) => return None,
            None if self.ending().as_deref() == Some("csv") => return None,
            None => None,
            Some(BookFormat::Text) => Some(Format::Text),
            Some(BookFormat::Json) => Some(Format::Json),
            Some(BookFormat::Pdf) => Some(Format::Pdf),
            Some(BookFormat::Html) => Some(Format::Html),
            Some(BookFormat::Md) => Some(Format::Md),
        };
        Some(Medium {
            paper: self.paper,
            language: self.language.clone(),
            ..Medium::new(self.output.clone(), format)
        })
    }
}

impl<F: ValueEnum + Send + Sync + 'static> Medium<F> {
    /// The language asked for, or the workspace's, or English.
    pub fn language(&self, of_place: Option<&str>) -> String {
        self.language
            .as_deref()
            .or(of_place)
            .unwrap_or("en")
            .to_owned()
    }

    /// How the file's name ends.
    fn ending(&self) -> Option<String> {
        let ending = self.output.as_deref().and_then(Path::extension)?;
        Some(ending.to_str()?.to_lowercase())
    }
}

impl Medium {
    /// Where and how, for a document with a page of its own kind.
    pub fn new(output: Option<PathBuf>, format: Option<Format>) -> Self {
        Self {
            output,
            format,
            paper: PaperSize::A4,
            language: None,
            width: 79,
            large: false,
            house: Vec::new(),
        }
    }

    /// The same, with PDFs in large print.
    pub fn in_print(self, large: bool) -> Self {
        Self { large, ..self }
    }

    /// The same, with what the rules of the place say.
    #[must_use]
    pub fn with_house(self, house: Vec<HouseLine>) -> Self {
        Self { house, ..self }
    }

    /// Whether it goes out as JSON.
    pub fn is_json(&self) -> bool {
        self.format() == Format::Json
    }

    /// Whether it goes out as text.
    pub fn is_text(&self) -> bool {
        self.format() == Format::Text
    }

    /// The template of a page; on a terminal, of its short form. A file holds everything, and so
    /// does every format that is asked for.
    pub fn page(&self, name: &str, all: bool) -> String {
        template(name, self.is_short(all))
    }

    /// Whether it goes to the terminal, and neither all nor a format was asked for.
    pub fn is_short(&self, all: bool) -> bool {
        !all && self.format.is_none() && self.output.is_none()
    }

    /// What was asked for, or what the file's ending says.
    pub fn format(&self) -> Format {
        let by_ending = match self.ending().as_deref() {
            Some("pdf") => Some(Format::Pdf),
            Some("html" | "htm") => Some(Format::Html),
            Some("md" | "markdown") => Some(Format::Md),
            Some("json") => Some(Format::Json),
            _ => None,
        };
        self.format.or(by_ending).unwrap_or(Format::Text)
    }

    /// Whether pictures are drawn on it.
    pub fn draws(&self) -> bool {
        matches!(self.format(), Format::Pdf | Format::Html | Format::Json)
    }

    fn paper(&self) -> Paper {
        match self.paper {
            PaperSize::A4 => Paper::A4,
            PaperSize::Letter => Paper::Letter,
        }
    }

    /// The document of a template filled with a view, or its JSON, with pictograms only.
    ///
    /// # Errors
    /// As [`Self::bytes_with`].
    pub fn bytes(
        &self,
        catalogue: &Catalogue,
        language: &str,
        template: &str,
        view: &impl Serialize,
        json: impl FnOnce() -> Value,
        date: Option<NaiveDate>,
    ) -> Result<Vec<u8>, Error> {
        self.bytes_with(&[], catalogue, language, template, view, json, date)
    }

    /// The document of a template filled with a view, or its JSON. `drawings` are pictures made
    /// for it, name and SVG, besides the pictograms.
    ///
    /// # Errors
    /// When the template or a font cannot be used.
    #[allow(
        clippy::too_many_arguments,
        reason = "each is another part of the page"
    )]
    pub fn bytes_with(
        &self,
        drawings: &[(String, String)],
        catalogue: &Catalogue,
        language: &str,
        template: &str,
        view: &impl Serialize,
        json: impl FnOnce() -> Value,
        date: Option<NaiveDate>,
    ) -> Result<Vec<u8>, Error> {
        if self.format() == Format::Json {
            return Ok(format!("{:#}\n", self.with_lines(json(), view)).into_bytes());
        }
        let document = document::fill_with(catalogue, language, template, view, &self.house)?;
        let pictograms = with_drawings(catalogue.files(), drawings)?;
        let paper = self.paper();
        Ok(match self.format() {
            Format::Pdf => {
                let render = if self.large {
                    render::large_pdf
                } else {
                    render::pdf
                };
                render(&document, &pictograms, paper, written(date)).map_err(|error| {
                    Error::other(error.to_string(), "this is a fault of the program")
                })?
            }
            Format::Html => render::html(&document, &pictograms).into_bytes(),
            Format::Md => render::markdown(&document).into_bytes(),
            Format::Text | Format::Json => render::text(&document, self.terminal()).into_bytes(),
        })
    }

    /// The JSON with what outranks it, and what the rules of the place say.
    fn with_lines(&self, mut json: Value, view: &impl Serialize) -> Value {
        let view = serde_json::to_value(view).unwrap_or_default();
        if let (Some(object), Some(deference)) = (json.as_object_mut(), view.get("deference")) {
            object
                .entry("deference")
                .or_insert_with(|| deference.clone());
        }
        if let Some(object) = json.as_object_mut().filter(|_| !self.house.is_empty()) {
            object.insert("local_rules".to_owned(), serde_json::json!(self.house));
        }
        json
    }

    fn terminal(&self) -> Terminal {
        Terminal {
            width: self.width,
            colour: self.output.is_none() && manners::coloured(&io::stdout()),
        }
    }
}

/// The file's date, in seconds since 1970-01-01 UTC: that of `SOURCE_DATE_EPOCH`, otherwise the
/// document's, so that the same session gives the same bytes.
pub fn written(date: Option<NaiveDate>) -> i64 {
    let asked = std::env::var("SOURCE_DATE_EPOCH").ok();
    let of_document = || {
        date.and_then(|date| date.and_hms_opt(0, 0, 0))
            .map_or(0, |time| time.and_utc().timestamp())
    };
    asked
        .and_then(|seconds| seconds.trim().parse().ok())
        .unwrap_or_else(of_document)
}

/// Writes a document where it was asked for.
///
/// # Errors
/// As [`output::write`].
pub fn write<F: ValueEnum + Send + Sync + 'static>(
    medium: &Medium<F>,
    bytes: &[u8],
    inputs: &[&Path],
) -> Result<(), Error> {
    output::write(medium.output.as_deref(), bytes, inputs)
}

/// The drawings that documents show.
///
/// # Errors
/// When one cannot be drawn.
pub fn pictograms(files: &DataFiles) -> Result<Pictograms, Error> {
    with_drawings(files, &[])
}

fn with_drawings(files: &DataFiles, own: &[(String, String)]) -> Result<Pictograms, Error> {
    const FOLDER: &str = "templates/pictograms/";
    let drawings = files.below(FOLDER).into_iter().filter_map(|path| {
        let name = path.trim_start_matches(FOLDER).strip_suffix(".svg")?;
        Some((name, files.text(path)?))
    });
    let own = own.iter().map(|(name, svg)| (name.as_str(), svg.as_str()));
    Pictograms::read(drawings.chain(own)).map_err(|error| {
        Error::other(
            error.to_string(),
            "correct the drawing in templates/pictograms",
        )
    })
}

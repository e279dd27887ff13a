//! Positions → a PDF file. Only draws: every decision was made in `layout`.
//!
//! Fonts are cut down to the characters used before they are embedded. Glyphs are addressed
//! by number, and the file says which character each stands for, so text can be searched
//! and copied.

mod brush;
mod fonts;
mod tags;

use std::fmt;
use std::io::Write as _;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use printpdf::{DictItem, OffsetDateTime, PdfDocument, PdfFont, PdfPage, PdfSaveOptions, Pt};

use self::brush::Brush;
use self::fonts::{characters_used, embedded_font, font_id};
use self::tags::Tags;
use super::drawing::{Pictograms, UnknownPictogram};
use super::layout::Pages;
use crate::document::blocks::Facts;

/// A page that cannot be drawn.
#[derive(Debug)]
pub enum PaintError {
    Pictogram(UnknownPictogram),
    Font(subsetter::Error),
    Write(std::io::Error),
}

impl fmt::Display for PaintError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PaintError::Pictogram(unknown) => unknown.fmt(f),
            PaintError::Font(error) => write!(f, "cannot cut a font down: {error}"),
            PaintError::Write(error) => write!(f, "cannot write the PDF: {error}"),
        }
    }
}

impl std::error::Error for PaintError {}

/// Draws pages into a PDF file. `written` is in seconds since 1970-01-01 UTC.
///
/// # Errors
///
/// If a picture is of no known pictogram, or a font cannot be cut down.
pub fn paint(
    pages: &Pages,
    facts: &Facts,
    pictograms: &Pictograms,
    written: i64,
) -> Result<Vec<u8>, PaintError> {
    let mut pdf = PdfDocument::new(&facts.title);
    if let Ok(date) = OffsetDateTime::from_unix_timestamp(written) {
        pdf.metadata.info.creation_date = date;
        pdf.metadata.info.modification_date = date;
    }
    pdf.metadata.info.producer = concat!("wetside ", env!("CARGO_PKG_VERSION")).into();
    for (face, characters) in characters_used(pages) {
        let font = PdfFont::new(embedded_font(face, &characters).map_err(PaintError::Font)?);
        pdf.resources.fonts.map.insert(font_id(face), font);
    }
    let (width, height) = pages.paper.size();
    let mut brush = Brush::new(height, pictograms);
    let (width, height) = (Pt(width as f32).into(), Pt(height as f32).into());
    for page in &pages.pages {
        let ops = brush.page(page).map_err(PaintError::Pictogram)?;
        pdf.pages.push(PdfPage::new(width, height, ops));
    }
    write(&pdf, brush.tags(), &facts.language)
}

fn write(pdf: &PdfDocument, tags: &Tags, language: &str) -> Result<Vec<u8>, PaintError> {
    let mut file = pdf.to_lopdf_document(&PdfSaveOptions::default(), &mut Vec::new());
    file.version = "1.7".into();
    // The identifier made here differs from run to run; the file is told by what is in it.
    file.trailer.remove(b"ID");
    let pages: Vec<_> = file.get_pages().into_values().collect();
    for (index, page) in pages.iter().enumerate() {
        if let Ok(page) = file.get_dictionary_mut(*page) {
            page.set("StructParents", tags::integer(index).to_lopdf());
            page.set("Tabs", "S");
        }
    }
    // The page makes no claim to a prepress standard.
    if let Ok(info) = file
        .trailer
        .get(b"Info")
        .and_then(|info| info.as_reference())
        && let Ok(info) = file.get_dictionary_mut(info)
    {
        info.remove(b"GTS_PDFXVersion");
    }
    let root = file.max_id + 1;
    let numbers: Vec<u32> = pages.iter().map(|(number, _)| *number).collect();
    for object in tags.objects(root, &numbers) {
        file.add_object(object.to_lopdf());
    }
    if let Ok(catalog) = file.catalog_mut() {
        let marked = tags::dictionary([("Marked", DictItem::Bool(true))]);
        let preferences = tags::dictionary([("DisplayDocTitle", DictItem::Bool(true))]);
        catalog.set("Lang", tags::text(language).to_lopdf());
        catalog.set("MarkInfo", marked.to_lopdf());
        catalog.set("StructTreeRoot", tags::reference(root).to_lopdf());
        catalog.set("ViewerPreferences", preferences.to_lopdf());
    }
    let streams = file
        .objects
        .values_mut()
        .filter_map(|object| object.as_stream_mut().ok());
    for stream in streams.filter(|stream| !stream.dict.has(b"Filter")) {
        let deflated = deflated(&stream.content)?;
        stream.dict.set("Filter", "FlateDecode");
        stream.set_content(deflated);
    }
    let mut bytes = Vec::new();
    file.save_modern(&mut bytes).map_err(PaintError::Write)?;
    Ok(bytes)
}

/// The library's own way takes the slowest level, which costs a sixth of the whole program's time
/// for a twentieth of the bytes.
fn deflated(content: &[u8]) -> Result<Vec<u8>, PaintError> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::new(5));
    encoder
        .write_all(content)
        .and_then(|()| encoder.finish())
        .map_err(PaintError::Write)
}

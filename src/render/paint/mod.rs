//! Positions → a PDF file. Only draws: every decision was made in `layout`.
//!
//! Fonts are cut down to the characters used before they are embedded. Glyphs are addressed
//! by number, and the file says which character each stands for, so text can be searched
//! and copied.

mod brush;
mod fonts;
mod metadata;
mod tags;

use std::fmt;
use std::io::Write as _;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use lopdf::{Document as File, Object, Stream};
use printpdf::{DictItem, OffsetDateTime, PdfDocument, PdfFont, PdfPage, PdfSaveOptions, Pt};

use self::brush::Brush;
use self::fonts::{characters_used, embedded_font, font_id};
use self::tags::Tags;
use super::drawing::{Pictograms, UnknownPictogram};
use super::layout::Pages;
use crate::cores::on_all_cores;
use crate::document::blocks::Facts;

/// A page that cannot be drawn.
#[derive(Debug)]
pub enum PaintError {
    Pictogram(UnknownPictogram),
    Font(subsetter::Error),
    Metadata(minijinja::Error),
    Profile(moxcms::CmsError),
    Write(std::io::Error),
}

impl fmt::Display for PaintError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PaintError::Pictogram(unknown) => unknown.fmt(f),
            PaintError::Font(error) => write!(f, "cannot cut a font down: {error}"),
            PaintError::Metadata(error) => write!(f, "cannot say what the PDF is: {error}"),
            PaintError::Profile(error) => write!(f, "cannot write the colour profile: {error}"),
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
    pdf.metadata.info.producer = metadata::PRODUCER.into();
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
    let mut file = pdf.to_lopdf_document(&PdfSaveOptions::default(), &mut Vec::new());
    file.version = "1.7".into();
    plain_information(&mut file);
    add_structure(&mut file, brush.tags());
    describe(&mut file, facts, written)?;
    deflate_all(&mut file)?;
    // The identifier that the library makes differs from run to run.
    let identifier = metadata::identifier(contents(&file));
    file.trailer.set("ID", identifier.to_lopdf());
    let mut bytes = Vec::new();
    file.save_modern(&mut bytes).map_err(PaintError::Write)?;
    Ok(bytes)
}

/// Leaves out of the information dictionary what says nothing, and the claim to a prepress
/// standard.
fn plain_information(file: &mut File) {
    let information = file.trailer.get(b"Info").and_then(Object::as_reference);
    let Ok(information) = information.and_then(|id| file.get_dictionary_mut(id)) else {
        return;
    };
    for key in ["GTS_PDFXVersion", "Identifier"] {
        information.remove(key.as_bytes());
    }
    for key in ["Author", "Creator", "Keywords", "Subject"] {
        information.remove(key.as_bytes());
    }
}

/// Adds the structure tree, and each page's way into it.
fn add_structure(file: &mut File, tags: &Tags) {
    let pages: Vec<_> = file.get_pages().into_values().collect();
    for (index, page) in pages.iter().enumerate() {
        if let Ok(page) = file.get_dictionary_mut(*page) {
            page.set("StructParents", tags::integer(index).to_lopdf());
            page.set("Tabs", "S");
        }
    }
    let root = file.max_id + 1;
    let numbers: Vec<u32> = pages.iter().map(|(number, _)| *number).collect();
    for object in tags.objects(root, &numbers) {
        file.add_object(object.to_lopdf());
    }
    if let Ok(catalog) = file.catalog_mut() {
        let marked = tags::dictionary([("Marked", DictItem::Bool(true))]);
        catalog.set("MarkInfo", marked.to_lopdf());
        catalog.set("StructTreeRoot", tags::reference(root).to_lopdf());
    }
}

/// Adds what the file says of itself: title, language, standards, colour space.
fn describe(file: &mut File, facts: &Facts, written: i64) -> Result<(), PaintError> {
    let packet = metadata::packet(facts, written).map_err(PaintError::Metadata)?;
    let kind = lopdf::dictionary! { "Type" => "Metadata", "Subtype" => "XML" };
    let packet = file.add_object(Stream::new(kind, packet.into_bytes()));
    let profile = metadata::srgb().map_err(PaintError::Profile)?;
    let profile = file.add_object(Stream::new(lopdf::dictionary! { "N" => 3 }, profile));
    if let Ok(catalog) = file.catalog_mut() {
        let preferences = tags::dictionary([("DisplayDocTitle", DictItem::Bool(true))]);
        let intents = DictItem::Array(vec![metadata::output_intent(profile.0)]);
        catalog.set("Lang", tags::text(&facts.language).to_lopdf());
        catalog.set("Metadata", Object::Reference(packet));
        catalog.set("OutputIntents", intents.to_lopdf());
        catalog.set("ViewerPreferences", preferences.to_lopdf());
    }
    Ok(())
}

/// What each stream holds, in the order of their numbers.
fn contents(file: &File) -> impl Iterator<Item = &[u8]> {
    let streams = file
        .objects
        .values()
        .filter_map(|object| object.as_stream().ok());
    streams.map(|stream| stream.content.as_slice())
}

/// The library's own way takes the slowest level, which costs a sixth of the whole program's time
/// for a twentieth of the bytes.
fn deflate_all(file: &mut File) -> Result<(), PaintError> {
    let streams = file.objects.values_mut();
    let mut plain: Vec<&mut Stream> = streams
        .filter_map(|object| object.as_stream_mut().ok())
        // Metadata stays readable for programs that know nothing of PDF.
        .filter(|stream| !stream.dict.has_type(b"Metadata") && !stream.dict.has(b"Filter"))
        .collect();
    let deflated = on_all_cores(&plain, |stream| deflated(&stream.content));
    for (stream, deflated) in plain.iter_mut().zip(deflated) {
        stream.dict.set("Filter", "FlateDecode");
        stream.set_content(deflated.map_err(PaintError::Write)?);
    }
    Ok(())
}

fn deflated(content: &[u8]) -> std::io::Result<Vec<u8>> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::new(5));
    encoder.write_all(content)?;
    encoder.finish()
}

//! Positions → a PDF file. Only draws: every decision was made in `layout`.
//!
//! Fonts are cut down to the characters used before they are embedded. Glyphs are addressed
//! by number, and the file says which character each stands for, so text can be searched
//! and copied.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use kurbo::{Affine, PathEl};
use printpdf::{
    Color, DictItem, FontId, FontMetrics, Line, LineCapStyle, LineJoinStyle, LinePoint, Mm,
    OffsetDateTime, Op, PaintMode, ParsedFont, PdfDocument, PdfFont, PdfFontHandle, PdfPage,
    PdfSaveOptions, Point, Polygon, PolygonRing, Pt, Rect, Rgb, TextItem, WindingOrder,
};

use super::drawing::{Colour, Drawing, Pictograms, Shape, Stroke};
use super::layout::{Area, Face, Mark, Page, Pages, Type};
use crate::document::blocks::Facts;

/// A page that cannot be drawn.
#[derive(Debug)]
pub enum PaintError {
    Font(subsetter::Error),
    Write(std::io::Error),
}

impl fmt::Display for PaintError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
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
/// If a font cannot be cut down to the characters used.
pub fn paint(
    pages: &Pages,
    facts: &Facts,
    pictograms: &Pictograms,
    written: i64,
) -> Result<Vec<u8>, PaintError> {
    let mut pdf = PdfDocument::new(&facts.title);
    if let Ok(date) = OffsetDateTime::from_unix_timestamp(written) {
        pdf.metadata.info.creation_date = date.clone();
        pdf.metadata.info.modification_date = date;
    }
    pdf.metadata.info.producer = concat!("wetside ", env!("CARGO_PKG_VERSION")).into();
    for (face, characters) in characters_used(pages) {
        let font = PdfFont::new(embedded_font(face, &characters).map_err(PaintError::Font)?);
        pdf.resources.fonts.map.insert(font_id(face), font);
    }
    let (width, height) = pages.paper.size();
    let size = (Mm::from(Pt(width as f32)), Mm::from(Pt(height as f32)));
    for page in &pages.pages {
        let ops = Brush {
            page_height: height,
            pictograms,
            ops: Vec::new(),
        }
        .page(page);
        pdf.pages.push(PdfPage::new(size.0, size.1, ops));
    }
    write(&pdf, &facts.language)
}

fn write(pdf: &PdfDocument, language: &str) -> Result<Vec<u8>, PaintError> {
    let mut objects = pdf.to_lopdf_document(&PdfSaveOptions::default(), &mut Vec::new());
    objects.version = "1.7".into();
    // Two files are told apart by what is in them; the identifier made here differs from run
    // to run.
    objects.trailer.remove(b"ID");
    // The page makes no claim to a prepress standard.
    if let Ok(info) = objects
        .trailer
        .get(b"Info")
        .and_then(|info| info.as_reference())
        && let Ok(info) = objects.get_dictionary_mut(info)
    {
        info.remove(b"GTS_PDFXVersion");
    }
    if let Ok(catalog) = objects.catalog_mut() {
        let data = language.as_bytes().to_vec();
        catalog.set(
            "Lang",
            DictItem::String {
                data,
                literal: true,
            }
            .to_lopdf(),
        );
    }
    objects.compress();
    let mut bytes = Vec::new();
    objects.save_to(&mut bytes).map_err(PaintError::Write)?;
    Ok(bytes)
}

fn characters_used(pages: &Pages) -> BTreeMap<Face, BTreeSet<char>> {
    let mut used: BTreeMap<Face, BTreeSet<char>> = BTreeMap::new();
    for mark in pages.pages.iter().flat_map(|page| &page.marks) {
        if let Mark::Text { type_, text, .. } = mark {
            used.entry(type_.face)
                .or_default()
                .extend(text.chars().map(drawn));
        }
    }
    used
}

/// Spaces that do not break look and are found like any other.
fn drawn(c: char) -> char {
    match c {
        '\u{A0}' => ' ',
        '\u{2011}' => '‐',
        c => c,
    }
}

fn font_id(face: Face) -> FontId {
    FontId(format!("{face:?}"))
}

/// A font file with the glyphs of these characters and no others.
fn embedded_font(face: Face, characters: &BTreeSet<char>) -> Result<ParsedFont, subsetter::Error> {
    let font = face.parsed();
    let mut glyphs = subsetter::GlyphRemapper::new();
    let mut codes = BTreeMap::new();
    let mut widths = BTreeMap::new();
    for c in characters {
        let glyph = font.glyph_index(*c).unwrap_or_default();
        let code = glyphs.remap(glyph.0);
        codes.insert(u32::from(*c), code);
        widths.insert(code, font.glyph_hor_advance(glyph).unwrap_or_default());
    }
    let bytes = subsetter::subset(face.bytes(), 0, &glyphs)?;
    // Six capital letters and a plus mark a font that is not whole (ISO 32000-1, 9.6.4).
    let name = Some(format!("WETSID+{}", face.name()));
    let metrics = FontMetrics {
        ascent: font.ascender(),
        descent: font.descender(),
    };
    let units = font.units_per_em();
    let mut parsed = ParsedFont::with_glyph_data(bytes, 0, name, codes, widths, units, metrics);
    let bounds = font.global_bounding_box();
    parsed.pdf_font_metrics.x_min = bounds.x_min;
    parsed.pdf_font_metrics.y_min = bounds.y_min;
    parsed.pdf_font_metrics.x_max = bounds.x_max;
    parsed.pdf_font_metrics.y_max = bounds.y_max;
    parsed.pdf_font_metrics.us_weight_class = font.weight().to_number();
    Ok(parsed)
}

struct Brush<'a> {
    page_height: f64,
    pictograms: &'a Pictograms,
    ops: Vec<Op>,
}

impl Brush<'_> {
    fn page(mut self, page: &Page) -> Vec<Op> {
        for mark in &page.marks {
            match mark {
                Mark::Text { x, y, type_, text } => self.text(*x, *y, *type_, text),
                Mark::Area { area, ink } => self.area(*area, ink.colour()),
                Mark::Frame {
                    area,
                    thickness,
                    ink,
                } => {
                    self.frame(*area, *thickness, ink.colour());
                }
                Mark::Picture { area, name } => match self.pictograms.get(name) {
                    Some(drawing) => self.drawing(*area, drawing),
                    None => self.frame(*area, 1.0, Colour::BLACK),
                },
            }
        }
        self.ops
    }

    fn text(&mut self, x: f64, y: f64, type_: Type, text: &str) {
        let text: String = text.chars().map(drawn).collect();
        self.ops.extend([
            Op::SetFillColor {
                col: colour(type_.ink.colour()),
            },
            Op::StartTextSection,
            Op::SetFont {
                font: PdfFontHandle::External(font_id(type_.face)),
                size: Pt(type_.size as f32),
            },
            Op::SetTextCursor {
                pos: self.point(x, y),
            },
            Op::ShowText {
                items: vec![TextItem::Text(text)],
            },
            Op::EndTextSection,
        ]);
    }

    fn area(&mut self, area: Area, fill: Colour) {
        self.ops.push(Op::SetFillColor { col: colour(fill) });
        self.rectangle(area, PaintMode::Fill);
    }

    fn frame(&mut self, area: Area, thickness: f64, ink: Colour) {
        let half = thickness / 2.0;
        let inside = Area {
            x: area.x + half,
            y: area.y + half,
            width: area.width - thickness,
            height: area.height - thickness,
        };
        self.ops.push(Op::SetOutlineColor { col: colour(ink) });
        self.ops.push(Op::SetOutlineThickness {
            pt: Pt(thickness as f32),
        });
        self.rectangle(inside, PaintMode::Stroke);
    }

    fn rectangle(&mut self, area: Area, mode: PaintMode) {
        let corner = self.point(area.x, area.y + area.height);
        self.ops.push(Op::DrawRectangle {
            rectangle: Rect {
                x: corner.x,
                y: corner.y,
                width: Pt(area.width as f32),
                height: Pt(area.height as f32),
                mode: Some(mode),
                winding_order: None,
            },
        });
    }

    fn drawing(&mut self, area: Area, drawing: &Drawing) {
        let scale = (area.width / drawing.width).min(area.height / drawing.height);
        let left = area.x + (area.width - drawing.width * scale) / 2.0;
        let top = area.y + (area.height - drawing.height * scale) / 2.0;
        let fit = Affine::translate((left, top)) * Affine::scale(scale);
        self.ops.push(Op::SaveGraphicsState);
        for shape in &drawing.shapes {
            let rings = self.rings(shape, fit);
            if let Some(fill) = shape.fill {
                self.fill(
                    rings.iter().map(|(ring, _)| ring.clone()).collect(),
                    fill,
                    shape.even_odd,
                );
            }
            if let Some(stroke) = shape.stroke {
                self.stroke(rings, stroke, scale);
            }
        }
        self.ops.push(Op::RestoreGraphicsState);
    }

    fn fill(&mut self, rings: Vec<PolygonRing>, fill: Colour, even_odd: bool) {
        let winding_order = if even_odd {
            WindingOrder::EvenOdd
        } else {
            WindingOrder::NonZero
        };
        self.ops.push(Op::SetFillColor { col: colour(fill) });
        self.ops.push(Op::DrawPolygon {
            polygon: Polygon {
                rings,
                mode: PaintMode::Fill,
                winding_order,
            },
        });
    }

    fn stroke(&mut self, rings: Vec<(PolygonRing, bool)>, stroke: Stroke, scale: f64) {
        let cap = if stroke.round_ends {
            LineCapStyle::Round
        } else {
            LineCapStyle::Butt
        };
        let join = if stroke.round_corners {
            LineJoinStyle::Round
        } else {
            LineJoinStyle::Miter
        };
        self.ops.extend([
            Op::SetOutlineColor {
                col: colour(stroke.ink),
            },
            Op::SetOutlineThickness {
                pt: Pt((stroke.width * scale) as f32),
            },
            Op::SetLineCapStyle { cap },
            Op::SetLineJoinStyle { join },
        ]);
        self.ops
            .extend(rings.into_iter().map(|(ring, is_closed)| Op::DrawLine {
                line: Line {
                    points: ring.points,
                    is_closed,
                },
            }));
    }

    /// The parts of a path, each with whether it is closed.
    fn rings(&self, shape: &Shape, fit: Affine) -> Vec<(PolygonRing, bool)> {
        let mut rings: Vec<(PolygonRing, bool)> = Vec::new();
        let mut at = kurbo::Point::ZERO;
        for element in (fit * shape.path.clone()).elements() {
            if let PathEl::MoveTo(_) = element {
                rings.push((PolygonRing::default(), false));
            }
            let Some((ring, closed)) = rings.last_mut() else {
                continue;
            };
            let mut put = |point: kurbo::Point, bezier| {
                ring.points.push(LinePoint {
                    p: self.point(point.x, point.y),
                    bezier,
                });
            };
            match *element {
                PathEl::MoveTo(end) | PathEl::LineTo(end) => put(end, false),
                PathEl::QuadTo(control, end) => {
                    put(at.lerp(control, 2.0 / 3.0), true);
                    put(end.lerp(control, 2.0 / 3.0), true);
                    put(end, false);
                }
                PathEl::CurveTo(first, second, end) => {
                    put(first, true);
                    put(second, true);
                    put(end, false);
                }
                PathEl::ClosePath => *closed = true,
            }
            at = element.end_point().unwrap_or(at);
        }
        rings
    }

    /// PDF counts from the bottom of the page.
    fn point(&self, x: f64, y: f64) -> Point {
        Point {
            x: Pt(x as f32),
            y: Pt((self.page_height - y) as f32),
        }
    }
}

fn colour(Colour(red, green, blue): Colour) -> Color {
    let part = |value: u8| f32::from(value) / 255.0;
    Color::Rgb(Rgb {
        r: part(red),
        g: part(green),
        b: part(blue),
        icc_profile: None,
    })
}

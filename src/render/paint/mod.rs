//! Positions → a PDF file. Only draws: every decision was made in `layout`.
//!
//! Fonts are cut down to the characters used before they are embedded. Glyphs are addressed
//! by number, and the file says which character each stands for, so text can be searched
//! and copied.

mod fonts;
mod tags;

use std::fmt;

use kurbo::{Affine, PathEl};
use printpdf::{
    Color, DictItem, Line, LineCapStyle, LineJoinStyle, LinePoint, OffsetDateTime, Op, PaintMode,
    PdfDocument, PdfFont, PdfFontHandle, PdfPage, PdfSaveOptions, Point, Polygon, PolygonRing, Pt,
    Rect, Rgb, TextItem, WindingOrder,
};

use self::fonts::{characters_used, drawn, embedded_font, font_id};
use self::tags::Tags;
use super::drawing::{Colour, Drawing, Pictograms, Shape, Stroke, UnknownPictogram};
use super::layout::{Area, Mark, Page, Pages, Type};
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
    let mut brush = Brush {
        page_height: height,
        pictograms,
        tags: Tags::new(),
        ops: Vec::new(),
    };
    let (width, height) = (Pt(width as f32).into(), Pt(height as f32).into());
    for page in &pages.pages {
        let ops = brush.page(page).map_err(PaintError::Pictogram)?;
        pdf.pages.push(PdfPage::new(width, height, ops));
    }
    write(&pdf, &brush.tags, &facts.language)
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
    file.compress();
    let mut bytes = Vec::new();
    file.save_modern(&mut bytes).map_err(PaintError::Write)?;
    Ok(bytes)
}

struct Brush<'a> {
    page_height: f64,
    pictograms: &'a Pictograms,
    tags: Tags,
    ops: Vec<Op>,
}

impl Brush<'_> {
    fn page(&mut self, page: &Page) -> Result<Vec<Op>, UnknownPictogram> {
        self.tags.start_page();
        for mark in &page.marks {
            self.mark(mark)?;
        }
        self.tags.finish(&mut self.ops);
        Ok(std::mem::take(&mut self.ops))
    }

    fn mark(&mut self, mark: &Mark) -> Result<(), UnknownPictogram> {
        match mark {
            Mark::Begin(tag) => self.tags.begin(*tag),
            Mark::End => self.tags.end(),
            Mark::Text { x, y, type_, text } => {
                self.tags.text(&mut self.ops);
                self.text(*x, *y, *type_, text);
            }
            Mark::Area { area, ink } => {
                self.tags.artifact(&mut self.ops);
                self.area(*area, ink.colour());
            }
            Mark::Frame {
                area,
                thickness,
                ink,
            } => {
                self.tags.artifact(&mut self.ops);
                self.frame(*area, *thickness, ink.colour());
            }
            Mark::Picture { area, name, words } => {
                let drawing = self.pictograms.get(name)?;
                self.tags.picture(words, &mut self.ops);
                self.drawing(*area, drawing);
            }
        }
        Ok(())
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

//! Marks → the operators that draw them.

use kurbo::{Affine, PathEl};
use printpdf::{
    Color, Line, LineCapStyle, LineJoinStyle, LinePoint, Op, PaintMode, PdfFontHandle, Point,
    Polygon, PolygonRing, Pt, Rect, Rgb, TextItem, WindingOrder,
};

use super::fonts::{drawn, font_id};
use super::tags::Tags;
use crate::render::drawing::{Colour, Drawing, Pictograms, Shape, Stroke, UnknownPictogram};
use crate::render::layout::{Area, Face, Mark, Page, Type};

/// Draws marks as the operators of a page's content.
pub struct Brush<'a> {
    page_height: f64,
    pictograms: &'a Pictograms,
    tags: Tags,
    ops: Vec<Op>,
    /// What the last operators set, and so need not be set again.
    set: Set,
}

/// The part of a page's graphics state that texts ask for again and again.
#[derive(Clone, Copy, Default)]
struct Set {
    fill: Option<Colour>,
    font: Option<(Face, f64)>,
}

impl<'a> Brush<'a> {
    pub fn new(page_height: f64, pictograms: &'a Pictograms) -> Brush<'a> {
        Brush {
            page_height,
            pictograms,
            tags: Tags::new(),
            ops: Vec::new(),
            set: Set::default(),
        }
    }

    /// The tags of every page drawn so far.
    pub fn tags(&self) -> &Tags {
        &self.tags
    }

    pub fn page(&mut self, page: &Page) -> Result<Vec<Op>, UnknownPictogram> {
        self.tags.start_page();
        self.set = Set::default();
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
        self.fill_with(type_.ink.colour());
        self.ops.push(Op::StartTextSection);
        self.write_in(type_);
        self.ops.extend([
            Op::SetTextCursor {
                pos: self.point(x, y),
            },
            Op::ShowText {
                items: vec![TextItem::Text(text)],
            },
            Op::EndTextSection,
        ]);
    }

    fn fill_with(&mut self, fill: Colour) {
        if self.set.fill.replace(fill) != Some(fill) {
            self.ops.push(Op::SetFillColor { col: colour(fill) });
        }
    }

    fn write_in(&mut self, type_: Type) {
        let font = (type_.face, type_.size);
        if self.set.font.replace(font) != Some(font) {
            self.ops.push(Op::SetFont {
                font: PdfFontHandle::External(font_id(type_.face)),
                size: Pt(type_.size as f32),
            });
        }
    }

    fn area(&mut self, area: Area, fill: Colour) {
        self.fill_with(fill);
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
                width: points(area.width),
                height: points(area.height),
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
        let before = self.set;
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
        self.set = before;
    }

    fn fill(&mut self, rings: Vec<PolygonRing>, fill: Colour, even_odd: bool) {
        let winding_order = if even_odd {
            WindingOrder::EvenOdd
        } else {
            WindingOrder::NonZero
        };
        self.fill_with(fill);
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
            x: points(x),
            y: points(self.page_height - y),
        }
    }
}

/// To a thousandth of a point, which no printer shows: shorter numbers, a smaller file.
fn points(value: f64) -> Pt {
    Pt(((value * 1000.0).round() / 1000.0) as f32)
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

//! Marks → the operators that draw them.

use kurbo::{Affine, PathEl};
use printpdf::{
    Color, Line, LineCapStyle, LineJoinStyle, LinePoint, Op, PaintMode, PdfFontHandle, Point,
    Polygon, PolygonRing, Pt, Rect, Rgb, TextItem, WindingOrder,
};

use super::fonts::{drawn, font_id};
use super::tags::Tags;
use crate::render::drawing::{Colour, Drawing, Pictograms, Shape, Stroke, UnknownPictogram};
use crate::render::layout::{Area, Mark, Page, Type};

/// Draws marks as the operators of a page's content.
pub struct Brush<'a> {
    page_height: f64,
    pictograms: &'a Pictograms,
    tags: Tags,
    ops: Vec<Op>,
}

impl<'a> Brush<'a> {
    pub fn new(page_height: f64, pictograms: &'a Pictograms) -> Brush<'a> {
        Brush {
            page_height,
            pictograms,
            tags: Tags::new(),
            ops: Vec::new(),
        }
    }

    /// The tags of every page drawn so far.
    pub fn tags(&self) -> &Tags {
        &self.tags
    }

    pub fn page(&mut self, page: &Page) -> Result<Vec<Op>, UnknownPictogram> {
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

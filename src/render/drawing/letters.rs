//! Words in a drawing → the outlines of their letters.

use kurbo::BezPath;
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};

use crate::render::layout::Face;

/// Words as one path, the middle, beginning or end of their baseline at a place.
pub fn outlined(text: &str, face: Face, size: f64, (x, y): (f64, f64), shift: f64) -> BezPath {
    let font = face.font();
    let mut pen = Pen {
        path: BezPath::new(),
        scale: size / f64::from(font.metrics.units_per_em),
        x: x - shift * face.width(text, size),
        y,
    };
    for c in text.chars() {
        if let Some(glyph) = font.outlines.get(font.glyph(c)) {
            let as_drawn = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
            // A glyph that cannot be drawn leaves its room empty.
            glyph.draw(as_drawn, &mut pen).ok();
        }
        pen.x += face.width(c.encode_utf8(&mut [0; 4]), size);
    }
    pen.path
}

/// Draws outlines at a place; a font's y grows upward, a drawing's downward.
struct Pen {
    path: BezPath,
    scale: f64,
    x: f64,
    y: f64,
}

impl Pen {
    fn at(&self, x: f32, y: f32) -> (f64, f64) {
        (
            self.x + f64::from(x) * self.scale,
            self.y - f64::from(y) * self.scale,
        )
    }
}

impl OutlinePen for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.path.move_to(self.at(x, y));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.path.line_to(self.at(x, y));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.path.quad_to(self.at(x1, y1), self.at(x, y));
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.path
            .curve_to(self.at(x1, y1), self.at(x2, y2), self.at(x, y));
    }

    fn close(&mut self) {
        self.path.close_path();
    }
}

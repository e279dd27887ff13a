//! Pictograms: the plain part of SVG they are drawn in → shapes.
//!
//! A drawing is a `viewBox` and filled or stroked `path`, `polygon`, `circle`,
//! `ellipse`, `rect` and `text` elements, in groups or not; words become the outlines of their
//! letters. Anything else is refused rather than left out, since half
//! a hazard symbol says something else.

mod letters;
mod svg;

use std::collections::BTreeMap;
use std::fmt;

use kurbo::BezPath;

/// The pictograms a document may name.
#[derive(Debug, Clone, Default)]
pub struct Pictograms(BTreeMap<String, Drawing>);

impl Pictograms {
    /// Reads `(name, SVG text)` pairs.
    ///
    /// # Errors
    ///
    /// The first drawing that is not in the plain part of SVG understood here.
    pub fn read<'a>(
        files: impl IntoIterator<Item = (&'a str, &'a str)>,
    ) -> Result<Pictograms, DrawingError> {
        files
            .into_iter()
            .map(|(name, svg)| {
                let drawing = svg::read(svg).map_err(|why| DrawingError {
                    name: name.to_string(),
                    why,
                })?;
                Ok((name.to_string(), drawing))
            })
            .collect::<Result<_, _>>()
            .map(Pictograms)
    }

    /// # Errors
    ///
    /// If there is none of that name.
    pub fn get(&self, name: &str) -> Result<&Drawing, UnknownPictogram> {
        self.0.get(name).ok_or_else(|| UnknownPictogram {
            name: name.to_string(),
            known: self.0.keys().cloned().collect(),
        })
    }
}

/// A document names a pictogram there is none of.
#[derive(Debug, Clone, PartialEq)]
pub struct UnknownPictogram {
    pub name: String,
    pub known: Vec<String>,
}

impl fmt::Display for UnknownPictogram {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (name, known) = (&self.name, self.known.join(", "));
        write!(f, "there is no pictogram `{name}`; there are {known}")
    }
}

impl std::error::Error for UnknownPictogram {}

/// A file that is not a drawing understood here.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawingError {
    pub name: String,
    pub why: String,
}

impl fmt::Display for DrawingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "pictogram `{}`: {}", self.name, self.why)
    }
}

impl std::error::Error for DrawingError {}

/// Shapes in a box from (0, 0) to (width, height), y downward.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    pub width: f64,
    pub height: f64,
    pub shapes: Vec<Shape>,
}

/// One path and how it is painted.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    pub path: BezPath,
    pub fill: Option<Colour>,
    pub even_odd: bool,
    pub stroke: Option<Stroke>,
}

/// A line along a path, in the drawing's own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    pub ink: Colour,
    pub width: f64,
    pub round_ends: bool,
    pub round_corners: bool,
}

/// Red, green, blue, 0 to 255.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

impl Colour {
    pub const BLACK: Colour = Colour(0, 0, 0);
    pub const WHITE: Colour = Colour(255, 255, 255);
    pub const RED: Colour = Colour(0xC8, 0x10, 0x1E);
}

impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }
}

impl Drawing {
    /// The drawing as the body of an `<svg>` element.
    pub fn svg_shapes(&self) -> String {
        self.shapes.iter().map(Shape::svg).collect()
    }
}

impl Shape {
    fn svg(&self) -> String {
        let colour = |colour: Option<Colour>| colour.map_or("none".into(), |c| c.to_string());
        let rule = if self.even_odd {
            " fill-rule=\"evenodd\""
        } else {
            ""
        };
        let stroke = match self.stroke {
            Some(stroke) => stroke.svg(),
            None => String::new(),
        };
        let fill = colour(self.fill);
        format!(
            "<path d=\"{}\" fill=\"{fill}\"{rule}{stroke}/>",
            self.path.to_svg()
        )
    }
}

impl Stroke {
    fn svg(self) -> String {
        let ends = if self.round_ends {
            " stroke-linecap=\"round\""
        } else {
            ""
        };
        let corners = if self.round_corners {
            " stroke-linejoin=\"round\""
        } else {
            ""
        };
        let (ink, width) = (self.ink, self.width);
        format!(" stroke=\"{ink}\" stroke-width=\"{width}\"{ends}{corners}")
    }
}

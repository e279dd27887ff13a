//! Pictures of figures as shapes and words with their places, for any medium.
//!
//! What is told apart differs without colour: by shade, or by solid, dashed and dotted. Dashes are
//! cut here, so a renderer needs nothing but straight lines. Everything is measured in points
//! (1/72 in) of the size it is shown at, so that the words are as large as they are meant.

mod dashes;
mod labels;
mod steps;
mod svg;

pub use labels::{Anchor, Label, Labels, width_of};
pub use steps::round_step;
pub use svg::svg;

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stroke {
    /// Solid and heavy: what matters most.
    Heavy,
    /// Dashed and heavy: what stands beside it.
    Dashed,
    /// Dotted: a limit.
    Dotted,
    /// Solid and fine: axes and ticks.
    Fine,
}

impl Stroke {
    /// Width in points.
    pub fn width(self) -> f64 {
        match self {
            Self::Heavy | Self::Dashed => 1.4,
            Self::Dotted => 1.0,
            Self::Fine => 0.6,
        }
    }

    /// Length drawn and length left out; `None` for a solid line.
    fn dashes(self) -> Option<(f64, f64)> {
        match self {
            Self::Heavy | Self::Fine => None,
            Self::Dashed => Some((6.0, 4.0)),
            Self::Dotted => Some((1.5, 2.5)),
        }
    }
}

/// A line through points; y grows downward.
#[derive(Debug, Clone, PartialEq)]
pub struct Polyline {
    /// How it is drawn.
    pub stroke: Stroke,
    /// Its points.
    pub points: Vec<(f64, f64)>,
}

impl Polyline {
    /// A line, cut into its dashes.
    pub fn cut(stroke: Stroke, points: Vec<(f64, f64)>) -> Vec<Self> {
        let cut = match stroke.dashes() {
            None => vec![points],
            Some((on, off)) => dashes::cut(&points, on, off),
        };
        let line = |points| Self { stroke, points };
        cut.into_iter().map(line).collect()
    }
}

/// An upright box filled with a grey and framed in black.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// Left edge.
    pub left: f64,
    /// Upper edge; y grows downward.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
    /// From 0, black, to 255, white.
    pub grey: u8,
}

/// A picture in a box from (0, 0) to (width, height), points.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// Size of the words.
    pub type_size: f64,
    /// Filled boxes, under everything else.
    pub bars: Vec<Bar>,
    /// Lines, dashes already cut.
    pub lines: Vec<Polyline>,
    /// Words.
    pub labels: Vec<Label>,
}

/// How large a picture is shown, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Width.
    pub width_mm: f64,
    /// Height.
    pub height_mm: f64,
}

/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;
/// Words on a picture as wide as a page, and on a smaller one: read at arm's length.
const LARGE_TYPE: f64 = 9.5;
const SMALL_TYPE: f64 = 8.0;
/// From this width on words are large, points.
const WIDE: f64 = 300.0;

impl Size {
    /// Width and height in points.
    pub fn points(self) -> (f64, f64) {
        (self.width_mm * POINTS, self.height_mm * POINTS)
    }

    /// Size of the words on it, points.
    pub fn type_size(self) -> f64 {
        if self.width_mm * POINTS >= WIDE {
            LARGE_TYPE
        } else {
            SMALL_TYPE
        }
    }
}

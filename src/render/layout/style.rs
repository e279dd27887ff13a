//! The few sizes and weights of a page.

use super::{Face, Ink, Type};
use crate::document::blocks::Voice;

/// Signal words: read from across the room.
pub const SIGNAL: f64 = 26.0;
/// The title, stops, and the amount to weigh.
pub const TITLE: f64 = 17.0;
/// What must be acted on: read from a step away.
pub const ACT: f64 = 12.0;
/// What is read at the bench.
pub const READ: f64 = 9.5;
/// What is looked up.
pub const LOOK_UP: f64 = 8.5;

/// From one baseline to the next, and from the top of a line to its baseline, in type sizes.
pub const LINE: f64 = 1.24;
pub const BASELINE: f64 = 0.96;

/// Columns narrower than this are set in the narrow face.
const NARROW_BELOW: f64 = 170.0;

/// How text is set here, before its own emphasis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    pub size: f64,
    pub bold: bool,
    pub narrow: bool,
    pub ink: Ink,
}

impl Style {
    pub fn page() -> Style {
        Style { size: READ, bold: false, narrow: false, ink: Ink::Black }
    }

    pub fn type_(self) -> Type {
        let face = match (self.narrow, self.bold) {
            (false, false) => Face::Regular,
            (false, true) => Face::Bold,
            (true, false) => Face::Narrow,
            (true, true) => Face::NarrowBold,
        };
        Type { face, size: self.size, ink: self.ink }
    }

    pub fn bold(self) -> Style {
        Style { bold: true, ..self }
    }

    pub fn sized(self, size: f64) -> Style {
        Style { size, ..self }
    }

    /// One size smaller and grey, unless the ground is not white.
    pub fn lower_voice(self) -> Style {
        let size = if self.size > ACT { ACT } else if self.size > READ { READ } else { LOOK_UP };
        let ink = if self.ink == Ink::Black { Ink::Grey } else { self.ink };
        Style { size: size.min(self.size), ink, ..self }
    }

    pub fn voiced(self, voice: Voice) -> Style {
        match voice {
            Voice::Inherited => self,
            Voice::Wall => self.sized(ACT),
            Voice::Small => self.sized(LOOK_UP),
        }
    }

    /// The narrow face where the column is narrow.
    pub fn within(self, width: f64) -> Style {
        Style { narrow: self.narrow || width < NARROW_BELOW, ..self }
    }

    pub fn line_height(self) -> f64 {
        self.size * LINE
    }
}

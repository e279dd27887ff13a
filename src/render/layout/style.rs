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

/// How much white space there is: as it should be, and less and less of it where that saves
/// a page.
pub const AIRY: f64 = 1.0;
pub const TIGHTER: [f64; 3] = [0.85, 0.7, 0.55];
pub const TIGHTEST: f64 = 0.4;

/// How text is set here, before its own emphasis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    pub face: Face,
    pub size: f64,
    pub ink: Ink,
    /// How much white there is between lines and around blocks; [`AIRY`] is the most.
    pub air: f64,
}

impl Style {
    pub fn page(air: f64) -> Style {
        Style {
            face: Face::Text,
            size: READ,
            ink: Ink::Black,
            air,
        }
    }

    /// From one baseline to the next, in type sizes.
    pub fn leading(self) -> f64 {
        1.07 + 0.13 * self.air
    }

    pub fn type_(self) -> Type {
        Type {
            face: self.face,
            size: self.size,
            ink: self.ink,
        }
    }

    pub fn strong(self) -> Style {
        let face = if self.face == Face::Text {
            Face::Strong
        } else {
            self.face
        };
        Style { face, ..self }
    }

    pub fn heading(self, size: f64) -> Style {
        Style {
            face: Face::Heading,
            size,
            ..self
        }
    }

    pub fn sized(self, size: f64) -> Style {
        Style { size, ..self }
    }

    /// One size smaller, and grey unless the ground is not white.
    pub fn lower_voice(self) -> Style {
        let smaller = [ACT, READ, LOOK_UP]
            .into_iter()
            .find(|size| *size < self.size);
        let ink = if self.ink == Ink::Black {
            Ink::Grey
        } else {
            self.ink
        };
        Style {
            size: smaller.unwrap_or(self.size),
            ink,
            ..self
        }
    }

    pub fn voiced(self, voice: Voice) -> Style {
        match voice {
            Voice::Inherited => self,
            Voice::Wall => self.sized(ACT),
            Voice::Small => self.sized(LOOK_UP),
        }
    }

    pub fn line_height(self) -> f64 {
        self.size * self.leading()
    }
}

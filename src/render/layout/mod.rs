//! Blocks → positions on paper.
//!
//! Lengths are points (1/72 inch) from the top left corner of the page, y downward. Nothing
//! is drawn here: [`Pages`] is plain data, and its `Display` is what the tests compare.

mod column_widths;
mod columns;
mod flow;
pub mod label;
mod large;
mod lines;
mod lists;
mod measure;
mod pages;
mod piece;
mod sections;
mod style;
mod table;

use std::fmt;

pub use large::lay_out_large;
pub use measure::Face;
pub use pages::lay_out;

use super::drawing::Colour;

/// Points in a millimetre.
pub const MM: f64 = 72.0 / 25.4;

/// White around the page, wide enough for any printer.
pub const MARGIN: f64 = 12.0 * MM;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    A4,
    Letter,
    /// A label on a page of its own.
    Label {
        width_mm: u16,
        height_mm: u16,
    },
}

impl Paper {
    /// Width and height: ISO 216 A4 is 210 × 297 mm, ANSI/ASME Y14.1 A (US Letter) 8.5 × 11 in.
    pub fn size(self) -> (f64, f64) {
        match self {
            Paper::A4 => (210.0 * MM, 297.0 * MM),
            Paper::Letter => (8.5 * 72.0, 11.0 * 72.0),
            Paper::Label {
                width_mm,
                height_mm,
            } => (f64::from(width_mm) * MM, f64::from(height_mm) * MM),
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct Pages {
    pub paper: Paper,
    pub pages: Vec<Page>,
}

/// What is on one page, in reading order and from back to front.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Page {
    pub marks: Vec<Mark>,
}

/// One thing put on the paper.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// Text on one line, from `x`, standing on the baseline `y`.
    Text {
        x: f64,
        y: f64,
        type_: Type,
        text: String,
    },
    /// A filled area.
    Area {
        area: Area,
        ink: Ink,
    },
    /// A rectangle whose line lies inside its area.
    Frame {
        area: Area,
        thickness: f64,
        ink: Ink,
    },
    /// A pictogram fitted into an area, and the words that stand for it.
    Picture {
        area: Area,
        name: String,
        words: String,
    },
    /// What follows, up to its [`Mark::End`], is one of these.
    Begin(Tag),
    End,
}

/// What a part of a page is, for those who do not see it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tag {
    Heading(u8),
    Paragraph,
    List,
    Item,
    /// The number or dot of an item.
    Label,
    /// What an item says.
    Body,
    Table,
    Row,
    HeadCell,
    Cell,
    /// Said elsewhere, or on every page: not read out.
    Artifact,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
}

/// Face, size and ink of a run of text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Type {
    pub face: Face,
    pub size: f64,
    pub ink: Ink,
}

/// The few inks of a page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    Black,
    White,
    /// For what is said in a lower voice; dark enough for any copier.
    Grey,
    /// Lines between rows.
    Pale,
    /// Behind the head of a table.
    Shade,
    Red,
}

impl Ink {
    pub fn colour(self) -> Colour {
        match self {
            Ink::Black => Colour::BLACK,
            Ink::White => Colour::WHITE,
            Ink::Grey => Colour(0x48, 0x48, 0x48),
            Ink::Pale => Colour(0x90, 0x90, 0x90),
            Ink::Shade => Colour(0xE8, 0xE8, 0xE8),
            Ink::Red => Colour::RED,
        }
    }
}

impl Mark {
    /// The same mark further right and down.
    fn moved(mut self, right: f64, down: f64) -> Mark {
        match &mut self {
            Mark::Text { x, y, .. } => {
                *x += right;
                *y += down;
            }
            Mark::Area { area, .. } | Mark::Frame { area, .. } | Mark::Picture { area, .. } => {
                area.x += right;
                area.y += down;
            }
            Mark::Begin(_) | Mark::End => {}
        }
        self
    }
}

impl fmt::Display for Pages {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, page) in self.pages.iter().enumerate() {
            writeln!(
                f,
                "page {} of {}, {:?}",
                index + 1,
                self.pages.len(),
                self.paper
            )?;
            page.marks
                .iter()
                .try_for_each(|mark| writeln!(f, "  {mark}"))?;
        }
        Ok(())
    }
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Mark::Text {
                x,
                y,
                type_: Type { face, size, ink },
                text,
            } => {
                write!(f, "{x:.1} {y:.1} {face:?} {size} {ink:?} {text:?}")
            }
            Mark::Area { area, ink } => write!(f, "{area} area {ink:?}"),
            Mark::Frame {
                area,
                thickness,
                ink,
            } => {
                write!(f, "{area} frame {thickness} {ink:?}")
            }
            Mark::Picture { area, name, .. } => write!(f, "{area} picture {name}"),
            Mark::Begin(tag) => write!(f, "begin {tag:?}"),
            Mark::End => write!(f, "end"),
        }
    }
}

impl fmt::Display for Area {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:.1} {:.1} {:.1}×{:.1}",
            self.x, self.y, self.width, self.height
        )
    }
}

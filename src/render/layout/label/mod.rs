//! A label in a box of fixed size: everything at its legal size, or not at all.
//!
//! From the top: what it is; beside the pictograms the signal word and the hazards, which go on
//! below them; precautions; lines to write on; whose it is. Nothing is ever cut off or set smaller.

mod diamonds;
mod fields;
mod tiles;

use super::lines::Measured;
use super::style::{AIRY, Style};
use super::{Area, Face, Ink, MM, Mark, Tag};
use crate::document::blocks::{Align, Inline};
use crate::document::label::{Field, Label, Sides};

pub use tiles::{Sheet, TooLarge, tile};

/// White around the text of a label.
const MARGIN: f64 = 2.5 * MM;
/// White between its parts.
const GAP: f64 = 1.0 * MM;
/// How much larger than the text the title is, at most and at least.
const TITLES: [f64; 4] = [2.0, 1.6, 1.25, 1.0];
/// How much larger than the text the signal word is.
const SIGNAL: f64 = 1.6;
/// Pictograms shrink by this much at a time, in millimetres.
const SHRINK: f64 = 1.0;
/// The least part of the width that text beside pictograms has.
const LEAST_BESIDE: f64 = 0.3;
const RULE: f64 = 0.6;

/// A label that stands, from its left top corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Points.
    pub width: f64,
    /// Points.
    pub height: f64,
    /// In reading order.
    pub marks: Vec<Mark>,
}

/// The measures a label must keep.
#[derive(Debug, Clone, PartialEq)]
pub struct Measures {
    /// Across.
    pub width_mm: u16,
    /// Down.
    pub height_mm: u16,
    /// Sides of the pictograms.
    pub pictogram_mm: Sides,
    /// Height of a small x, in millimetres.
    pub x_height_mm: f64,
    /// Line spacing in type sizes; what this layout sets is 1.2 and never less.
    pub line_spacing: f64,
}

/// Sets a label, on one panel or on two; nothing where it does not fit.
pub fn set(label: &Label, measures: &Measures, two: bool) -> Option<Vec<Panel>> {
    if !two {
        return Some(vec![set_panel(&Content::whole(label), measures)?]);
    }
    let front = set_panel(&Content::front(label), measures)?;
    Some(vec![front, set_panel(&Content::back(label), measures)?])
}

/// What stands on one panel.
struct Content<'a> {
    label: &'a Label,
    details: String,
    with_hazards: bool,
    precautions: &'a [String],
    supplements: &'a [String],
    fields: &'a [Field],
    foot: &'a [String],
}

impl<'a> Content<'a> {
    fn whole(label: &'a Label) -> Self {
        Content {
            label,
            details: label.details.clone(),
            with_hazards: true,
            precautions: &label.precautions,
            supplements: &label.supplements,
            fields: &label.fields,
            foot: &label.foot,
        }
    }

    /// What must be seen at once.
    fn front(label: &'a Label) -> Self {
        let fields = label.fields.get(..2).unwrap_or(&label.fields);
        Content {
            precautions: &[],
            fields,
            ..Self::whole(label)
        }
    }

    /// What is read next; it names the front.
    fn back(label: &'a Label) -> Self {
        let fields = label.fields.get(2..).unwrap_or_default();
        Content {
            details: label.further.clone(),
            with_hazards: false,
            supplements: &[],
            fields,
            foot: &[],
            ..Self::whole(label)
        }
    }
}

fn set_panel(content: &Content, measures: &Measures) -> Option<Panel> {
    let setter = Setter::new(measures)?;
    let shown = if content.with_hazards {
        content.label.pictograms.len()
    } else {
        0
    };
    let fits = |side: f64, title: f64| {
        diamonds::blocks(shown, side * MM)
            .iter()
            .find_map(|block| setter.panel(content, block, title))
    };
    let (enough, small) = sides(measures.pictogram_mm);
    // A name read from afar is worth more than a pictogram larger than the law wants; a pictogram of
    // that size is worth more than the name.
    let by_title = TITLES
        .iter()
        .find_map(|title| enough.iter().find_map(|side| fits(*side, *title)));
    by_title.or_else(|| {
        small
            .iter()
            .find_map(|side| TITLES.iter().find_map(|title| fits(*side, *title)))
    })
}

/// Sides from the largest to the wanted, and from there to the least, in millimetres.
fn sides(of: Sides) -> (Vec<f64>, Vec<f64>) {
    let down = |from: f64, to: f64| {
        let steps = ((from - to) / SHRINK).max(0.0).floor() as usize;
        (0..=steps)
            .map(|step| from - SHRINK * step as f64)
            .chain([to])
            .collect()
    };
    (down(of.largest, of.wanted), down(of.wanted, of.least))
}

struct Setter {
    style: Style,
    width: f64,
    height: f64,
}

/// Marks from the top down.
struct Column {
    y: f64,
    marks: Vec<Mark>,
}

impl Setter {
    fn new(measures: &Measures) -> Option<Self> {
        let style = Style::page(AIRY);
        // Rounding of the sum behind the leading must not refuse what is exactly enough.
        if style.leading() + 1e-9 < measures.line_spacing {
            return None;
        }
        let size = measures.x_height_mm * MM / Face::least_x_height();
        let style = style.sized((size * 10.0).ceil() / 10.0);
        let (width, height) = (
            f64::from(measures.width_mm) * MM,
            f64::from(measures.height_mm) * MM,
        );
        Some(Self {
            style,
            width,
            height,
        })
    }

    fn panel(&self, content: &Content, block: &diamonds::Block, title: f64) -> Option<Panel> {
        let inner = self.width - 2.0 * MARGIN;
        if block.width > inner {
            return None;
        }
        let mut column = Column {
            y: 0.0,
            marks: Vec::new(),
        };
        self.head(content, title, inner, &mut column);
        let top = column.y;
        column
            .marks
            .extend(block.marks(&content.label.pictograms, top));
        self.text(content, (top, block), inner, &mut column);
        column.y = column.y.max(top + block.height) + GAP;
        let foot = self.paragraph(&content.foot.join(" "), self.style, inner);
        let room = self.height - 2.0 * MARGIN - column.y - foot.y - GAP;
        self.fields(content.fields, inner, room, &mut column)?;
        let foot_top = self.height - 2.0 * MARGIN - foot.y;
        column
            .marks
            .extend(foot.marks.into_iter().map(|mark| mark.moved(0.0, foot_top)));
        let marks = column
            .marks
            .into_iter()
            .map(|mark| mark.moved(MARGIN, MARGIN))
            .collect();
        Some(Panel {
            width: self.width,
            height: self.height,
            marks,
        })
    }

    /// Title, strength and short id, and a line below.
    fn head(&self, content: &Content, title: f64, inner: f64, column: &mut Column) {
        let large = self.style.heading(self.style.size * title);
        for (index, text) in content.label.title.iter().enumerate() {
            let tag = if index == 0 {
                Tag::Heading(1)
            } else {
                Tag::Heading(2)
            };
            column.add(
                Measured::new(&plain(text), large).lines(inner, Align::Left),
                tag,
                |_| 0.0,
            );
        }
        let strong = self.style.strong();
        let id_width = strong.type_().face.width(&content.label.id, strong.size) + 0.5;
        let id = Measured::new(&plain(&content.label.id), strong).lines(id_width, Align::Right);
        let top = column.y;
        column.add(id, Tag::Paragraph, |_| inner - id_width);
        let below_id = std::mem::replace(&mut column.y, top);
        let details = Measured::new(&plain(&content.details), self.style)
            .lines(inner - id_width - GAP, Align::Left);
        column.add(details, Tag::Paragraph, |_| 0.0);
        column.y = column.y.max(below_id) + RULE;
        column.marks.push(Mark::Area {
            area: Area {
                x: 0.0,
                y: column.y,
                width: inner,
                height: RULE,
            },
            ink: Ink::Black,
        });
        column.y += RULE + GAP;
    }

    /// Signal word, hazards and precautions around the pictograms.
    fn text(
        &self,
        content: &Content,
        (top, block): (f64, &diamonds::Block),
        inner: f64,
        column: &mut Column,
    ) {
        let taken = if block.width > 0.0 {
            block.width + 2.0 * GAP
        } else {
            0.0
        };
        // Beside the pictograms there must be room to read; else the text begins below them.
        if inner - taken < LEAST_BESIDE * inner {
            column.y = top + block.height;
        }
        let beside = move |y: f64| if y < top + block.height { taken } else { 0.0 };
        let mut add = |text: &str, style: Style, tag: Tag| {
            let start = column.y;
            let lines = Measured::new(&plain(text), style)
                .lines_around(|y| inner - beside(start + y), Align::Left);
            column.add(lines, tag, beside);
        };
        if content.with_hazards {
            if !content.label.signal.is_empty() {
                let signal = content.label.signal.join(" · ");
                add(
                    &signal,
                    self.style.heading(self.style.size * SIGNAL),
                    Tag::Heading(2),
                );
            }
            for hazards in &content.label.hazards {
                add(hazards, self.style.strong(), Tag::Paragraph);
            }
        }
        for text in content.precautions.iter().chain(content.supplements) {
            add(text, self.style, Tag::Paragraph);
        }
    }

    fn paragraph(&self, text: &str, style: Style, width: f64) -> Column {
        let mut column = Column {
            y: 0.0,
            marks: Vec::new(),
        };
        column.add(
            Measured::new(&plain(text), style).lines(width, Align::Left),
            Tag::Paragraph,
            |_| 0.0,
        );
        column
    }
}

impl Column {
    /// Lines one below the other, each pushed right by what stands at its height.
    fn add(&mut self, lines: Vec<super::lines::Line>, tag: Tag, right: impl Fn(f64) -> f64) {
        self.marks.push(Mark::Begin(tag));
        for line in lines {
            let (x, y) = (right(self.y), self.y);
            self.marks
                .extend(line.marks.into_iter().map(|mark| mark.moved(x, y)));
            self.y += line.height;
        }
        self.marks.push(Mark::End);
    }
}

fn plain(text: &str) -> [Inline; 1] {
    [Inline::Text(text.to_owned())]
}

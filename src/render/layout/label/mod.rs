//! A label in a box of fixed size: everything at its legal size, or not at all.
//!
//! From the top: what it is; beside the pictograms the signal word and the hazards, which go on
//! below them; precautions; lines to write on; whose it is. Nothing is ever cut off or set smaller.

mod diamonds;
mod tiles;

use super::lines::Measured;
use super::style::{AIRY, Style};
use super::{Area, Face, Ink, MM, Mark, Tag};
use crate::document::blocks::{Align, Inline};
use crate::document::label::{Field, Label, Side, Size};

pub use tiles::{Sheet, TooLarge, tile};

/// White around the text of a label.
const MARGIN: f64 = 2.5 * MM;
/// White between its parts.
const GAP: f64 = 1.0 * MM;
/// A line that is written on by hand, with a glove on.
const BY_HAND: f64 = 5.5 * MM;
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
    /// Box and pictograms.
    pub size: Size,
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
        let fields = label.fields.split_last().map_or(&[][..], |(_, known)| known);
        Content { precautions: &[], fields, ..Self::whole(label) }
    }

    /// What is read next; it names the front.
    fn back(label: &'a Label) -> Self {
        let fields = label.fields.split_last().map_or(&[][..], |(note, _)| std::slice::from_ref(note));
        Content { details: label.further.clone(), with_hazards: false, supplements: &[], fields, foot: &[], ..Self::whole(label) }
    }
}

fn set_panel(content: &Content, measures: &Measures) -> Option<Panel> {
    let setter = Setter::new(measures)?;
    let sides = sides(measures.size.pictogram_mm);
    let shown = if content.with_hazards { content.label.pictograms.len() } else { 0 };
    // The larger pictogram comes before the larger title.
    for side in sides {
        for block in diamonds::blocks(shown, side * MM) {
            for title in TITLES {
                if let Some(panel) = setter.panel(content, &block, title) {
                    return Some(panel);
                }
            }
        }
    }
    None
}

/// Sides from the wanted to the least, in millimetres.
fn sides(side: Side) -> Vec<f64> {
    let steps = ((side.wanted - side.least) / SHRINK).max(0.0).floor();
    let shrunk = (0..=steps as usize).map(|step| side.wanted - SHRINK * step as f64);
    shrunk.chain([side.least]).collect()
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
        let (width, height) = (f64::from(measures.size.width_mm) * MM, f64::from(measures.size.height_mm) * MM);
        Some(Self { style, width, height })
    }

    fn panel(&self, content: &Content, block: &diamonds::Block, title: f64) -> Option<Panel> {
        let inner = self.width - 2.0 * MARGIN;
        if block.width > inner {
            return None;
        }
        let mut column = Column { y: 0.0, marks: Vec::new() };
        self.head(content, title, inner, &mut column);
        let top = column.y;
        column.marks.extend(block.marks(&content.label.pictograms, top));
        self.text(content, (top, block), inner, &mut column);
        column.y = column.y.max(top + block.height) + GAP;
        let foot = self.paragraph(&content.foot.join(" "), self.style, inner);
        let room = self.height - 2.0 * MARGIN - column.y - foot.y - GAP;
        self.fields(content.fields, inner, room, &mut column)?;
        let foot_top = self.height - 2.0 * MARGIN - foot.y;
        column.marks.extend(foot.marks.into_iter().map(|mark| mark.moved(0.0, foot_top)));
        let marks = column.marks.into_iter().map(|mark| mark.moved(MARGIN, MARGIN)).collect();
        Some(Panel { width: self.width, height: self.height, marks })
    }

    /// Title, strength and short id, and a line below.
    fn head(&self, content: &Content, title: f64, inner: f64, column: &mut Column) {
        let large = self.style.heading(self.style.size * title);
        for (index, text) in content.label.title.iter().enumerate() {
            let tag = if index == 0 { Tag::Heading(1) } else { Tag::Heading(2) };
            column.add(Measured::new(&plain(text), large).lines(inner, Align::Left), tag, |_| 0.0);
        }
        let strong = self.style.strong();
        let id_width = strong.type_().face.width(&content.label.id, strong.size) + 0.5;
        let id = Measured::new(&plain(&content.label.id), strong).lines(id_width, Align::Right);
        let top = column.y;
        column.add(id, Tag::Paragraph, |_| inner - id_width);
        let below_id = std::mem::replace(&mut column.y, top);
        let details = Measured::new(&plain(&content.details), self.style).lines(inner - id_width - GAP, Align::Left);
        column.add(details, Tag::Paragraph, |_| 0.0);
        column.y = column.y.max(below_id) + RULE;
        column.marks.push(Mark::Area { area: Area { x: 0.0, y: column.y, width: inner, height: RULE }, ink: Ink::Black });
        column.y += RULE + GAP;
    }

    /// Signal word, hazards and precautions around the pictograms.
    fn text(&self, content: &Content, (top, block): (f64, &diamonds::Block), inner: f64, column: &mut Column) {
        let taken = if block.width > 0.0 { block.width + 2.0 * GAP } else { 0.0 };
        // Beside the pictograms there must be room to read; else the text begins below them.
        if inner - taken < LEAST_BESIDE * inner {
            column.y = top + block.height;
        }
        let beside = move |y: f64| if y < top + block.height { taken } else { 0.0 };
        let mut add = |text: &str, style: Style, tag: Tag| {
            let start = column.y;
            let lines = Measured::new(&plain(text), style).lines_around(|y| inner - beside(start + y), Align::Left);
            column.add(lines, tag, beside);
        };
        if content.with_hazards {
            if !content.label.signal.is_empty() {
                let signal = content.label.signal.join(" · ");
                add(&signal, self.style.heading(self.style.size * SIGNAL), Tag::Heading(2));
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
        let mut column = Column { y: 0.0, marks: Vec::new() };
        column.add(Measured::new(&plain(text), style).lines(width, Align::Left), Tag::Paragraph, |_| 0.0);
        column
    }

    /// Lines with what is known and lines to write on; two short ones share a row. What room is
    /// left is for the last: the note.
    fn fields(&self, fields: &[Field], inner: f64, room: f64, column: &mut Column) -> Option<()> {
        let end = column.y + room;
        for (index, row) in rows(fields).into_iter().enumerate() {
            let last = index + 1 == rows(fields).len();
            let width = (inner - GAP * (row.len() - 1) as f64) / row.len() as f64;
            let mut tallest = 0.0_f64;
            for (place, field) in row.iter().enumerate() {
                let cell = self.field(field, width);
                let right = place as f64 * (width + GAP);
                tallest = tallest.max(cell.y);
                let y = column.y;
                column.marks.extend(cell.marks.into_iter().map(|mark| mark.moved(right, y)));
            }
            column.y += tallest;
            if last && row.iter().all(|field| field.value.is_none()) {
                self.more_lines(inner, end, column);
            }
        }
        (column.y <= end + 0.01).then_some(())
    }

    fn field(&self, field: &Field, width: f64) -> Column {
        match &field.value {
            Some(value) => {
                let inlines = [Inline::Strong(plain(&field.name).into()), Inline::Text(format!("  {value}"))];
                let mut column = Column { y: 0.0, marks: Vec::new() };
                column.add(Measured::new(&inlines, self.style).lines(width, Align::Left), Tag::Paragraph, |_| 0.0);
                column
            }
            None => {
                let strong = self.style.strong();
                let name = self.paragraph(&field.name, strong, width);
                let name_width = strong.type_().face.width(&field.name, strong.size).min(width);
                let height = BY_HAND.max(name.y + RULE);
                let marks = name.marks.into_iter().map(|mark| mark.moved(0.0, height - name.y - RULE));
                let area = Area { x: name_width + GAP, y: height - RULE, width: (width - name_width - GAP).max(0.0), height: RULE };
                let mut marks: Vec<Mark> = marks.collect();
                // A name that fills the row is written under.
                if area.width > 6.0 * MM {
                    marks.push(Mark::Area { area, ink: Ink::Black });
                }
                // Handwriting hangs below its line.
                Column { y: height + GAP, marks }
            }
        }
    }

    /// Further lines to write on, as far as there is room.
    fn more_lines(&self, inner: f64, end: f64, column: &mut Column) {
        let mut y = column.y + BY_HAND;
        while y <= end {
            column.marks.push(Mark::Area { area: Area { x: 0.0, y: y - RULE, width: inner, height: RULE }, ink: Ink::Black });
            y += BY_HAND;
        }
    }
}

impl Column {
    /// Lines one below the other, each pushed right by what stands at its height.
    fn add(&mut self, lines: Vec<super::lines::Line>, tag: Tag, right: impl Fn(f64) -> f64) {
        self.marks.push(Mark::Begin(tag));
        for line in lines {
            let (x, y) = (right(self.y), self.y);
            self.marks.extend(line.marks.into_iter().map(|mark| mark.moved(x, y)));
            self.y += line.height;
        }
        self.marks.push(Mark::End);
    }
}

/// The first two share a row where they are alike, every other has its own.
fn rows(fields: &[Field]) -> Vec<&[Field]> {
    let is_pair = matches!(fields, [one, other, ..] if short(one) && short(other) && one.value.is_some() == other.value.is_some());
    let (first, rest) = fields.split_at(if is_pair { 2 } else { 0 });
    let pair = (!first.is_empty()).then_some(first);
    pair.into_iter().chain(rest.chunks(1)).collect()
}

fn short(field: &Field) -> bool {
    const SHORT: usize = 16;
    field.value.as_ref().is_none_or(|value| value.chars().count() <= SHORT) && field.name.chars().count() <= 2 * SHORT
}

fn plain(text: &str) -> [Inline; 1] {
    [Inline::Text(text.to_owned())]
}

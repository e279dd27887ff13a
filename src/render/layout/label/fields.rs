//! Lines of a label with what is known, and lines to write on.

use super::{Column, GAP, RULE, Setter, plain};
use crate::document::blocks::{Align, Inline};
use crate::document::label::Field;
use crate::render::layout::lines::Measured;
use crate::render::layout::{Area, Ink, MM, Mark, Tag};

/// A line that is written on by hand, with a glove on.
const BY_HAND: f64 = 5.5 * MM;

impl Setter {
    /// Lines with what is known and lines to write on; two short ones share a row. What room is
    /// left is for the last: the note.
    pub(super) fn fields(
        &self,
        fields: &[Field],
        inner: f64,
        room: f64,
        column: &mut Column,
    ) -> Option<()> {
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
                column
                    .marks
                    .extend(cell.marks.into_iter().map(|mark| mark.moved(right, y)));
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
                let inlines = [
                    Inline::Strong(plain(&field.name).into()),
                    Inline::Text(format!("  {value}")),
                ];
                let mut column = Column {
                    y: 0.0,
                    marks: Vec::new(),
                };
                column.add(
                    Measured::new(&inlines, self.style).lines(width, Align::Left),
                    Tag::Paragraph,
                    |_| 0.0,
                );
                column
            }
            None => {
                let strong = self.style.strong();
                let name = self.paragraph(&field.name, strong, width);
                let name_width = strong
                    .type_()
                    .face
                    .width(&field.name, strong.size)
                    .min(width);
                let height = BY_HAND.max(name.y + RULE);
                let marks = name
                    .marks
                    .into_iter()
                    .map(|mark| mark.moved(0.0, height - name.y - RULE));
                let area = Area {
                    x: name_width + GAP,
                    y: height - RULE,
                    width: (width - name_width - GAP).max(0.0),
                    height: RULE,
                };
                let mut marks: Vec<Mark> = marks.collect();
                // A name that fills the row is written under.
                if area.width > 6.0 * MM {
                    marks.push(Mark::Area {
                        area,
                        ink: Ink::Black,
                    });
                }
                // Handwriting hangs below its line.
                Column {
                    y: height + GAP,
                    marks,
                }
            }
        }
    }

    /// Further lines to write on, as far as there is room.
    fn more_lines(&self, inner: f64, end: f64, column: &mut Column) {
        let mut y = column.y + BY_HAND;
        while y <= end {
            column.marks.push(Mark::Area {
                area: Area {
                    x: 0.0,
                    y: y - RULE,
                    width: inner,
                    height: RULE,
                },
                ink: Ink::Black,
            });
            y += BY_HAND;
        }
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
    field
        .value
        .as_ref()
        .is_none_or(|value| value.chars().count() <= SHORT)
        && field.name.chars().count() <= 2 * SHORT
}

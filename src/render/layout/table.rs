//! Tables: column widths from what stands in them, rows that are never split.

use std::sync::Arc;

use super::column_widths::{SIDE, column_widths};
use super::lines::{Line, Measured};
use super::piece::{Piece, pour, tag};
use super::style::{ACT, READ, Style, TITLE};
use super::{Area, Ink, Mark, Tag};
use crate::document::blocks::{Align, Cell, Table, stands_alone};

/// How a table is set.
pub struct Setting<'a> {
    pub style: Style,
    pub width: f64,
    pub page_height: f64,
    pub steps: bool,
    /// Tables that share its columns, itself among them or not.
    pub aligned_with: &'a [&'a Table],
}

/// A table as pieces, one a row, each row able to repeat the head.
pub fn table(table: &Table, setting: &Setting<'_>) -> Vec<Piece> {
    let style = if setting.steps {
        setting.style.sized(ACT)
    } else {
        setting.style
    };
    let head = measured_head(table, style);
    let rows: Vec<Vec<Measured>> = table
        .rows
        .iter()
        .map(|row| measured_row(row, style, setting.steps))
        .collect();
    let others = setting
        .aligned_with
        .iter()
        .filter(|other| other.columns == table.columns);
    let others: Vec<Vec<Measured>> = others
        .flat_map(|other| &other.rows)
        .map(|row| measured_row(row, style, setting.steps))
        .collect();
    let all: Vec<&[Measured]> = head
        .iter()
        .chain(&rows)
        .chain(&others)
        .map(Vec::as_slice)
        .collect();
    let widths = column_widths(&all, table.columns.len(), setting.width);
    let sheet = Sheet {
        columns: &table.columns,
        widths,
        setting,
    };

    let mut pieces = Vec::new();
    let head = head.map(|cells| sheet.head(&cells)).unwrap_or_default();
    let repeated = repeated(&head).map(Arc::new);
    pieces.extend(head);
    let heads = pieces.len();
    for cells in &rows {
        for piece in sheet.row(cells, Tag::Cell) {
            pieces.push(Piece {
                head: repeated.clone(),
                ..piece
            });
        }
    }
    keep_low_rows_company(&mut pieces[heads..], 4.0 * style.size);
    tag(pieces, Tag::Table)
}

/// No low row is left behind alone under the head, or alone on the next page.
fn keep_low_rows_company(rows: &mut [Piece], low: f64) {
    if let [first, .., last] = rows {
        let (first_is_low, last_is_low) = (first.height < low, last.height < low);
        let before_last = rows.len() - 2;
        rows[0].with_next |= first_is_low;
        rows[before_last].with_next |= last_is_low;
    }
}

/// The head as it stands above the rows on a later page, where it has been said before.
fn repeated(head: &[Piece]) -> Option<Piece> {
    let mut head = head.first().filter(|head| head.with_next)?.clone();
    head.marks
        .retain(|mark| !matches!(mark, Mark::Begin(_) | Mark::End));
    tag(vec![head], Tag::Artifact).pop()
}

fn measured_head(table: &Table, style: Style) -> Option<Vec<Measured>> {
    let style = style.sized(READ.min(style.size)).strong();
    let measured = |cell: &Cell| Measured::new(cell, style);
    table
        .has_head()
        .then(|| table.head.iter().map(measured).collect())
}

fn measured_row(row: &[Cell], style: Style, steps: bool) -> Vec<Measured> {
    row.iter()
        .map(|cell| {
            let large = steps && stands_alone(cell);
            let style = if large { style.sized(TITLE) } else { style };
            Measured::new(cell, style)
        })
        .collect()
}

/// The grid the cells are set into.
struct Sheet<'a> {
    columns: &'a [Align],
    widths: Vec<f64>,
    setting: &'a Setting<'a>,
}

impl Sheet<'_> {
    fn above_and_below(&self) -> f64 {
        let most = if self.setting.steps { 5.5 } else { 2.5 };
        most * self.setting.style.air.max(0.6)
    }

    /// The head, in parts like any row if it is too high to be repeated.
    fn head(&self, cells: &[Measured]) -> Vec<Piece> {
        let mut piece = self.placed(self.set(cells), 3.0, Tag::HeadCell);
        if piece.height > self.setting.page_height / 4.0 {
            return self.row(cells, Tag::HeadCell);
        }
        piece.with_next = true;
        let area = self.area(0.0, piece.height);
        vec![piece.behind(vec![Mark::Area {
            area,
            ink: Ink::Shade,
        }])]
    }

    /// A row, in parts if no page could hold it whole.
    fn row(&self, cells: &[Measured], what: Tag) -> Vec<Piece> {
        let above = self.above_and_below();
        let room = self.setting.page_height / 2.0 - 2.0 * above;
        let mut cells = self.set(cells);
        let tallest = cells.iter().map(|lines| height(lines)).fold(0.0, f64::max);
        if tallest > room {
            return self.parts(cells, room, what);
        }
        align_first_lines(&mut cells);
        vec![self.ruled(self.placed(cells, above, what))]
    }

    fn parts(&self, cells: Vec<Vec<Line>>, room: f64, what: Tag) -> Vec<Piece> {
        let mut columns: Vec<_> = cells
            .into_iter()
            .map(|lines| pour(lines.into_iter().map(Piece::of_line).collect(), room).into_iter())
            .collect();
        let mut parts = Vec::new();
        loop {
            let part: Vec<_> = columns.iter_mut().map(Iterator::next).collect();
            if part.iter().all(Option::is_none) {
                return parts;
            }
            let lines = part.into_iter().map(|pieces| {
                let line = |piece: Piece| Line {
                    height: piece.height,
                    baseline: 0.0,
                    marks: piece.marks,
                };
                pieces.unwrap_or_default().into_iter().map(line).collect()
            });
            parts.push(self.ruled(self.placed(lines.collect(), self.above_and_below(), what)));
        }
    }

    fn set(&self, cells: &[Measured]) -> Vec<Vec<Line>> {
        cells
            .iter()
            .zip(&self.widths)
            .zip(self.columns)
            .map(|((cell, width), align)| cell.lines(width - 2.0 * SIDE, *align))
            .collect()
    }

    fn placed(&self, cells: Vec<Vec<Line>>, above: f64, what: Tag) -> Piece {
        let mut piece = Piece::default();
        piece.marks.push(Mark::Begin(Tag::Row));
        let mut x = SIDE;
        for (lines, width) in cells.into_iter().zip(&self.widths) {
            let mut y = above;
            piece.marks.push(Mark::Begin(what));
            for line in lines {
                piece
                    .marks
                    .extend(line.marks.into_iter().map(|mark| mark.moved(x, y)));
                y += line.height;
            }
            piece.marks.push(Mark::End);
            piece.height = piece.height.max(y + above);
            x += width;
        }
        piece.marks.push(Mark::End);
        piece
    }

    /// A row with the line under it.
    fn ruled(&self, mut piece: Piece) -> Piece {
        let area = self.area(piece.height - 0.5, 0.5);
        piece.marks.push(Mark::Area {
            area,
            ink: Ink::Pale,
        });
        piece
    }

    fn area(&self, y: f64, height: f64) -> Area {
        Area {
            x: 0.0,
            y,
            width: self.setting.width,
            height,
        }
    }
}

fn height(lines: &[Line]) -> f64 {
    lines.iter().map(|line| line.height).sum()
}

/// Puts the first lines of a row's cells on one baseline.
fn align_first_lines(cells: &mut [Vec<Line>]) {
    let lowest = cells
        .iter()
        .filter_map(|lines| lines.first())
        .map(|l| l.baseline)
        .fold(0.0, f64::max);
    for line in cells.iter_mut().filter_map(|lines| lines.first_mut()) {
        let down = lowest - line.baseline;
        line.marks = line
            .marks
            .drain(..)
            .map(|mark| mark.moved(0.0, down))
            .collect();
        line.height += down;
        line.baseline = lowest;
    }
}

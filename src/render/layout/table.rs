//! Tables: column widths from what stands in them, rows that are never split.

use std::rc::Rc;

use super::lines::{Line, Measured};
use super::piece::{Piece, pour};
use super::style::{ACT, READ, Style, TITLE};
use super::{Area, Ink, Mark};
use crate::document::blocks::{Align, Cell, Inline, Table};

/// White at the sides of a cell.
const SIDE: f64 = 4.0;
/// The least width of a column's text, so that any single character fits.
const LEAST: f64 = 12.0;

/// How a table is set.
pub struct Setting {
    pub style: Style,
    pub width: f64,
    pub page_height: f64,
    pub steps: bool,
}

/// A table as pieces, one a row, each row able to repeat the head.
pub fn table(table: &Table, setting: &Setting) -> Vec<Piece> {
    let style = fitting_style(table, setting);
    let head = measured_head(table, style);
    let rows: Vec<Vec<Measured>> =
        table.rows.iter().map(|row| measured_row(row, style, setting.steps)).collect();
    let widths = column_widths(head.iter().chain(&rows), table.columns.len(), setting.width);
    let sheet = Sheet { columns: &table.columns, widths, setting };

    let mut pieces = Vec::new();
    let head = head.map(|cells| Rc::new(sheet.head(&cells)));
    pieces.extend(head.as_deref().cloned());
    for cells in &rows {
        for piece in sheet.row(cells) {
            pieces.push(Piece { head: head.clone(), ..piece });
        }
    }
    pieces
}

/// The narrow face where the wide one would break words.
fn fitting_style(table: &Table, setting: &Setting) -> Style {
    let base = if setting.steps { setting.style.sized(ACT) } else { setting.style };
    let base = base.within(setting.width);
    let mut narrowest = vec![0.0_f64; table.columns.len()];
    for row in table.rows.iter().map(|row| measured_row(row, base, setting.steps)) {
        for (least, cell) in narrowest.iter_mut().zip(&row) {
            *least = least.max(cell.narrowest() + 2.0 * SIDE);
        }
    }
    let tight = narrowest.iter().sum::<f64>() > setting.width;
    Style { narrow: base.narrow || tight, ..base }
}

fn measured_head(table: &Table, style: Style) -> Option<Vec<Measured>> {
    let style = style.sized(READ.min(style.size)).bold();
    let measured = |cell: &Cell| Measured::new(cell, style);
    table.has_head().then(|| table.head.iter().map(measured).collect())
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

/// Whether a cell is nothing but bold text, or nothing but a box to tick.
fn stands_alone(cell: &Cell) -> bool {
    match cell.as_slice() {
        [Inline::Strong(_)] => true,
        [Inline::Text(text)] => matches!(text.as_str(), "☐" | "☑"),
        _ => false,
    }
}

/// Shares the width out. Every column gets what it cannot break, the widest giving way first
/// if there is not enough; the rest goes where text would otherwise wrap, then where it is.
fn column_widths<'a>(
    rows: impl Iterator<Item = &'a Vec<Measured>>,
    columns: usize,
    width: f64,
) -> Vec<f64> {
    let mut narrowest = vec![LEAST; columns];
    let mut natural = vec![LEAST; columns];
    for row in rows {
        for (index, cell) in row.iter().enumerate().take(columns) {
            narrowest[index] = narrowest[index].max(cell.narrowest());
            natural[index] = natural[index].max(cell.natural());
        }
    }
    let room = width - 2.0 * SIDE * columns as f64;
    let least = levelled(&narrowest, room);
    let wanted: Vec<f64> = natural.iter().zip(&least).map(|(n, l)| (n - l).max(0.0)).collect();
    let spare = room - least.iter().sum::<f64>();
    let missing: f64 = wanted.iter().sum();
    let shares = if missing > spare { wanted } else { natural };
    let given = if missing > spare { least } else { natural_or(&shares, &least) };
    let rest = room - given.iter().sum::<f64>();
    let total = shares.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    given
        .iter()
        .zip(&shares)
        .map(|(given, share)| given + rest.max(0.0) * share / total + 2.0 * SIDE)
        .collect()
}

fn natural_or(natural: &[f64], least: &[f64]) -> Vec<f64> {
    natural.iter().zip(least).map(|(natural, least)| natural.max(*least)).collect()
}

/// The widths, the widest cut to one level so that all fit the room.
fn levelled(widths: &[f64], room: f64) -> Vec<f64> {
    let mut sorted = widths.to_vec();
    sorted.sort_by(f64::total_cmp);
    let mut left = room;
    for (index, width) in sorted.iter().enumerate() {
        let level = left / (sorted.len() - index) as f64;
        if *width > level {
            return widths.iter().map(|width| width.min(level)).collect();
        }
        left -= width;
    }
    widths.to_vec()
}

/// The grid the cells are set into.
struct Sheet<'a> {
    columns: &'a [Align],
    widths: Vec<f64>,
    setting: &'a Setting,
}

impl Sheet<'_> {
    fn above_and_below(&self) -> f64 {
        if self.setting.steps { 5.5 } else { 3.0 }
    }

    fn head(&self, cells: &[Measured]) -> Piece {
        let mut piece = self.placed(self.set(cells), 3.0);
        piece.with_next = true;
        let area = self.area(0.0, piece.height);
        piece.behind(vec![Mark::Area { area, ink: Ink::Shade }])
    }

    /// A row, in parts if no page could hold it whole.
    fn row(&self, cells: &[Measured]) -> Vec<Piece> {
        let above = self.above_and_below();
        let room = self.setting.page_height / 2.0 - 2.0 * above;
        let mut cells = self.set(cells);
        let tallest = cells.iter().map(|lines| height(lines)).fold(0.0, f64::max);
        if tallest > room {
            return self.parts(cells, room);
        }
        align_first_lines(&mut cells);
        vec![self.ruled(self.placed(cells, above))]
    }

    fn parts(&self, cells: Vec<Vec<Line>>, room: f64) -> Vec<Piece> {
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
            parts.push(self.ruled(self.placed(lines.collect(), self.above_and_below())));
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

    fn placed(&self, cells: Vec<Vec<Line>>, above: f64) -> Piece {
        let mut piece = Piece::default();
        let mut x = SIDE;
        for (lines, width) in cells.into_iter().zip(&self.widths) {
            let mut y = above;
            for line in lines {
                piece.marks.extend(line.marks.into_iter().map(|mark| mark.moved(x, y)));
                y += line.height;
            }
            piece.height = piece.height.max(y + above);
            x += width;
        }
        piece
    }

    /// A row with the line under it.
    fn ruled(&self, mut piece: Piece) -> Piece {
        let area = self.area(piece.height - 0.5, 0.5);
        piece.marks.push(Mark::Area { area, ink: Ink::Pale });
        piece
    }

    fn area(&self, y: f64, height: f64) -> Area {
        Area { x: 0.0, y, width: self.setting.width, height }
    }
}

fn height(lines: &[Line]) -> f64 {
    lines.iter().map(|line| line.height).sum()
}

/// Puts the first lines of a row's cells on one baseline.
fn align_first_lines(cells: &mut [Vec<Line>]) {
    let lowest =
        cells.iter().filter_map(|lines| lines.first()).map(|l| l.baseline).fold(0.0, f64::max);
    for line in cells.iter_mut().filter_map(|lines| lines.first_mut()) {
        let down = lowest - line.baseline;
        line.marks = line.marks.drain(..).map(|mark| mark.moved(0.0, down)).collect();
        line.height += down;
        line.baseline = lowest;
    }
}

//! Tables in a terminal.

use std::iter::zip;

use anstyle::Style;

use super::Screen;
use super::line::Line;
use crate::document::blocks::*;
use crate::render::breaks::{Break, breaks};
use crate::render::widths::{levelled, spread};

impl Screen {
    pub fn table(self, table: &Table) -> Vec<Line> {
        const GAP: usize = 2;
        const LEAST: usize = 6;
        let columns = table.columns.len();
        let room = self.width.saturating_sub(GAP * columns.saturating_sub(1));
        if room < LEAST * columns {
            return self.blocks(&table.as_paragraphs());
        }
        let rows: Vec<&Vec<Cell>> = table.rows.iter().chain([&table.head]).collect();
        let widths = column_widths(&rows, columns, room);
        let set = |row: &Vec<Cell>, screen: Screen| screen.row(row, &table.columns, &widths, GAP);
        let mut lines = Vec::new();
        if table.has_head() {
            lines.extend(set(
                &table.head,
                Screen {
                    style: self.style.bold(),
                    ..self
                },
            ));
            let whole = widths.iter().sum::<usize>() + GAP * columns.saturating_sub(1);
            lines.push(
                Screen {
                    width: whole,
                    ..self
                }
                .rule('─'),
            );
        }
        let rows: Vec<Vec<Line>> = table.rows.iter().map(|row| set(row, self)).collect();
        let apart = rows.iter().any(|row| row.len() > 1);
        for (index, row) in rows.into_iter().enumerate() {
            if apart && index > 0 {
                lines.push(Line::default());
            }
            lines.extend(row);
        }
        lines
    }

    fn row(self, row: &[Cell], align: &[Align], widths: &[usize], gap: usize) -> Vec<Line> {
        let cells: Vec<Vec<Line>> = zip(row, widths)
            .map(|(cell, width)| {
                Screen {
                    width: *width,
                    ..self
                }
                .paragraph(cell)
            })
            .collect();
        let height = cells.iter().map(Vec::len).max().unwrap_or_default();
        let mut lines = vec![Line::default(); height];
        for ((cell, align), width) in zip(zip(cells, align), widths) {
            let mut cell = cell.into_iter();
            for line in &mut lines {
                if !line.0.is_empty() {
                    line.0.extend(std::iter::repeat_n((' ', Style::new()), gap));
                }
                line.0
                    .extend(cell.next().unwrap_or_default().padded(*width, *align).0);
            }
        }
        lines
    }
}

fn column_widths(rows: &[&Vec<Cell>], columns: usize, room: usize) -> Vec<usize> {
    let mut natural = vec![1.0_f64; columns];
    let mut narrowest = vec![1.0_f64; columns];
    for row in rows {
        for (index, cell) in row.iter().enumerate().take(columns) {
            let words: Vec<char> = plain(cell).chars().collect();
            natural[index] = natural[index].max(words.len() as f64);
            narrowest[index] = narrowest[index].max(longest_part(&words) as f64);
        }
    }
    let least = levelled(&narrowest, room as f64);
    let missing: Vec<f64> = zip(&natural, &least)
        .map(|(n, l)| (n - l).max(0.0))
        .collect();
    let spare = room as f64 - least.iter().sum::<f64>();
    let fits = missing.iter().sum::<f64>() <= spare;
    let widths = if fits {
        natural
    } else {
        spread(&least, &missing, room as f64)
    };
    widths
        .into_iter()
        .map(|width| (width as usize).max(1))
        .collect()
}

/// Characters of the longest part that should not be broken.
fn longest_part(text: &[char]) -> usize {
    let (mut longest, mut length, mut spaces) = (0, 0, 0);
    for (c, before) in zip(text, breaks(text)) {
        if before != Break::Never {
            (length, spaces) = (0, 0);
        }
        match c {
            ' ' => spaces += 1,
            _ => length += 1 + std::mem::take(&mut spaces),
        }
        longest = longest.max(length);
    }
    longest
}

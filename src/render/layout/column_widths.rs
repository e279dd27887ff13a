//! How wide the columns of a table are.

use std::iter::zip;

use super::lines::Measured;
use crate::render::widths::{levelled, spread};

/// White at the sides of a cell.
pub const SIDE: f64 = 4.0;
/// The least width of a column's text, so that any single letter fits.
const LEAST: f64 = 12.0;

/// Whether there is no room for that many columns.
pub fn too_many(columns: usize, width: f64) -> bool {
    columns as f64 * (LEAST + 2.0 * SIDE) > width
}

/// Shares the width out. Every column gets what it cannot break, the widest giving way first
/// if there is not enough; the rest goes where text would otherwise wrap.
pub fn column_widths(rows: &[&[Measured]], columns: usize, width: f64) -> Vec<f64> {
    let widest = |of: fn(&Measured) -> f64| {
        let mut widths = vec![LEAST; columns];
        for (width, cell) in rows.iter().flat_map(|row| zip(0.., *row)) {
            widths[width] = widths[width].max(of(cell));
        }
        widths
    };
    let room = width - 2.0 * SIDE * columns as f64;
    let least = levelled(&widest(Measured::narrowest), room);
    let natural: Vec<f64> = zip(widest(Measured::natural), &least)
        .map(|(natural, least)| natural.max(*least))
        .collect();
    let all_fit = natural.iter().sum::<f64>() <= room;
    let mut widths = if all_fit {
        spread(&natural, &natural, room)
    } else {
        let missing: Vec<f64> = zip(&natural, &least).map(|(n, l)| n - l).collect();
        balanced(spread(&least, &missing, room), &least, rows)
    };
    widths.iter_mut().for_each(|width| *width += 2.0 * SIDE);
    widths
}

/// Moves width from column to column for as long as that makes the table shorter.
fn balanced(mut widths: Vec<f64>, least: &[f64], rows: &[&[Measured]]) -> Vec<f64> {
    /// A long table is judged by its first rows.
    const ROWS: usize = 24;
    const MOVES: usize = 12;
    let rows = rows.get(..ROWS).unwrap_or(rows);
    for step in [24.0, 12.0, 6.0] {
        for _ in 0..MOVES {
            match shorter(&widths, least, rows, step) {
                Some(better) => widths = better,
                None => break,
            }
        }
    }
    widths
}

/// The move of one step between two columns that helps most, if one does.
fn shorter(widths: &[f64], least: &[f64], rows: &[&[Measured]], step: f64) -> Option<Vec<f64>> {
    let heights = |change: f64| -> Vec<Vec<f64>> {
        let cell = |(cell, width): (&Measured, &f64)| cell.height_at(width + change);
        rows.iter()
            .map(|row| zip(*row, widths).map(cell).collect())
            .collect()
    };
    let (now, wider, narrower) = (heights(0.0), heights(step), heights(-step));
    let total = |to: usize, from: usize| -> f64 {
        let cell = |row: usize, column: usize| match column {
            _ if column == to => wider[row][column],
            _ if column == from => narrower[row][column],
            _ => now[row][column],
        };
        let tallest = |row| {
            (0..widths.len())
                .map(|column| cell(row, column))
                .fold(0.0, f64::max)
        };
        (0..rows.len()).map(tallest).sum()
    };
    let (mut best, mut height) = (None, total(usize::MAX, usize::MAX));
    for to in 0..widths.len() {
        for from in (0..widths.len()).filter(|from| widths[*from] - step >= least[*from]) {
            if from != to && total(to, from) < height {
                (best, height) = (Some((to, from)), total(to, from));
            }
        }
    }
    let (to, from) = best?;
    let mut better = widths.to_vec();
    better[to] += step;
    better[from] -= step;
    Some(better)
}

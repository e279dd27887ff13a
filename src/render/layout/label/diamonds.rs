//! Where pictograms stand. A square on its point leaves room beside it for half of the next, so
//! two staggered rows take less than one straight one.

use super::GAP;
use crate::document::label::Pictogram;
use crate::render::layout::{Area, Mark};

/// Pictograms together.
pub struct Block {
    pub width: f64,
    pub height: f64,
    /// Width of the box around one.
    across: f64,
    corners: Vec<(f64, f64)>,
}

/// Ways to set so many pictograms of a side, the plainest first.
pub fn blocks(count: usize, side: f64) -> Vec<Block> {
    let across = side * std::f64::consts::SQRT_2;
    // Half a box each way, and some white between the edges.
    let half = across / 2.0 + GAP / 2.0;
    let row: Vec<(f64, f64)> = (0..count).map(|n| (2.0 * half * n as f64, 0.0)).collect();
    let down: Vec<(f64, f64)> = row.iter().map(|(x, y)| (*y, *x)).collect();
    let staggered: Vec<(f64, f64)> = (0..count)
        .map(|n| (half * n as f64, half * (n % 2) as f64))
        .collect();
    let standing: Vec<(f64, f64)> = staggered.iter().map(|(x, y)| (*y, *x)).collect();
    let ways = match count {
        0 | 1 => vec![row],
        2 => vec![row, staggered, down],
        _ => vec![staggered, standing, row, down],
    };
    ways.into_iter()
        .map(|corners| Block::new(corners, across))
        .collect()
}

impl Block {
    fn new(corners: Vec<(f64, f64)>, across: f64) -> Self {
        let end = |of: fn(&(f64, f64)) -> f64| {
            corners
                .iter()
                .map(of)
                .map(|corner| corner + across)
                .fold(0.0, f64::max)
        };
        Self {
            width: end(|c| c.0),
            height: end(|c| c.1),
            across,
            corners,
        }
    }

    pub fn marks(&self, pictograms: &[Pictogram], top: f64) -> Vec<Mark> {
        let mark = |((x, y), pictogram): (&(f64, f64), &Pictogram)| Mark::Picture {
            area: Area {
                x: *x,
                y: top + y,
                width: self.across,
                height: self.across,
            },
            name: pictogram.id.clone(),
            words: pictogram.words.clone(),
        };
        self.corners.iter().zip(pictograms).map(mark).collect()
    }
}

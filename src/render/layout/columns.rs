//! Sections side by side, each with or without a box around it.

use std::iter::zip;

use super::piece::{Piece, pour, stack, stacked_height};
use super::{Area, Ink, Mark};
use crate::document::blocks::Frame;

/// White between columns.
pub const GUTTER: f64 = 11.0;

/// One column of a row.
pub struct Column {
    pub x: f64,
    pub width: f64,
    pub frame: Frame,
    /// White between the box and what stands in it: at the sides, above and below.
    pub padding: (f64, f64),
    /// What stands in it, set to the width inside the padding.
    pub pieces: Vec<Piece>,
}

/// White between a box and what stands in it: at the sides, above and below.
pub fn padding(frame: Frame, air: f64) -> (f64, f64) {
    let (side, above) = match frame {
        Frame::None => (0.0, 0.0),
        Frame::Framed => (7.0, 5.0),
        Frame::Stop | Frame::Band => (10.0, 7.0),
    };
    (side, above * (0.4 + 0.6 * air))
}

/// The height that is left for content on a page, whatever the box around it.
pub fn room(page_height: f64, air: f64) -> f64 {
    page_height - 2.0 * padding(Frame::Stop, air).1
}

/// Puts columns side by side, boxes to the same height. The row is one piece if a page can
/// hold it, that is, if the content fits the room; otherwise it goes on over as many pages as
/// its longest column needs.
pub fn row(mut columns: Vec<Column>, room: f64) -> Vec<Piece> {
    let mut contents: Vec<_> = columns
        .iter_mut()
        .map(|column| parts(std::mem::take(&mut column.pieces), room).into_iter())
        .collect();
    let mut rows = Vec::new();
    loop {
        let cells: Vec<Option<Piece>> = contents.iter_mut().map(Iterator::next).collect();
        if cells.iter().all(Option::is_none) {
            return rows;
        }
        rows.push(side_by_side(&columns, cells));
    }
}

impl Column {
    fn above_and_below(&self) -> f64 {
        2.0 * self.padding.1
    }
}

fn parts(pieces: Vec<Piece>, room: f64) -> Vec<Piece> {
    if stacked_height(&pieces) <= room {
        // An empty column still has its box.
        return vec![stack(pieces)];
    }
    pour(pieces, room).into_iter().map(stack).collect()
}

fn side_by_side(columns: &[Column], cells: Vec<Option<Piece>>) -> Piece {
    let height = zip(columns, &cells)
        .filter_map(|(column, cell)| Some(cell.as_ref()?.height + column.above_and_below()))
        .fold(0.0, f64::max);
    let mut row = Piece {
        height,
        ..Piece::default()
    };
    for (column, cell) in zip(columns, cells) {
        let Some(cell) = cell else { continue };
        let area = Area {
            x: column.x,
            y: 0.0,
            width: column.width,
            height,
        };
        let (side, above) = column.padding;
        row.marks.extend(surround(column.frame, area));
        row.marks.extend(cell.moved(column.x + side, above).marks);
    }
    row
}

fn surround(frame: Frame, area: Area) -> Option<Mark> {
    match frame {
        Frame::None => None,
        Frame::Framed => Some(Mark::Frame {
            area,
            thickness: 1.0,
            ink: Ink::Black,
        }),
        Frame::Stop => Some(Mark::Frame {
            area,
            thickness: 3.5,
            ink: Ink::Red,
        }),
        Frame::Band => Some(Mark::Area {
            area,
            ink: Ink::Black,
        }),
    }
}

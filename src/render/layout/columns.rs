//! Sections side by side, each with or without a box around it.

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
    /// What stands in it, set to `inner_width`.
    pub pieces: Vec<Piece>,
}

/// White between a box and what stands in it: at the sides, above and below.
pub fn padding(frame: Frame) -> (f64, f64) {
    match frame {
        Frame::None => (0.0, 0.0),
        Frame::Framed => (7.0, 5.0),
        Frame::Stop => (10.0, 7.0),
        Frame::Band => (10.0, 7.0),
    }
}

pub fn inner_width(width: f64, frame: Frame) -> f64 {
    width - 2.0 * padding(frame).0
}

/// Puts columns side by side, boxes to the same height. The row is one piece if a page can
/// hold it; otherwise it goes on over as many pages as its longest column needs.
pub fn row(columns: Vec<Column>, page_height: f64) -> Vec<Piece> {
    let tallest_padding = columns
        .iter()
        .map(|column| 2.0 * padding(column.frame).1)
        .fold(0.0, f64::max);
    let room = page_height - tallest_padding;
    let (shapes, contents): (Vec<_>, Vec<_>) = columns
        .into_iter()
        .map(|column| {
            let shape = (column.x, column.width, column.frame);
            (shape, parts(column.pieces, room).into_iter())
        })
        .unzip();
    let mut contents = contents;
    let mut rows = Vec::new();
    loop {
        let cells: Vec<Option<Piece>> = contents.iter_mut().map(Iterator::next).collect();
        if cells.iter().all(Option::is_none) {
            return rows;
        }
        rows.push(side_by_side(&shapes, cells));
    }
}

fn parts(pieces: Vec<Piece>, room: f64) -> Vec<Piece> {
    if stacked_height(&pieces) <= room {
        // An empty column still has its box.
        return vec![stack(pieces)];
    }
    pour(pieces, room).into_iter().map(stack).collect()
}

fn side_by_side(shapes: &[(f64, f64, Frame)], cells: Vec<Option<Piece>>) -> Piece {
    let height = shapes
        .iter()
        .zip(&cells)
        .filter_map(|((_, _, frame), cell)| {
            cell.as_ref()
                .map(|cell| cell.height + 2.0 * padding(*frame).1)
        })
        .fold(0.0, f64::max);
    let mut row = Piece {
        height,
        ..Piece::default()
    };
    for ((x, width, frame), cell) in shapes.iter().zip(cells) {
        let Some(cell) = cell else { continue };
        let area = Area {
            x: *x,
            y: 0.0,
            width: *width,
            height,
        };
        let (side, above) = padding(*frame);
        row.marks.extend(surround(*frame, area));
        row.marks.extend(cell.moved(x + side, above).marks);
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

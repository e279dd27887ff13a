//! Pieces: what is never split, poured into columns of a given height.

use std::sync::Arc;

use super::lines::Line;
use super::{Mark, Tag};

/// Something with a height that stands on one page as a whole.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Piece {
    pub height: f64,
    /// Space above, left out at the top of a page.
    pub space: f64,
    pub marks: Vec<Mark>,
    /// Not the last thing on a page: a heading, the head of a table.
    pub with_next: bool,
    pub new_page: bool,
    /// What is repeated above this piece when it comes first on a page.
    pub head: Option<Arc<Piece>>,
}

impl Piece {
    pub fn of_line(line: Line) -> Piece {
        Piece {
            height: line.height,
            marks: line.marks,
            ..Piece::default()
        }
    }

    pub fn moved(self, right: f64, down: f64) -> Piece {
        let marks = self
            .marks
            .into_iter()
            .map(|mark| mark.moved(right, down))
            .collect();
        Piece { marks, ..self }
    }

    /// What room it takes, without what stands on it.
    fn outline(&self) -> Piece {
        Piece {
            marks: Vec::new(),
            head: self.head.clone(),
            ..*self
        }
    }

    /// Puts marks behind what is there.
    pub fn behind(mut self, mut marks: Vec<Mark>) -> Piece {
        marks.append(&mut self.marks);
        Piece { marks, ..self }
    }
}

/// Says what the pieces are together.
pub fn tag(mut pieces: Vec<Piece>, tag: Tag) -> Vec<Piece> {
    if let Some(first) = pieces.first_mut() {
        first.marks.insert(0, Mark::Begin(tag));
    }
    if let Some(last) = pieces.last_mut() {
        last.marks.push(Mark::End);
    }
    pieces
}

/// Pieces one below the other, as one that is never split.
pub fn stack(pieces: Vec<Piece>) -> Piece {
    let mut whole = Piece::default();
    for (index, piece) in pieces.into_iter().enumerate() {
        if index == 0 {
            whole.space = piece.space;
            whole.new_page = piece.new_page;
            whole.head = piece.head.clone();
        } else {
            whole.height += piece.space;
        }
        whole.with_next = piece.with_next;
        let height = piece.height;
        whole.marks.extend(piece.moved(0.0, whole.height).marks);
        whole.height += height;
    }
    whole
}

/// Height of pieces one below the other, without the space above the first.
pub fn stacked_height(pieces: &[Piece]) -> f64 {
    let spaces: f64 = pieces.iter().skip(1).map(|piece| piece.space).sum();
    spaces + pieces.iter().map(|piece| piece.height).sum::<f64>()
}

/// One piece if it fits a column of this height, otherwise the pieces as they were.
pub fn kept_together(pieces: Vec<Piece>, height: f64) -> Vec<Piece> {
    let fits = stacked_height(&pieces) <= height;
    if fits && !pieces.is_empty() {
        vec![stack(pieces)]
    } else {
        pieces
    }
}

/// Fills columns of a given height with pieces, top to bottom, first to last.
pub fn pour(pieces: Vec<Piece>, height: f64) -> Vec<Vec<Piece>> {
    let mut columns = Columns {
        height,
        filled: Vec::new(),
        current: Vec::new(),
        used: 0.0,
    };
    let mut together = Vec::new();
    for piece in pieces {
        let more_follows = piece.with_next;
        together.push(piece);
        if !more_follows {
            columns.place(std::mem::take(&mut together));
        }
    }
    columns.place(together);
    columns.next();
    columns.filled
}

/// How many columns of a given height the pieces fill.
pub fn pages_of(pieces: &[Piece], height: f64) -> usize {
    pour(pieces.iter().map(Piece::outline).collect(), height).len()
}

/// A page filled to less than this is gone on with, even by what asks for a new one.
const NEARLY_EMPTY: f64 = 0.35;

struct Columns {
    height: f64,
    filled: Vec<Vec<Piece>>,
    current: Vec<Piece>,
    used: f64,
}

impl Columns {
    /// Puts pieces that belong together into one column, if one can hold them.
    fn place(&mut self, pieces: Vec<Piece>) {
        let Some(first) = pieces.first() else { return };
        let needed = first.space + stacked_height(&pieces);
        let fresh = first.new_page && self.used > NEARLY_EMPTY * self.height;
        if fresh || self.used + needed > self.height {
            self.next();
        }
        for piece in pieces {
            if self.used > 0.0 && self.used + piece.space + piece.height > self.height {
                self.next();
            }
            self.put(piece);
        }
    }

    fn put(&mut self, piece: Piece) {
        if self.current.is_empty()
            && let Some(head) = &piece.head
        {
            self.used += head.height;
            self.current.push(head.as_ref().clone());
        }
        let space = if self.current.is_empty() {
            0.0
        } else {
            piece.space
        };
        self.used += space + piece.height;
        self.current.push(piece);
    }

    fn next(&mut self) {
        if !self.current.is_empty() {
            self.filled.push(std::mem::take(&mut self.current));
        }
        self.used = 0.0;
    }
}

//! Sections → pieces: alone, in a box, or side by side.

use super::Ink;
use super::Tag;
use super::columns::{Column, GUTTER, padding, room, row};
use super::flow::Flow;
use super::piece::{Piece, kept_together};
use super::style::{ACT, READ, SIGNAL, Style, TITLE};
use crate::document::blocks::{Block, Frame, Section, Width};

impl Flow<'_> {
    /// The section that comes first, with the neighbours that share its row.
    pub fn sections(&self, width: Width, blocks: &[Block]) -> (usize, Vec<Piece>) {
        let neighbours: Vec<&Section> = blocks
            .iter()
            .map_while(|block| match block {
                Block::Section(section) if section.look.width == width => Some(section),
                _ => None,
            })
            .take(width.per_row())
            .collect();
        let pieces = match neighbours.as_slice() {
            [alone] if alone.look.beside => self.inside(alone).blocks(&alone.blocks),
            [alone] => self.section(alone),
            many => self.side_by_side(many),
        };
        (neighbours.len(), pieces)
    }

    fn side_by_side(&self, sections: &[&Section]) -> Vec<Piece> {
        let count = sections.len() as f64;
        let width = (self.width - GUTTER * (count - 1.0)) / count;
        let columns = sections
            .iter()
            .enumerate()
            .map(|(index, section)| self.column(section, (width + GUTTER) * index as f64, width))
            .collect();
        self.row_of(
            columns,
            sections.iter().any(|section| section.look.new_page),
        )
    }

    fn row_of(&self, columns: Vec<Column>, new_page: bool) -> Vec<Piece> {
        let mut pieces = row(columns, room(self.page_height, self.style.air));
        if let Some(first) = pieces.first_mut() {
            first.new_page = new_page;
        }
        pieces
    }

    fn column(&self, section: &Section, x: f64, width: f64) -> Column {
        let frame = section.look.frame;
        let padding = padding(frame, self.style.air);
        let inside = Flow {
            width: width - 2.0 * padding.0,
            page_height: room(self.page_height, self.style.air),
            ..*self
        };
        Column {
            x,
            width,
            frame,
            padding,
            pieces: inside.contents(section),
        }
    }

    pub fn section(&self, section: &Section) -> Vec<Piece> {
        let look = section.look;
        if look.frame != Frame::None {
            return self.row_of(vec![self.column(section, 0.0, self.width)], look.new_page);
        }
        let mut pieces = self.contents(section);
        if look.keep {
            pieces = kept_together(pieces, self.page_height);
        }
        if let Some(first) = pieces.first_mut() {
            first.new_page = look.new_page;
        }
        pieces
    }

    /// The section's own voice.
    fn inside(&self, section: &Section) -> Self {
        let mut style = self.style.voiced(section.look.voice);
        if section.look.frame == Frame::Band {
            style.ink = Ink::White;
        }
        Flow {
            style,
            steps: self.steps || section.look.steps,
            ..*self
        }
    }

    /// Heading and blocks, set in the section's own voice.
    fn contents(&self, section: &Section) -> Vec<Piece> {
        let inside = self.inside(section);
        let mut pieces = inside.heading(section);
        let mut blocks = inside.blocks(&section.blocks);
        if pieces.is_empty()
            && let Some(first) = blocks.first_mut()
        {
            first.space = 0.0;
        }
        pieces.append(&mut blocks);
        pieces
    }

    fn heading(&self, section: &Section) -> Vec<Piece> {
        let size = heading_size(section, self.style);
        let style = self.style.heading(size);
        let mut pieces = self.paragraph(&section.heading, style, Tag::Heading(section.level));
        pieces.iter_mut().for_each(|piece| piece.with_next = true);
        pieces
    }
}

fn heading_size(section: &Section, style: Style) -> f64 {
    if section.look.signal {
        return SIGNAL;
    }
    match (section.look.frame, section.level) {
        (Frame::Stop, _) | (_, 1) => TITLE,
        _ if section.look.steps => TITLE,
        (_, 2) => ACT,
        _ => style.size.max(READ),
    }
}

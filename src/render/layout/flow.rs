//! Blocks → pieces of a given width.

use super::column_widths;
use super::lines::Measured;
use super::piece::{Piece, kept_together, stack, tag};
use super::style::Style;
use super::table::{Setting, table};
use super::{Area, Ink, Mark, Tag};
use crate::document::blocks::{Align, Block, Frame, Inline, Table};

/// What every block needs to know of the page it will stand on.
#[derive(Clone, Copy)]
pub struct Flow<'a> {
    pub style: Style,
    pub width: f64,
    pub page_height: f64,
    /// Inside a section of steps.
    pub steps: bool,
    /// Every table of steps in the document: their columns stand under one another.
    pub step_tables: &'a [&'a Table],
}

impl Flow<'_> {
    pub fn blocks(&self, blocks: &[Block]) -> Vec<Piece> {
        let mut pieces: Vec<Piece> = Vec::new();
        let mut rest = blocks;
        while let Some(first) = rest.first() {
            let (taken, mut next) = match first {
                Block::Section(section) => self.sections(section.look.width, rest),
                block => (1, self.block(block)),
            };
            if let Some(piece) = next.first_mut() {
                let space = self.space_before(first, pieces.last());
                piece.space = piece.space.max(space);
            }
            pieces.append(&mut next);
            rest = rest.get(taken..).unwrap_or_default();
        }
        pieces
    }

    fn space_before(&self, block: &Block, above: Option<&Piece>) -> f64 {
        let air = self.style.air;
        let under_heading = above.is_some_and(|piece| piece.with_next);
        match block {
            // Alone, it goes on with what stands above it.
            Block::Section(section) if section.look.beside => self.style.size * 0.4 * air,
            Block::Section(section) => match (section.look.frame, section.level) {
                (Frame::None, 1 | 2) => 9.0 * air,
                (Frame::None, _) => 6.0 * air,
                _ => 8.0 * air,
            },
            Block::Table(_) => 3.0 * air,
            Block::Rule => 6.0 * air,
            _ if under_heading => 1.5,
            _ => self.style.size * 0.4 * air,
        }
    }

    fn block(&self, block: &Block) -> Vec<Piece> {
        match block {
            Block::Section(section) => self.section(section),
            Block::Paragraph(inlines) => self.paragraph(inlines, self.style, Tag::Paragraph),
            Block::List(list) => self.list(list),
            Block::Table(content) => self.table(content),
            Block::Quote(blocks) => self.quote(blocks),
            Block::Rule => vec![self.rule()],
        }
    }

    /// A table; a short one stays on one page.
    fn table(&self, content: &Table) -> Vec<Piece> {
        if column_widths::too_many(content.columns.len(), self.width) {
            return self.blocks(&content.as_paragraphs());
        }
        let setting = Setting {
            style: self.style,
            width: self.width,
            page_height: self.page_height,
            steps: self.steps,
            aligned_with: if self.steps { self.step_tables } else { &[] },
        };
        kept_together(table(content, &setting), self.page_height / 5.0)
    }

    pub fn paragraph(&self, inlines: &[Inline], style: Style, what: Tag) -> Vec<Piece> {
        let lines = Measured::new(inlines, style).lines(self.width, Align::Left);
        let lines = lines.into_iter().map(Piece::of_line).collect();
        tag(self.kept_lines(lines), what)
    }

    /// Up to five lines stay together; of a longer paragraph the first and last two do.
    fn kept_lines(&self, mut lines: Vec<Piece>) -> Vec<Piece> {
        if lines.len() <= 5 {
            return kept_together(lines, self.page_height);
        }
        let last = stack(lines.split_off(lines.len() - 2));
        let body = lines.split_off(2);
        let mut pieces = vec![stack(lines)];
        pieces.extend(body);
        pieces.push(last);
        pieces
    }

    fn quote(&self, blocks: &[Block]) -> Vec<Piece> {
        const INDENT: f64 = 9.0;
        let inside = Flow {
            width: self.width - INDENT,
            ..*self
        };
        let pieces = kept_together(inside.blocks(blocks), self.page_height);
        pieces
            .into_iter()
            .map(|piece| {
                let area = Area {
                    x: 0.0,
                    y: 0.0,
                    width: 2.0,
                    height: piece.height,
                };
                let bar = Mark::Area {
                    area,
                    ink: Ink::Pale,
                };
                piece.moved(INDENT, 0.0).behind(vec![bar])
            })
            .collect()
    }

    fn rule(&self) -> Piece {
        let area = Area {
            x: 0.0,
            y: 0.0,
            width: self.width,
            height: 0.75,
        };
        let marks = vec![Mark::Area {
            area,
            ink: Ink::Black,
        }];
        Piece {
            height: 0.75,
            marks,
            ..Piece::default()
        }
    }
}

/// The tables of steps among these blocks.
pub fn step_tables(blocks: &[Block], in_steps: bool) -> Vec<&Table> {
    let mut tables = Vec::new();
    for block in blocks {
        match block {
            Block::Section(section) => {
                tables.extend(step_tables(&section.blocks, in_steps || section.look.steps));
            }
            Block::Table(table) if in_steps => tables.push(table),
            _ => {}
        }
    }
    tables
}

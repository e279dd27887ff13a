//! Blocks → pieces of a given width.

use super::columns::{Column, GUTTER, padding, room, row};
use super::lines::Measured;
use super::piece::{Piece, kept_together, stack, tag};
use super::style::{ACT, READ, SIGNAL, Style, TITLE};
use super::table::{Setting, table};
use super::{Area, Ink, Mark, Tag};
use crate::document::blocks::{Align, Block, Frame, Inline, Item, List, Section, Table, Width};

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
        let setting = Setting {
            style: self.style,
            width: self.width,
            page_height: self.page_height,
            steps: self.steps,
            aligned_with: if self.steps { self.step_tables } else { &[] },
        };
        kept_together(table(content, &setting), self.page_height / 5.0)
    }

    /// The section that comes first, with the neighbours that share its row.
    fn sections(&self, width: Width, blocks: &[Block]) -> (usize, Vec<Piece>) {
        let neighbours: Vec<&Section> = blocks
            .iter()
            .map_while(|block| match block {
                Block::Section(section) if section.look.width == width => Some(section),
                _ => None,
            })
            .take(width.per_row())
            .collect();
        let pieces = match neighbours.as_slice() {
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

    fn section(&self, section: &Section) -> Vec<Piece> {
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

    /// Heading and blocks, set in the section's own voice.
    fn contents(&self, section: &Section) -> Vec<Piece> {
        let mut style = self.style.voiced(section.look.voice);
        if section.look.frame == Frame::Band {
            style.ink = Ink::White;
        }
        let inside = Flow {
            style,
            steps: self.steps || section.look.steps,
            ..*self
        };
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

    fn paragraph(&self, inlines: &[Inline], style: Style, what: Tag) -> Vec<Piece> {
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

    fn list(&self, list: &List) -> Vec<Piece> {
        let markers: Vec<String> = list
            .items
            .iter()
            .enumerate()
            .map(|(index, item)| list.marker(index, item))
            .collect();
        let type_ = self.style.type_();
        let widest = markers
            .iter()
            .map(|text| type_.face.width(text, type_.size))
            .fold(0.0, f64::max);
        let indent = widest + self.style.size * 0.5;
        let mut pieces = Vec::new();
        for (item, marker) in list.items.iter().zip(markers) {
            let mut item = tag(self.item(item, marker, indent), Tag::Item);
            if let (Some(first), false) = (item.first_mut(), pieces.is_empty()) {
                first.space = self.style.size * 0.25 * self.style.air;
            }
            pieces.append(&mut item);
        }
        tag(pieces, Tag::List)
    }

    fn item(&self, item: &Item, marker: String, indent: f64) -> Vec<Piece> {
        if indent > self.width / 2.0 {
            let text = vec![Inline::Text(format!("{marker} "))];
            let mut blocks = vec![Block::Paragraph(text)];
            blocks.extend(item.blocks.iter().cloned());
            return kept_together(self.blocks(&blocks), self.page_height);
        }
        let inside = Flow {
            width: self.width - indent,
            ..*self
        };
        let pieces = inside
            .blocks(&item.blocks)
            .into_iter()
            .map(|p| p.moved(indent, 0.0));
        let mut pieces: Vec<Piece> = pieces.collect();
        if pieces.is_empty() {
            pieces.push(Piece {
                height: self.style.line_height(),
                ..Piece::default()
            });
        }
        if let Some(first) = pieces.first_mut() {
            let y = first_baseline(first).unwrap_or(self.style.size);
            let text = Mark::Text {
                x: 0.0,
                y,
                type_: self.style.type_(),
                text: marker,
            };
            first.marks.insert(0, text);
            first.space = 0.0;
        }
        kept_together(pieces, self.page_height)
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

fn first_baseline(piece: &Piece) -> Option<f64> {
    piece.marks.iter().find_map(|mark| match mark {
        Mark::Text { y, .. } => Some(*y),
        _ => None,
    })
}

//! Lists → pieces, an item never split where a page can hold it.

use super::flow::Flow;
use super::piece::{Piece, kept_together, tag};
use super::{Mark, Tag};
use crate::document::blocks::{Block, Inline, Item, List};

impl Flow<'_> {
    pub fn list(&self, list: &List) -> Vec<Piece> {
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
            let pieces = tag(self.blocks(&blocks), Tag::Body);
            return kept_together(pieces, self.page_height);
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
        let mut pieces = tag(pieces, Tag::Body);
        if let Some(first) = pieces.first_mut() {
            let y = first_baseline(first).unwrap_or(self.style.size);
            let text = Mark::Text {
                x: 0.0,
                y,
                type_: self.style.type_(),
                text: marker,
            };
            let label = [Mark::Begin(Tag::Label), text, Mark::End];
            first.marks.splice(0..0, label);
            first.space = 0.0;
        }
        kept_together(pieces, self.page_height)
    }
}

fn first_baseline(piece: &Piece) -> Option<f64> {
    piece.marks.iter().find_map(|mark| match mark {
        Mark::Text { y, .. } => Some(*y),
        _ => None,
    })
}

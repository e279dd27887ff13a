//! Blocks → text for a terminal.
//!
//! Wrapped to a width given in characters, every character counted as one column wide.
//! Style is laid on only if asked for, and nothing is said by style alone.

mod line;
mod table;

use std::iter;

use anstyle::{AnsiColor, Style};

use self::line::{Line, wrapped};
use crate::document::Document;
use crate::document::blocks::*;

/// What the terminal can show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Terminal {
    /// Characters on a line; at least 20 are used.
    pub width: usize,
    pub colour: bool,
}

/// A document as text for a terminal.
pub fn text(document: &Document, terminal: Terminal) -> String {
    let screen = Screen {
        width: terminal.width.max(20),
        style: Style::new(),
    };
    let mut lines = screen.blocks(&document.blocks);
    lines.push(Line::default());
    lines.push(screen.rule('─'));
    let facts = &document.facts;
    // The title stands at the top; it is told again with its date.
    let dated = (!facts.date.is_empty()).then(|| facts.title_and_date());
    for part in iter::once(facts.deference.clone()).chain(dated) {
        lines.extend(screen.paragraph(&[Inline::Text(part)]));
    }
    lines
        .iter()
        .map(|line| line.shown(terminal.colour))
        .collect()
}

/// The part of the terminal that text is set into.
#[derive(Clone, Copy)]
struct Screen {
    width: usize,
    style: Style,
}

impl Screen {
    fn narrower(self, by: usize) -> Screen {
        Screen {
            width: self.width.saturating_sub(by).max(4),
            ..self
        }
    }

    fn rule(self, c: char) -> Line {
        Line::of(&c.to_string().repeat(self.width), self.style)
    }

    fn blocks(self, blocks: &[Block]) -> Vec<Line> {
        let mut lines = Vec::new();
        for (index, block) in blocks.iter().enumerate() {
            if index > 0 {
                lines.push(Line::default());
            }
            lines.extend(self.block(block));
        }
        lines
    }

    fn block(self, block: &Block) -> Vec<Line> {
        match block {
            Block::Section(section) => self.section(section),
            Block::Paragraph(inlines) => self.paragraph(inlines),
            Block::List(list) => self.list(list),
            Block::Table(table) => self.table(table),
            Block::Quote(blocks) => {
                self.behind("│ ", Style::new(), |inside| inside.blocks(blocks))
            }
            Block::Rule => vec![self.rule('─')],
        }
    }

    fn section(self, section: &Section) -> Vec<Line> {
        let red = Style::new().fg_color(Some(AnsiColor::Red.into())).bold();
        match section.look.frame {
            Frame::None => self.contents(section),
            Frame::Framed => self.behind("│ ", Style::new(), |inside| inside.contents(section)),
            Frame::Stop => self.behind("┃ ", red, |inside| inside.contents(section)),
            Frame::Band => {
                let mut lines = vec![self.rule('━')];
                lines.extend(self.contents(section));
                lines.push(self.rule('━'));
                lines
            }
        }
    }

    fn behind(self, bar: &str, style: Style, set: impl Fn(Screen) -> Vec<Line>) -> Vec<Line> {
        set(self.narrower(2))
            .into_iter()
            .map(|line| line.after(bar, style))
            .collect()
    }

    /// Heading and blocks; a heading not in a box is underlined.
    fn contents(self, section: &Section) -> Vec<Line> {
        let heading = Screen {
            style: self.style.bold(),
            ..self
        }
        .paragraph(&section.heading);
        let underlined = section.look.frame == Frame::None && section.level <= 2;
        let widest = heading.iter().map(Line::width).max().unwrap_or_default();
        let mut lines = heading;
        if underlined && widest > 0 {
            lines.push(
                Screen {
                    width: widest,
                    ..self
                }
                .rule('─'),
            );
        }
        if !underlined && section.look.signal && !section.blocks.is_empty() {
            lines.push(Line::default());
        }
        lines.extend(self.blocks(&section.blocks));
        lines
    }

    fn list(self, list: &List) -> Vec<Line> {
        let mut lines = Vec::new();
        for (index, item) in list.items.iter().enumerate() {
            let marker = format!("{} ", list.marker(index, item));
            let indent = marker.chars().count();
            let mut inside = self.narrower(indent).blocks(&item.blocks);
            if inside.is_empty() {
                inside.push(Line::default());
            }
            for (number, line) in inside.into_iter().enumerate() {
                let margin = if number == 0 {
                    marker.clone()
                } else {
                    " ".repeat(indent)
                };
                lines.push(line.after(&margin, self.style));
            }
        }
        lines
    }

    fn paragraph(self, inlines: &[Inline]) -> Vec<Line> {
        wrapped(inlines, self.style, self.width)
    }
}

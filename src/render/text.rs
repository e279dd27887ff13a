//! Blocks → text for a terminal.
//!
//! Wrapped to a width given in characters, every character counted as one column wide.
//! Style is laid on only if asked for, and nothing is said by style alone.

use std::iter::zip;

use anstyle::{AnsiColor, Style};

use super::breaks::{Break, breaks};
use super::widths::{levelled, spread};
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
    for part in [&facts.deference, &facts.title_and_date()] {
        lines.extend(screen.paragraph(&[Inline::Text(part.clone())]));
    }
    lines
        .iter()
        .map(|line| line.shown(terminal.colour))
        .collect()
}

/// A line as characters, each with its style.
#[derive(Debug, Clone, Default)]
struct Line(Vec<(char, Style)>);

impl Line {
    fn of(text: &str, style: Style) -> Line {
        Line(text.chars().map(|c| (c, style)).collect())
    }

    fn width(&self) -> usize {
        self.0.len()
    }

    /// The line after some text.
    fn after(mut self, text: &str, style: Style) -> Line {
        self.0.splice(0..0, text.chars().map(|c| (c, style)));
        self
    }

    fn padded(mut self, width: usize, align: Align) -> Line {
        let missing = width.saturating_sub(self.width());
        let left = match align {
            Align::Left => 0,
            Align::Centre => missing / 2,
            Align::Right => missing,
        };
        let blank = (' ', Style::new());
        self.0.splice(0..0, std::iter::repeat_n(blank, left));
        self.0.extend(std::iter::repeat_n(blank, missing - left));
        self
    }

    fn shown(&self, colour: bool) -> String {
        let end = self
            .0
            .iter()
            .rposition(|(c, _)| *c != ' ')
            .map_or(0, |last| last + 1);
        let mut shown = String::new();
        for run in self
            .0
            .get(..end)
            .unwrap_or_default()
            .chunk_by(|a, b| a.1 == b.1)
        {
            let style = run.first().map(|(_, style)| *style).unwrap_or_default();
            let text: String = run.iter().map(|(c, _)| *c).collect();
            match colour && !style.is_plain() {
                true => shown.push_str(&format!("{style}{text}{style:#}")),
                false => shown.push_str(&text),
            }
        }
        shown.push('\n');
        shown
    }
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

    fn table(self, table: &Table) -> Vec<Line> {
        const GAP: usize = 2;
        const LEAST: usize = 6;
        let columns = table.columns.len();
        let room = self.width.saturating_sub(GAP * columns.saturating_sub(1));
        if room < LEAST * columns {
            return self.table_as_lines(table);
        }
        let rows: Vec<&Vec<Cell>> = table.rows.iter().chain([&table.head]).collect();
        let widths = column_widths(&rows, columns, room);
        let set = |row: &Vec<Cell>, screen: Screen| screen.row(row, &table.columns, &widths, GAP);
        let mut lines = Vec::new();
        if table.has_head() {
            lines.extend(set(
                &table.head,
                Screen {
                    style: self.style.bold(),
                    ..self
                },
            ));
            let whole = widths.iter().sum::<usize>() + GAP * columns.saturating_sub(1);
            lines.push(
                Screen {
                    width: whole,
                    ..self
                }
                .rule('─'),
            );
        }
        let rows: Vec<Vec<Line>> = table.rows.iter().map(|row| set(row, self)).collect();
        let apart = rows.iter().any(|row| row.len() > 1);
        for (index, row) in rows.into_iter().enumerate() {
            if apart && index > 0 {
                lines.push(Line::default());
            }
            lines.extend(row);
        }
        lines
    }

    fn row(self, row: &[Cell], align: &[Align], widths: &[usize], gap: usize) -> Vec<Line> {
        let cells: Vec<Vec<Line>> = zip(row, widths)
            .map(|(cell, width)| {
                Screen {
                    width: *width,
                    ..self
                }
                .paragraph(cell)
            })
            .collect();
        let height = cells.iter().map(Vec::len).max().unwrap_or_default();
        let mut lines = vec![Line::default(); height];
        for ((cell, align), width) in zip(zip(cells, align), widths) {
            let mut cell = cell.into_iter();
            for line in &mut lines {
                if !line.0.is_empty() {
                    line.0.extend(std::iter::repeat_n((' ', Style::new()), gap));
                }
                line.0
                    .extend(cell.next().unwrap_or_default().padded(*width, *align).0);
            }
        }
        lines
    }

    /// A table too wide for the terminal: one line a cell, each after its column's name.
    fn table_as_lines(self, table: &Table) -> Vec<Line> {
        let mut lines = Vec::new();
        for row in &table.rows {
            for (cell, head) in zip(row, &table.head).filter(|(cell, _)| !cell.is_empty()) {
                let mut named = head.clone();
                if !head.is_empty() {
                    named.push(Inline::Text(": ".into()));
                }
                named.extend(cell.iter().cloned());
                lines.extend(self.paragraph(&named));
            }
            lines.push(Line::default());
        }
        lines.pop();
        lines
    }

    fn paragraph(self, inlines: &[Inline]) -> Vec<Line> {
        let mut letters = Vec::new();
        collect(inlines, self.style, &mut letters);
        wrapped(&letters, self.width)
    }
}

fn column_widths(rows: &[&Vec<Cell>], columns: usize, room: usize) -> Vec<usize> {
    let mut natural = vec![1.0_f64; columns];
    let mut narrowest = vec![1.0_f64; columns];
    for row in rows {
        for (index, cell) in row.iter().enumerate().take(columns) {
            let words: Vec<char> = plain(cell).chars().collect();
            natural[index] = natural[index].max(words.len() as f64);
            narrowest[index] = narrowest[index].max(longest_part(&words) as f64);
        }
    }
    let least = levelled(&narrowest, room as f64);
    let missing: Vec<f64> = zip(&natural, &least)
        .map(|(n, l)| (n - l).max(0.0))
        .collect();
    let spare = room as f64 - least.iter().sum::<f64>();
    let fits = missing.iter().sum::<f64>() <= spare;
    let widths = if fits {
        natural
    } else {
        spread(&least, &missing, room as f64)
    };
    widths
        .into_iter()
        .map(|width| (width as usize).max(1))
        .collect()
}

/// Characters of the longest part that should not be broken.
fn longest_part(text: &[char]) -> usize {
    let (mut longest, mut length, mut spaces) = (0, 0, 0);
    for (c, before) in zip(text, breaks(text)) {
        if before != Break::Never {
            (length, spaces) = (0, 0);
        }
        match c {
            ' ' => spaces += 1,
            _ => length += 1 + std::mem::take(&mut spaces),
        }
        longest = longest.max(length);
    }
    longest
}

fn collect(inlines: &[Inline], style: Style, letters: &mut Vec<(char, Style)>) {
    for inline in inlines {
        match inline {
            Inline::Text(text) | Inline::Code(text) => put(text, style, letters),
            Inline::Picture(picture) => put(&format!("[{}]", picture.words), style, letters),
            Inline::Break => letters.push(('\n', style)),
            Inline::Strong(inner) => collect(inner, style.bold(), letters),
            Inline::Emphasis(inner) => collect(inner, style.dimmed(), letters),
        }
    }
}

/// Text without the characters that a terminal would obey.
fn put(text: &str, style: Style, letters: &mut Vec<(char, Style)>) {
    letters.extend(
        text.chars()
            .map(|c| (if c.is_control() { ' ' } else { c }, style)),
    );
}

/// Breaks text into lines of at most `width` characters.
fn wrapped(letters: &[(char, Style)], width: usize) -> Vec<Line> {
    let text: Vec<char> = letters.iter().map(|(c, _)| *c).collect();
    let before = breaks(&text);
    let mut lines = Vec::new();
    let mut start = 0;
    while start < letters.len() {
        let end = line_end(&text, &before, start, width);
        let line = letters.get(start..end).unwrap_or_default();
        let kept = line
            .iter()
            .rposition(|(c, _)| !matches!(c, ' ' | '\n'))
            .map_or(0, |i| i + 1);
        lines.push(Line(line.get(..kept).unwrap_or_default().to_vec()));
        start = end;
    }
    lines
}

fn line_end(text: &[char], before: &[Break], start: usize, width: usize) -> usize {
    let mut last_chance = None;
    for index in start + 1..text.len() {
        match before[index] {
            Break::Must => return index,
            Break::May => last_chance = Some(index),
            Break::Never => {}
        }
        if index - start >= width && !matches!(text[index], ' ' | '\n') {
            return last_chance.unwrap_or(index);
        }
    }
    text.len()
}

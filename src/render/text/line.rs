//! Lines of characters, and how text is broken into them.

use anstyle::Style;

use crate::document::blocks::{Align, Inline};
use crate::render::breaks::{Break, breaks};

/// A line as characters, each with its style.
#[derive(Debug, Clone, Default)]
pub struct Line(pub Vec<(char, Style)>);

impl Line {
    pub fn of(text: &str, style: Style) -> Line {
        Line(text.chars().map(|c| (c, style)).collect())
    }

    pub fn width(&self) -> usize {
        self.0.len()
    }

    /// The line after some text.
    pub fn after(mut self, text: &str, style: Style) -> Line {
        self.0.splice(0..0, text.chars().map(|c| (c, style)));
        self
    }

    pub fn padded(mut self, width: usize, align: Align) -> Line {
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

    pub fn shown(&self, colour: bool) -> String {
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
pub fn wrapped(inlines: &[Inline], style: Style, width: usize) -> Vec<Line> {
    let mut letters = Vec::new();
    collect(inlines, style, &mut letters);
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

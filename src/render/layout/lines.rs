//! Text → lines of a given width.
//!
//! A word wider than the column breaks between characters: late and ugly, but whole.

use super::style::Style;
use super::{Area, MM, Mark, Type};
use crate::document::blocks::{Align, Inline, Picture};
use crate::render::breaks::{Break, breaks};

/// Room for rounding when two sums of the same widths are compared.
const SLACK: f64 = 0.01;

/// Height of the letters from the deepest descender to the top of an accent, and what of it
/// is above the baseline, in type sizes (from the font's own metrics).
const LETTERS: f64 = 1.164;
const BASELINE: f64 = 0.928;

/// Stands for a picture in the text; Unicode allows a break on either side of it.
const PICTURE: char = '\u{FFFC}';

/// Text measured and with its possible breaks, not yet set to a width.
pub struct Measured {
    letters: Vec<Letter>,
    /// Height of a line without pictures.
    height: f64,
    /// From one baseline to the next, in type sizes.
    leading: f64,
}

struct Letter {
    c: char,
    advance: f64,
    set_in: Set,
    /// Whether a line may, or must, end before this letter.
    before: Break,
}

/// A letter is kept small: a sheet has tens of thousands, and pictures are rare.
#[derive(PartialEq)]
enum Set {
    Type(Type),
    Picture(Box<Pictured>),
}

/// A picture at its own size, in points.
#[derive(PartialEq)]
struct Pictured {
    name: String,
    width: f64,
    height: f64,
    words: String,
}

/// One line: marks relative to its left top corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    pub height: f64,
    pub baseline: f64,
    pub marks: Vec<Mark>,
}

impl Measured {
    pub fn new(inlines: &[Inline], style: Style) -> Measured {
        let mut letters = Vec::new();
        collect(inlines, style, &mut letters);
        allow_breaks(&mut letters);
        Measured {
            letters,
            height: style.line_height(),
            leading: style.leading(),
        }
    }

    /// Width of the widest part that should not be broken.
    pub fn narrowest(&self) -> f64 {
        self.widest_between(|before| before != Break::Never)
    }

    /// Width without any break that is not asked for.
    pub fn natural(&self) -> f64 {
        self.widest_between(|before| before == Break::Must)
    }

    fn widest_between(&self, breaks: impl Fn(Break) -> bool) -> f64 {
        let (mut widest, mut width, mut spaces) = (0.0_f64, 0.0, 0.0);
        for letter in &self.letters {
            if breaks(letter.before) {
                (width, spaces) = (0.0, 0.0);
            }
            if letter.c == ' ' {
                spaces += letter.advance;
            } else {
                width += spaces + letter.advance;
                spaces = 0.0;
            }
            widest = widest.max(width);
        }
        widest
    }

    /// How high the text is, broken to a width.
    pub fn height_at(&self, width: f64) -> f64 {
        let (mut start, mut height) = (0, 0.0);
        while start < self.letters.len() {
            start = self.line_end(start, width);
            height += self.height;
        }
        height
    }

    /// Breaks the text to a width.
    pub fn lines(&self, width: f64, align: Align) -> Vec<Line> {
        self.lines_around(|_| width, align)
    }

    /// Breaks the text to the width there is at each height, counted from its own top.
    pub fn lines_around(&self, width_at: impl Fn(f64) -> f64, align: Align) -> Vec<Line> {
        let mut lines: Vec<Line> = Vec::new();
        let (mut start, mut top) = (0, 0.0);
        while start < self.letters.len() {
            let width = width_at(top);
            let end = self.line_end(start, width);
            let line = self.line(start, end, width, align);
            top += line.height;
            lines.push(line);
            start = end;
        }
        lines
    }

    /// Where the line that starts here ends: always at least one letter further.
    fn line_end(&self, start: usize, width: f64) -> usize {
        let (mut x, mut last_chance) = (0.0, None);
        for (index, letter) in self.letters.iter().enumerate().skip(start) {
            if index > start {
                match letter.before {
                    Break::Must => return index,
                    Break::May => last_chance = Some(index),
                    Break::Never => {}
                }
            }
            x += letter.advance;
            let too_wide = x > width + SLACK && letter.c != ' ' && letter.advance > 0.0;
            if too_wide && index > start {
                return last_chance.unwrap_or(index);
            }
        }
        self.letters.len()
    }

    fn line(&self, start: usize, end: usize, width: f64, align: Align) -> Line {
        let whole = self.letters.get(start..end).unwrap_or_default();
        let last = whole.iter().rposition(|letter| letter.c != ' ');
        let (letters, rest) = whole.split_at(last.map_or(0, |last| last + 1));
        let used: f64 = letters.iter().map(|letter| letter.shown(width)).sum();
        let mut x = match align {
            Align::Left => 0.0,
            Align::Centre => ((width - used) / 2.0).max(0.0),
            Align::Right => (width - used).max(0.0),
        };
        let (height, baseline) = self.line_size(letters, width);
        let mut marks = Vec::new();
        // One space stays at the end, unseen, so that words of two lines are read as two.
        let read = &whole[..letters.len() + rest.len().min(1)];
        for run in read.chunk_by(|a, b| a.set_in == b.set_in && a.c != PICTURE) {
            let run_width = run.iter().map(|letter| letter.shown(width)).sum::<f64>();
            marks.extend(run_mark(
                run,
                Area {
                    x,
                    y: 0.0,
                    width: run_width,
                    height,
                },
                baseline,
            ));
            x += run_width;
        }
        Line {
            height,
            baseline,
            marks,
        }
    }

    /// Height of a line and its baseline. Text beside a taller picture stands at its middle.
    fn line_size(&self, letters: &[Letter], width: f64) -> (f64, f64) {
        let (mut type_size, mut tallest) = (0.0_f64, 0.0_f64);
        for letter in letters {
            match &letter.set_in {
                Set::Type(type_) => type_size = type_size.max(type_.size),
                Set::Picture(own) => {
                    tallest = tallest.max(own.height * (letter.shown(width) / own.width));
                }
            }
        }
        if letters.is_empty() {
            return (self.height, self.height / self.leading * BASELINE);
        }
        let line = type_size * self.leading;
        let height = line.max(tallest);
        // White above and below the letters is shared out evenly.
        let top = (height - type_size * LETTERS) / 2.0;
        (height, top + type_size * BASELINE)
    }
}

impl Letter {
    /// Width on a line of a given width: a picture shrinks to fit.
    fn shown(&self, width: f64) -> f64 {
        match self.set_in {
            Set::Picture(_) => self.advance.min(width),
            Set::Type(_) => self.advance,
        }
    }
}

fn run_mark(run: &[Letter], area: Area, baseline: f64) -> Option<Mark> {
    match &run.first()?.set_in {
        Set::Type(type_) => Some(Mark::Text {
            x: area.x,
            y: baseline,
            type_: *type_,
            text: run.iter().map(|letter| letter.c).collect(),
        }),
        Set::Picture(own) => {
            let shown = own.height * (area.width / own.width);
            let fitted = Area {
                y: (area.height - shown) / 2.0,
                height: shown,
                ..area
            };
            Some(Mark::Picture {
                area: fitted,
                name: own.name.clone(),
                words: own.words.clone(),
            })
        }
    }
}

fn collect(inlines: &[Inline], style: Style, letters: &mut Vec<Letter>) {
    for inline in inlines {
        match inline {
            Inline::Text(text) | Inline::Code(text) => {
                let type_ = style.type_();
                letters.reserve(text.len());
                letters.extend(text.chars().filter_map(|c| letter(c, type_)));
            }
            Inline::Strong(inner) => collect(inner, style.strong(), letters),
            Inline::Emphasis(inner) => collect(inner, style.lower_voice(), letters),
            Inline::Break => letters.extend(letter('\n', style.type_())),
            Inline::Picture(picture) => letters.push(picture_letter(picture)),
        }
    }
}

/// A character as it is set: controls as space, what only hints at breaks not at all.
fn letter(c: char, type_: Type) -> Option<Letter> {
    let c = match c {
        '\n' => '\n',
        '\u{AD}' | '\u{FEFF}' => return None,
        PICTURE => '\u{FFFD}',
        c if c.is_control() => ' ',
        c => c,
    };
    let shown = if c == '\u{200B}' || c == '\n' {
        0.0
    } else {
        type_.face.advance(c)
    };
    let advance = shown * type_.size / 1000.0;
    Some(Letter {
        c,
        advance,
        set_in: Set::Type(type_),
        before: Break::Never,
    })
}

fn picture_letter(picture: &Picture) -> Letter {
    let set_in = Set::Picture(Box::new(Pictured {
        name: picture.name.clone(),
        width: picture.width * MM,
        height: picture.height * MM,
        words: picture.words.clone(),
    }));
    Letter {
        c: PICTURE,
        advance: picture.width * MM,
        set_in,
        before: Break::Never,
    }
}

/// Marks the possible breaks. A line end has done its work then, and is a space without width.
fn allow_breaks(letters: &mut [Letter]) {
    let text: Vec<char> = letters.iter().map(|letter| letter.c).collect();
    for (letter, before) in letters.iter_mut().zip(breaks(&text)) {
        letter.before = before;
        if letter.c == '\n' {
            letter.c = ' ';
        }
    }
}

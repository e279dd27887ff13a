//! The text of a PDF in lines, as they stand on its pages.
//!
//! A page is a list of pieces of text with their places (ISO 32000-1, 9.4), in any order. Pieces of one
//! height are one line, from left to right. A piece whose font does not say what its signs mean ends
//! it: a text with holes would be read as if nothing stood there.

use std::collections::BTreeMap;

use lopdf::content::{Content, Operation};
use lopdf::{Document, Encoding, Object};

/// Bytes that one stream may unpack to.
const LARGEST: usize = 4_000_000;

/// Pieces whose heights differ by less stand on one line, in points.
const ONE_LINE: f32 = 2.0;

/// A gap between letters as wide as a word's, in thousandths of the type size.
const WORD_GAP: f32 = -200.0;

/// The lines of all pages; nothing where a part cannot be read.
pub fn text_of_pdf(bytes: &[u8]) -> Option<String> {
    let document = Document::load_mem(bytes).ok()?;
    let mut text = String::new();
    for page in document.page_iter() {
        let fonts = document.get_page_fonts(page).ok()?;
        let encodings: BTreeMap<Vec<u8>, Encoding<'_>> = fonts
            .into_iter()
            .filter_map(|(name, font)| {
                let encoding = font.get_font_encoding_with_limit(&document, LARGEST);
                Some((name, encoding.ok()?))
            })
            .collect();
        let content = document.get_page_content_with_limit(page, LARGEST).ok()?;
        let mut reader = PageReader::new(&encodings);
        for operation in &Content::decode(&content).ok()?.operations {
            reader.take(operation)?;
        }
        text.push_str(&lines(reader.pieces));
    }
    Some(text).filter(|text| !text.contains('\u{fffd}'))
}

/// Text at a place, from the lower left corner.
struct Piece {
    x: f32,
    y: f32,
    text: String,
}

fn lines(mut pieces: Vec<Piece>) -> String {
    pieces.retain(|piece| !piece.text.trim().is_empty());
    pieces.sort_by(|a, b| b.y.total_cmp(&a.y));
    let mut lines: Vec<Vec<Piece>> = Vec::new();
    for piece in pieces {
        match lines.last_mut() {
            Some(line)
                if line
                    .first()
                    .is_some_and(|first| first.y - piece.y < ONE_LINE) =>
            {
                line.push(piece);
            }
            _ => lines.push(vec![piece]),
        }
    }
    let told = lines.into_iter().map(|mut line| {
        line.sort_by(|a, b| a.x.total_cmp(&b.x));
        let texts: Vec<&str> = line.iter().map(|piece| piece.text.trim()).collect();
        texts.join(" ") + "\n"
    });
    told.collect()
}

/// Six numbers of a transformation (ISO 32000-1, 8.3.3).
type Matrix = [f32; 6];

const SAME: Matrix = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];

/// First the one, then the other.
fn then(a: Matrix, b: Matrix) -> Matrix {
    [
        a[0] * b[0] + a[1] * b[2],
        a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2],
        a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4],
        a[4] * b[1] + a[5] * b[3] + b[5],
    ]
}

/// What a page is at while it is read.
struct PageReader<'d> {
    encodings: &'d BTreeMap<Vec<u8>, Encoding<'d>>,
    font: Option<&'d Encoding<'d>>,
    page: Matrix,
    kept: Vec<Matrix>,
    line: Matrix,
    leading: f32,
    /// Whether the next text stands at a place of its own.
    moved: bool,
    pieces: Vec<Piece>,
}

impl<'d> PageReader<'d> {
    fn new(encodings: &'d BTreeMap<Vec<u8>, Encoding<'d>>) -> Self {
        Self {
            encodings,
            font: None,
            page: SAME,
            kept: Vec::new(),
            line: SAME,
            leading: 0.0,
            moved: true,
            pieces: Vec::new(),
        }
    }

    /// Nothing where its text cannot be told.
    fn take(&mut self, operation: &Operation) -> Option<()> {
        let operands = &operation.operands;
        let number = |at: usize| operands.get(at).and_then(|one| one.as_float().ok());
        let matrix = || -> Option<Matrix> {
            let numbers: Vec<f32> = (0..6).map_while(number).collect();
            numbers.try_into().ok()
        };
        match operation.operator.as_str() {
            "q" => self.kept.push(self.page),
            "Q" => self.page = self.kept.pop().unwrap_or(SAME),
            "cm" => self.page = then(matrix()?, self.page),
            "BT" => self.place(SAME),
            "Tm" => self.place(matrix()?),
            "TL" => self.leading = number(0)?,
            "Td" => self.step(number(0)?, number(1)?),
            "TD" => {
                self.leading = -number(1)?;
                self.step(number(0)?, number(1)?);
            }
            "T*" => self.step(0.0, -self.leading),
            "Tf" => self.font = self.encodings.get(operands.first()?.as_name().ok()?),
            "Tj" => self.show(operands)?,
            "TJ" => self.show(operands.first()?.as_array().ok()?)?,
            "'" | "\"" => {
                self.step(0.0, -self.leading);
                self.show(operands.last().map_or(&[], std::slice::from_ref))?;
            }
            _ => {}
        }
        Some(())
    }

    fn place(&mut self, line: Matrix) {
        self.line = line;
        self.moved = true;
    }

    fn step(&mut self, x: f32, y: f32) {
        self.place(then([1.0, 0.0, 0.0, 1.0, x, y], self.line));
    }

    fn show(&mut self, parts: &[Object]) -> Option<()> {
        let mut text = String::new();
        for part in parts {
            match part {
                Object::String(signs, _) => {
                    text.push_str(&Document::decode_text(self.font?, signs).ok()?);
                }
                gap if gap.as_float().is_ok_and(|gap| gap < WORD_GAP) => text.push(' '),
                _ => {}
            }
        }
        let [.., x, y] = then(self.line, self.page);
        match self.pieces.last_mut().filter(|_| !self.moved) {
            Some(piece) => piece.text.push_str(&text),
            None => self.pieces.push(Piece { x, y, text }),
        }
        self.moved = false;
        Some(())
    }
}

//! What stands on the pages of a PDF, read by a general library.

use std::collections::BTreeMap;

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object, ObjectId};

/// One page; lengths in points from the left bottom corner.
#[derive(Debug, Default)]
pub struct Printed {
    pub width: f64,
    pub height: f64,
    pub texts: Vec<Text>,
    pub words: Vec<String>,
    pub diamonds: Vec<Diamond>,
    /// x, y, width, height of filled rectangles.
    pub areas: Vec<(f64, f64, f64, f64)>,
}

/// A line of text, from the width of its glyphs in the file.
#[derive(Debug)]
pub struct Text {
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub size: f64,
    pub black: bool,
}

/// A filled red square on its point: the frame of a pictogram.
#[derive(Debug)]
pub struct Diamond {
    pub x: f64,
    pub y: f64,
    pub side: f64,
    /// From the middle to a point.
    pub reach: f64,
}

impl Text {
    /// Top of a capital: 1493 of 2048 units of the typeface.
    pub fn top(&self) -> f64 {
        self.y + 0.729 * self.size
    }

    pub fn bottom(&self) -> f64 {
        self.y
    }

    pub fn overlaps(&self, other: &Self) -> bool {
        const ROUNDING: f64 = 0.05;
        let across =
            self.x + ROUNDING < other.x + other.width && other.x + ROUNDING < self.x + self.width;
        across && self.bottom() + ROUNDING < other.top() && other.bottom() + ROUNDING < self.top()
    }
}

impl Printed {
    pub fn read(bytes: &[u8]) -> Vec<Self> {
        let file = Document::load_mem(bytes).unwrap();
        file.get_pages()
            .iter()
            .map(|(number, id)| page(&file, *number, *id))
            .collect()
    }
}

fn page(file: &Document, number: u32, id: ObjectId) -> Printed {
    let dictionary = file.get_dictionary(id).unwrap();
    let media: Vec<f64> = numbers(dictionary.get(b"MediaBox").unwrap().as_array().unwrap());
    let widths: BTreeMap<Vec<u8>, BTreeMap<u16, f64>> = file
        .get_page_fonts(id)
        .unwrap()
        .into_iter()
        .map(|(name, font)| (name, glyph_widths(file, font)))
        .collect();
    let mut page = Printed {
        width: media[2],
        height: media[3],
        ..Printed::default()
    };
    let content = Content::decode(&file.get_page_content(id)).unwrap();
    let (mut fill, mut font, mut size) = (Vec::new(), Vec::new(), 0.0);
    let (mut at, mut path): ((f64, f64), Vec<(f64, f64)>) = ((0.0, 0.0), Vec::new());
    // A picture's colours end with it (ISO 32000-1, 8.4.2).
    let mut before = Vec::new();
    for operation in content.operations {
        let operands = &operation.operands;
        match operation.operator.as_str() {
            "q" => before.push((fill.clone(), font.clone(), size)),
            "Q" => (fill, font, size) = before.pop().unwrap(),
            "rg" => fill = numbers(operands),
            "Tf" => {
                font = operands[0].as_name().unwrap().to_vec();
                size = f64::from(operands[1].as_float().unwrap());
            }
            "Td" => at = (numbers(operands)[0], numbers(operands)[1]),
            "Tj" => {
                let glyphs = operands[0]
                    .as_str()
                    .unwrap()
                    .chunks(2)
                    .map(|pair| u16::from_be_bytes([pair[0], pair[1]]));
                let width: f64 = glyphs
                    .map(|glyph| widths[&font].get(&glyph).copied().unwrap_or(1000.0))
                    .sum();
                let black = fill.iter().all(|part| *part == 0.0);
                page.texts.push(Text {
                    x: at.0,
                    y: at.1,
                    width: width * size / 1000.0,
                    size,
                    black,
                });
            }
            "re" => {
                let area = numbers(operands);
                page.areas.push((area[0], area[1], area[2], area[3]));
            }
            "m" => path = vec![(numbers(operands)[0], numbers(operands)[1])],
            "l" => path.push((numbers(operands)[0], numbers(operands)[1])),
            "f" | "f*" | "b" | "b*" => {
                page.diamonds.extend(diamond(&fill, &path));
                path.clear();
            }
            _ => {}
        }
    }
    page.words = vec![file.extract_text(&[number]).unwrap()];
    page
}

fn diamond(fill: &[f64], path: &[(f64, f64)]) -> Option<Diamond> {
    let is_red = fill.len() == 3 && fill[0] > 0.8 && fill[1] < 0.1 && fill[2] < 0.1;
    let corners = path.get(..4).filter(|_| is_red)?;
    let across = (corners[1].0 - corners[3].0).abs();
    let side = (corners[0].0 - corners[1].0).hypot(corners[0].1 - corners[1].1);
    Some(Diamond {
        x: corners[0].0,
        y: corners[1].1,
        side,
        reach: across / 2.0,
    })
}

fn numbers(objects: &[Object]) -> Vec<f64> {
    objects
        .iter()
        .filter_map(|object| object.as_float().ok())
        .map(f64::from)
        .collect()
}

/// Widths by glyph, in thousandths of the type size: `first [w w w]` over and over.
fn glyph_widths(file: &Document, font: &Dictionary) -> BTreeMap<u16, f64> {
    let inner = font.get(b"DescendantFonts").unwrap().as_array().unwrap()[0].clone();
    let inner = match inner {
        Object::Reference(id) => file.get_dictionary(id).unwrap().clone(),
        Object::Dictionary(dictionary) => dictionary,
        other => panic!("{other:?} is no font"),
    };
    let mut widths = BTreeMap::new();
    for pair in inner.get(b"W").unwrap().as_array().unwrap().chunks(2) {
        let first = u16::try_from(pair[0].as_i64().unwrap()).unwrap();
        let list = numbers(pair[1].as_array().unwrap());
        widths.extend((first..).zip(list));
    }
    widths
}

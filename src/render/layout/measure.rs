//! How wide text is.

use std::sync::OnceLock;

/// The three faces of the one typeface: narrow for text, so that a sheet has room, and wide
/// for what is read first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Face {
    Text,
    Strong,
    Heading,
}

impl Face {
    pub const ALL: [Face; 3] = [Face::Text, Face::Strong, Face::Heading];

    /// The font's name as its makers write it in a file.
    pub fn name(self) -> &'static str {
        match self {
            Face::Text => "DejaVuSansCondensed",
            Face::Strong => "DejaVuSansCondensed-Bold",
            Face::Heading => "DejaVuSans-Bold",
        }
    }

    /// The whole font file.
    pub fn bytes(self) -> &'static [u8] {
        match self {
            Face::Text => dejavu::sans_condensed::regular(),
            Face::Strong => dejavu::sans_condensed::bold(),
            Face::Heading => dejavu::sans::bold(),
        }
    }

    pub fn parsed(self) -> &'static ttf_parser::Face<'static> {
        static PARSED: [OnceLock<ttf_parser::Face<'static>>; 3] = [const { OnceLock::new() }; 3];
        PARSED[self as usize].get_or_init(|| {
            ttf_parser::Face::parse(self.bytes(), 0).expect("the font compiled in is a font")
        })
    }

    /// Width of a character in thousandths of the type size. Cut to a whole number, because
    /// that is what a PDF states and a viewer therefore moves by.
    pub fn advance(self, c: char) -> f64 {
        static COMMON: [OnceLock<Vec<u16>>; 3] = [const { OnceLock::new() }; 3];
        let common = COMMON[self as usize].get_or_init(|| {
            ('\0'..'\u{250}')
                .map(|c| self.looked_up_advance(c))
                .collect()
        });
        let advance = common.get(c as usize).copied();
        f64::from(advance.unwrap_or_else(|| self.looked_up_advance(c)))
    }

    fn looked_up_advance(self, c: char) -> u16 {
        let font = self.parsed();
        let glyph = font.glyph_index(c).unwrap_or_default();
        let units = u32::from(font.glyph_hor_advance(glyph).unwrap_or_default());
        u16::try_from(units * 1000 / u32::from(font.units_per_em())).unwrap_or(u16::MAX)
    }

    /// Height of a small x, in type sizes: the lowest of all faces.
    pub fn least_x_height() -> f64 {
        let height = |face: Face| {
            let font = face.parsed();
            let x = font
                .glyph_index('x')
                .and_then(|glyph| font.glyph_bounding_box(glyph));
            x.map(|x| f64::from(x.y_max) / f64::from(font.units_per_em()))
        };
        Face::ALL.into_iter().filter_map(height).fold(1.0, f64::min)
    }

    /// Width of a text on one line, in the unit of `size`.
    pub fn width(self, text: &str, size: f64) -> f64 {
        text.chars().map(|c| self.advance(c)).sum::<f64>() * size / 1000.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Characters of European Latin scripts and chemistry that a sheet may need.
    const NEEDED: &str = "čšžőłßøåæþðğıșțŵŷĳœ₀₁₂₃₄₅₆₇₈₉⁺⁻⁰¹²³⁴⁵⁶⁷⁸⁹≥≤±×→°µ·–—…☐☑•€‰";

    #[test]
    fn every_face_has_what_a_sheet_needs() {
        for face in Face::ALL {
            for c in NEEDED.chars() {
                assert!(face.parsed().glyph_index(c).is_some(), "{face:?} lacks {c}");
            }
        }
    }
}

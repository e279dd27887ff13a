//! How wide text is.

use std::sync::OnceLock;

use skrifa::charmap::Charmap;
use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::{GlyphMetrics, Metrics};
use skrifa::outline::OutlineGlyphCollection;
use skrifa::{FontRef, GlyphId, MetadataProvider as _};

/// A font file's tables, in units of the font.
pub struct Font {
    pub metrics: Metrics,
    /// From 1, thin, to 1000, heavy.
    pub weight: u16,
    pub outlines: OutlineGlyphCollection<'static>,
    characters: Charmap<'static>,
    glyphs: GlyphMetrics<'static>,
}

impl Font {
    fn new(tables: FontRef<'static>) -> Self {
        let (size, location) = (Size::unscaled(), LocationRef::default());
        Self {
            metrics: tables.metrics(size, location),
            weight: tables.attributes().weight.value() as u16,
            outlines: tables.outline_glyphs(),
            characters: tables.charmap(),
            glyphs: tables.glyph_metrics(size, location),
        }
    }

    /// The glyph of a character; the empty box where there is none.
    pub fn glyph(&self, c: char) -> GlyphId {
        self.characters.map(c).unwrap_or(GlyphId::NOTDEF)
    }

    /// How far a glyph moves the pen.
    pub fn advance(&self, glyph: GlyphId) -> u16 {
        self.glyphs.advance_width(glyph).unwrap_or_default() as u16
    }
}

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

    /// The font, its tables found once.
    pub fn font(self) -> &'static Font {
        static FONTS: [OnceLock<Font>; 3] = [const { OnceLock::new() }; 3];
        FONTS[self as usize].get_or_init(|| {
            let tables = FontRef::new(self.bytes()).expect("the font compiled in is a font");
            Font::new(tables)
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
        let font = self.font();
        let units = u32::from(font.advance(font.glyph(c)));
        u16::try_from(units * 1000 / u32::from(font.metrics.units_per_em)).unwrap_or(u16::MAX)
    }

    /// Height of a small x, in type sizes: the lowest of all faces.
    pub fn least_x_height() -> f64 {
        let height = |face: Face| {
            let font = face.font();
            let x = font.glyphs.bounds(font.glyph('x'));
            x.map(|x| f64::from(x.y_max) / f64::from(font.metrics.units_per_em))
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
                assert_ne!(face.font().glyph(c), GlyphId::NOTDEF, "{face:?} lacks {c}");
            }
        }
    }
}

//! Fonts cut down to the characters used.

use std::collections::{BTreeMap, BTreeSet};

use printpdf::{FontId, FontMetrics, ParsedFont};

use crate::render::layout::{Face, Mark, Pages};

/// The characters drawn in each face.
pub fn characters_used(pages: &Pages) -> BTreeMap<Face, BTreeSet<char>> {
    let mut used: BTreeMap<Face, BTreeSet<char>> = BTreeMap::new();
    for mark in pages.pages.iter().flat_map(|page| &page.marks) {
        if let Mark::Text { type_, text, .. } = mark {
            let characters = used.entry(type_.face).or_default();
            characters.extend(text.chars().map(drawn));
        }
    }
    used
}

/// Spaces and hyphens that do not break look like the others, and are found like them.
pub fn drawn(c: char) -> char {
    match c {
        '\u{A0}' => ' ',
        '\u{2011}' => '-',
        c => c,
    }
}

/// The name of a face inside the file.
pub fn font_id(face: Face) -> FontId {
    FontId(format!("{face:?}"))
}

/// A font file with the glyphs of these characters and no others.
pub fn embedded_font(
    face: Face,
    characters: &BTreeSet<char>,
) -> Result<ParsedFont, subsetter::Error> {
    let font = face.parsed();
    let mut glyphs = subsetter::GlyphRemapper::new();
    let mut codes = BTreeMap::new();
    let mut widths = BTreeMap::new();
    for c in characters {
        let glyph = font.glyph_index(*c).unwrap_or_default();
        let code = glyphs.remap(glyph.0);
        codes.insert(u32::from(*c), code);
        widths.insert(code, font.glyph_hor_advance(glyph).unwrap_or_default());
    }
    let bytes = subsetter::subset(face.bytes(), 0, &glyphs)?;
    // Six capital letters and a plus mark a font that is not whole (ISO 32000-1, 9.6.4).
    let name = Some(format!("WETSID+{}", face.name()));
    let metrics = FontMetrics {
        ascent: font.ascender(),
        descent: font.descender(),
    };
    let units = font.units_per_em();
    let mut parsed = ParsedFont::with_glyph_data(bytes, 0, name, codes, widths, units, metrics);
    let bounds = font.global_bounding_box();
    parsed.pdf_font_metrics.x_min = bounds.x_min;
    parsed.pdf_font_metrics.y_min = bounds.y_min;
    parsed.pdf_font_metrics.x_max = bounds.x_max;
    parsed.pdf_font_metrics.y_max = bounds.y_max;
    parsed.pdf_font_metrics.us_weight_class = font.weight().to_number();
    Ok(parsed)
}

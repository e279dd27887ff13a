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
    let font = face.font();
    let mut glyphs = subsetter::GlyphRemapper::new();
    let mut codes = BTreeMap::new();
    let mut widths = BTreeMap::new();
    for c in characters {
        let glyph = font.glyph(*c);
        let code = glyphs.remap(u16::try_from(glyph.to_u32()).unwrap_or_default());
        codes.insert(u32::from(*c), code);
        widths.insert(code, font.advance(glyph));
    }
    let bytes = subsetter::subset(face.bytes(), 0, &glyphs)?;
    // Six capital letters and a plus mark a font that is not whole (ISO 32000-1, 9.6.4).
    let name = Some(format!("WETSID+{}", face.name()));
    let whole = &font.metrics;
    let metrics = FontMetrics {
        ascent: whole.ascent as i16,
        descent: whole.descent as i16,
    };
    let units = whole.units_per_em;
    let mut parsed = ParsedFont::with_glyph_data(bytes, 0, name, codes, widths, units, metrics);
    if let Some(bounds) = whole.bounds {
        parsed.pdf_font_metrics.x_min = bounds.x_min as i16;
        parsed.pdf_font_metrics.y_min = bounds.y_min as i16;
        parsed.pdf_font_metrics.x_max = bounds.x_max as i16;
        parsed.pdf_font_metrics.y_max = bounds.y_max as i16;
    }
    parsed.pdf_font_metrics.us_weight_class = font.weight;
    Ok(parsed)
}

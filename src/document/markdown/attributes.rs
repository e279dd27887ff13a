//! What a heading and a picture may ask for.

use super::Fault;
use crate::document::blocks::*;

/// The classes a heading may have: layouts.
pub const CLASSES: [&str; 14] = [
    "half", "third", "quarter", "framed", "stop", "band", "wall", "small", "signal", "steps",
    "keep", "newpage", "spare", "beside",
];

/// Puts what a class asks for into a section's look.
pub fn dress(look: &mut Look, class: &str) -> Result<(), Fault> {
    match class {
        "half" => look.width = Width::Half,
        "third" => look.width = Width::Third,
        "quarter" => look.width = Width::Quarter,
        "framed" => look.frame = Frame::Framed,
        "stop" => look.frame = Frame::Stop,
        "band" => look.frame = Frame::Band,
        "wall" => look.voice = Voice::Wall,
        "small" => look.voice = Voice::Small,
        "signal" => look.signal = true,
        "steps" => look.steps = true,
        "keep" => look.keep = true,
        "newpage" => look.new_page = true,
        "spare" => look.spare = true,
        "beside" => look.beside = true,
        other => return Err(Fault::UnknownClass(other.into())),
    }
    Ok(())
}

/// The picture that `![words](link "size")` asks for: `12 mm` square, or `96 x 40 mm`.
pub fn picture(link: &str, size: &str, words: String) -> Result<Picture, Fault> {
    let name = link
        .strip_prefix("pictogram:")
        .ok_or_else(|| Fault::NotAPictogram(link.into()))?
        .to_string();
    let least = smallest_picture(&name);
    let (width, height) = match size.trim() {
        "" => (HAZARD_PICTURE, HAZARD_PICTURE),
        size => sides(size)
            .filter(|(width, height)| {
                (least..=WIDEST_PICTURE).contains(width)
                    && (least..=LARGEST_PICTURE).contains(height)
            })
            .ok_or_else(|| Fault::NotASize {
                found: size.into(),
                least,
            })?,
    };
    Ok(Picture {
        name,
        words,
        width,
        height,
    })
}

fn sides(size: &str) -> Option<(f64, f64)> {
    let numbers = size.strip_suffix("mm")?;
    let number = |text: &str| text.trim().parse::<f64>().ok();
    match numbers.split_once('x') {
        Some((width, height)) => Some((number(width)?, number(height)?)),
        None => number(numbers).map(|side| (side, side)),
    }
}

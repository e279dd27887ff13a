//! What a heading and a picture may ask for.

use super::Fault;
use crate::document::blocks::*;

/// The classes a heading may have: layouts.
pub const CLASSES: [&str; 12] = [
    "half", "third", "quarter", "framed", "stop", "band", "wall", "small", "signal", "steps",
    "keep", "newpage",
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
        other => return Err(Fault::UnknownClass(other.into())),
    }
    Ok(())
}

/// The picture that `![words](link "size")` asks for.
pub fn picture(link: &str, size: &str, words: String) -> Result<Picture, Fault> {
    let name = link
        .strip_prefix("pictogram:")
        .ok_or_else(|| Fault::NotAPictogram(link.into()))?
        .to_string();
    let least = smallest_picture(&name);
    let side = match size.trim() {
        "" => HAZARD_PICTURE,
        size => size
            .strip_suffix("mm")
            .and_then(|number| number.trim().parse::<f64>().ok())
            .filter(|side| (least..=LARGEST_PICTURE).contains(side))
            .ok_or_else(|| Fault::NotASize {
                found: size.into(),
                least,
            })?,
    };
    Ok(Picture { name, words, side })
}

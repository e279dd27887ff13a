//! The curves of a gas over the day, as drawings of a document.

use super::super::Wording;
use super::{AirSheet, split};
use crate::air::{self, AirAssessment, GasFigures, PictureWords};
use crate::picture::{self, Size};

/// How large the curves are on a page of their own, and beside other things on a sheet.
pub(super) const ON_PAGE: Size = Size {
    width_mm: 170.0,
    height_mm: 72.0,
};
pub(in crate::document) const ON_SHEET: Size = Size {
    width_mm: 84.0,
    height_mm: 31.0,
};

impl AirSheet {
    /// The curves of every gas with a section, name and SVG.
    pub fn drawings(assessed: &AirAssessment, wording: &Wording) -> Vec<(String, String)> {
        let (shown, _) = split(Some(assessed));
        shown
            .into_iter()
            .map(|gas| (picture_name(gas), curves(gas, wording, ON_PAGE)))
            .collect()
    }
}

/// What the curves of a gas are called in a document.
pub(in crate::document) fn picture_name(gas: &GasFigures) -> String {
    format!("air-{}", gas.gas.id)
}

/// A size as templates state it.
pub(in crate::document) fn size_words(size: Size) -> String {
    format!("{} x {} mm", size.width_mm, size.height_mm)
}

/// The curves of a gas.
pub(in crate::document) fn curves(gas: &GasFigures, wording: &Wording, size: Size) -> String {
    let words = PictureWords {
        near: wording.word("picture_near").to_owned(),
        far: wording.word("picture_far").to_owned(),
    };
    let mut picture = air::picture(gas, &words, size);
    for label in &mut picture.labels {
        label.text = wording.figures(&label.text);
    }
    picture::svg(&picture)
}

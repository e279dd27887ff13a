//! What the law would call a chemical or mixture: hazard classes and label elements.
//!
//! The calculation method of the Globally Harmonized System in its EU form (CLP Annex I), its US
//! form (29 CFR 1910.1200, Appendix A) and the UN's own. It is a planning aid: the safety data
//! sheet of a finished product and local rules come first.

mod classes;
mod hazard;
mod label;
mod labelling;
mod notation;
mod profile;
mod reproduction;

pub use classes::{Category, Classes, Precautions};
pub use hazard::{HazardClass, union};
pub use label::{LabelElements, label_elements};
pub use labelling::Labelling;
pub use notation::{Limit, Limited, NotationError};
pub use profile::{Profile, Signal};

#[cfg(test)]
mod tests;

//! What the law would call a chemical or mixture: hazard classes and label elements.
//!
//! The calculation method of the Globally Harmonized System in its EU form (CLP Annex I), its US
//! form (29 CFR 1910.1200, Appendix A) and the UN's own. It is a planning aid: the safety data
//! sheet of a finished product and local rules come first.

mod acute;
mod calculate;
mod check;
mod classes;
mod eye;
mod file;
mod hazard;
mod label;
mod labelling;
mod limits;
mod mixture;
mod notation;
mod own_limit;
mod ph;
mod physical;
mod profile;
mod reason;
mod reproduction;
mod single;
mod skin;
mod sums;
mod supplemental;

pub use calculate::{Classification, classify};
pub use check::{Check, Entered, Measure};
pub use classes::{Category, Classes, Precautions};
pub use file::{Chemicals, read_mixture};
pub use hazard::{HazardClass, union};
pub use label::{LabelElements, label_elements};
pub use labelling::Labelling;
pub use limits::{MixtureLimits, Rules};
pub use mixture::{Balance, Form, Ingredient, MFactors, Mixture, Ph, Positive, Route};
pub use notation::{Limit, Limited, NotationError};
pub use physical::NotComputed;
pub use profile::{Profile, Signal};
pub use reason::Reason;
pub use supplemental::Supplement;

#[cfg(test)]
mod tests;

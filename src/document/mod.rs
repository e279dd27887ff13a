//! What a page says, in which order, before anyone knows on which medium.
//!
//! The wording is Markdown: a template filled in elsewhere. [`markdown::parse`] turns it
//! into a [`Document`] of blocks, which every renderer takes. Markdown that asks for
//! something no page can do is refused with the line at fault.

pub mod air;
pub mod blocks;
mod classification;
mod card;
pub mod markdown;
pub mod in_room;
mod json;
pub mod readability;
pub mod rules;
pub mod meet;
pub mod label;
pub mod sheet;
pub mod brief;
pub mod compare;
pub mod solution;
mod source;
pub mod waste;
mod template;
mod figures;
mod pattern;
mod tongue;
mod trace;
mod wording;

pub use blocks::Document;
pub use card::Card;
pub use classification::{classification_json, classification_view};
pub use json::{brief_json, finding_json, findings_json, origin_json, sheet_json};
pub use template::{TemplateError, fill, fill_with, house_text};
pub use tongue::Tongue;
pub use wording::{Told, Wording};

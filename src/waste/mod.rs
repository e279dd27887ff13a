//! Which codes, properties, limits and duties the rules in force give a waste.
//!
//! Takes a [`WasteDescription`] (as read from a file, chemicals already resolved) and a
//! [`RulePack`] (from `hazards/rules/`, or a rule file of the place), gives a [`Determination`]
//! that names the rule behind every line. Nothing here knows a threshold: they all stand in the
//! data. What was not measured is taken from the usual composition of the stream, at its worse
//! end, and said so. This room never says that a drain is allowed; it says what limits it.

mod bound;
mod chemical;
mod catalogued;
mod description;
mod read;
mod rules;
mod pack;
mod listed;
mod facts;
mod when;
mod condition;
mod codes;
mod properties;
mod generator;
mod duties;
mod empty;
mod determination;
mod json;
mod local;

pub use bound::Bound;
pub use chemical::{Chemicals, WasteChemical};
pub use description::{Drain, DrainKind, Emptied, Form, Holder, Ingredient, WasteDescription};
pub use determination::{CodeLine, Determination, DutyLine, LimitLine, PropertyLine, determine};
pub use empty::EmptyLine;
pub use generator::{MonthAccount, MonthCategory, mass_kg, month_category};
pub use json::to_json;
pub use listed::Listed;
pub use local::DaysLimit;
pub use pack::{RulePack, Stream, Streams};
pub use read::read;
pub use rules::Effect;
pub use when::Answer;

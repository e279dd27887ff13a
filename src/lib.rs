//! The safety and waste clerk for people who mix photographic processing solutions.
//!
//! One flow, left to right, never back:
//!
//! ```text
//! session file ─► plan ─► assessment ─► document ─► page
//! ```
//!
//! Each room below uses only rooms above it; `tests/suite/rooms.rs` reads this list and fails
//! on any import from a later room.

#![cfg_attr(not(test), deny(clippy::print_stdout, clippy::print_stderr))]

pub mod units;
pub mod provenance;
pub mod source;
pub mod finding;
pub mod catalogue;
pub mod session;
pub mod plan;
pub mod chemistry;
pub mod classify;
pub mod data_sheet;
pub mod picture;
pub mod air;
pub mod reaction;
pub mod waste;
pub mod rules;
pub mod assessment;
pub mod ledger;
pub mod document;
pub mod render;
pub mod cli;

//! The air of a session.

mod volatiles;

pub use volatiles::{Sources, Vapours};

use crate::air::Region;

/// The regions whose limits count under some rules: those with limits on file; all where none has.
pub fn regions<'c>(rules: impl IntoIterator<Item = &'c str>) -> Vec<Region> {
    let found: Vec<Region> = rules.into_iter().filter_map(Region::from_code).collect();
    if found.is_empty() {
        Region::ALL.to_vec()
    } else {
        found
    }
}

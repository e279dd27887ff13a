//! Where a datum is from, by the title of its source.

use crate::provenance::{Bibliography, Origin};

/// A source by its title and place in it; what is not published says itself.
pub(super) fn titled(origin: &Origin, bibliography: &Bibliography) -> String {
    let Origin::Published { reference, at } = origin else {
        return origin.to_string();
    };
    match bibliography.get(reference) {
        Some(found) if at.is_empty() => found.title.clone(),
        Some(found) => format!("{}, {at}", found.title),
        None => origin.to_string(),
    }
}

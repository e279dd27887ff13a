//! What the catalogue said before a data sheet or a rule of the place took its place.

use serde::Serialize;

use crate::catalogue::{Chemical, Superseded};

use super::super::sheet::Material;
use super::sources::{Cite, Sources};

/// A datum and what took its place.
#[derive(Debug, Serialize)]
pub(super) struct ReplacedView {
    /// What kind.
    datum: &'static str,
    /// stricter, milder or other.
    change: &'static str,
    /// What is in force.
    after: String,
    cite: Cite,
    /// What gave way.
    before: String,
    before_cite: Cite,
}

pub(super) fn replaced(
    chemical: &Chemical,
    material: &Material<'_>,
    sources: &mut Sources<'_>,
) -> Vec<ReplacedView> {
    let view = |one: &Superseded| ReplacedView {
        datum: one.datum.as_str(),
        change: one.change.as_str(),
        after: one.after.clone(),
        cite: sources.of(&one.from),
        before: one.before.clone(),
        before_cite: sources.of(&one.before_from),
    };
    let replaced = material.catalogue.superseded(&chemical.id).iter();
    replaced.map(view).collect()
}

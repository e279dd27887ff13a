//! Catalogue and data sheets → the catalogue in force, what gave way kept beside it.

mod figures;
mod first_aid;
mod gloves;
mod keeping;

use super::classes;
use super::{DataSheet, DataSheets};
use crate::catalogue::{Catalogue, Change, Chemical, Datum, Superseded, Text, fold};
use crate::classify::Classes;
use crate::provenance::Origin;

/// What one step of the precedence looks at besides the entry it changes.
#[derive(Clone, Copy)]
pub(super) struct Ruling<'a> {
    pub sheet: &'a DataSheet,
    pub origin: &'a Origin,
    pub catalogue: &'a Catalogue,
    pub classes: &'a Classes,
}

type Step = fn(&mut Chemical, Ruling<'_>) -> Vec<Superseded>;

/// One step a kind of datum.
const STEPS: &[Step] = &[
    classes::classification,
    classes::supplemental,
    classes::specific_limits,
    gloves::gloves,
    first_aid::first_aid,
    figures::limits,
    figures::density,
    figures::flash_point,
    figures::ph,
    keeping::storage,
    keeping::transport,
];

impl DataSheets {
    /// The catalogue with what the sheets in force say in the place of its own, the newest last. A
    /// sheet for another form or strength says nothing of the jar, and changes nothing.
    #[must_use]
    pub fn over(&self, mut catalogue: Catalogue, classes: &Classes) -> Catalogue {
        for sheet in self.current() {
            let Some(entry) = catalogue.chemical(&sheet.chemical.id) else {
                continue;
            };
            if sheet.other_form().is_some() {
                continue;
            }
            let mut chemical = entry.as_ref().clone();
            let ruling = Ruling {
                sheet,
                origin: &sheet.origin(),
                catalogue: &catalogue,
                classes,
            };
            let replaced = STEPS
                .iter()
                .flat_map(|step| step(&mut chemical, ruling))
                .collect();
            catalogue.supersede(chemical, replaced);
        }
        catalogue
    }
}

/// A data sheet gives way to a rule of the place, and to nothing else.
pub(super) const fn yields(origin: &Origin) -> bool {
    !matches!(origin, Origin::LocalRule { .. })
}

impl Ruling<'_> {
    /// What gave way, where the two differ.
    pub(super) fn replaced(
        self,
        datum: Datum,
        before: (String, &Origin),
        after: String,
        change: Change,
    ) -> Superseded {
        Superseded {
            datum,
            before: before.0,
            before_from: before.1.clone(),
            after,
            from: self.origin.clone(),
            change,
        }
    }

    /// Puts a sentence in the place of another.
    fn text(
        self,
        slot: &mut Option<Text>,
        said: Option<&str>,
        datum: Datum,
        change: Change,
    ) -> Option<Superseded> {
        let said = said?;
        if slot.as_ref().is_some_and(|old| !yields(&old.from)) {
            return None;
        }
        let old = slot.replace(Text {
            text: said.to_owned(),
            from: self.origin.clone(),
        })?;
        (!same_words(&old.text, said))
            .then(|| self.replaced(datum, (old.text, &old.from), said.to_owned(), change))
    }
}

/// The same but for case, spacing and punctuation.
fn same_words(a: &str, b: &str) -> bool {
    fold(a) == fold(b)
}

//! Names as written → entries of the catalogue.

use std::sync::Arc;

use crate::catalogue::{Catalogue, Chemical, Named};
use crate::session::Written;
use crate::source::{Mistake, Mistakes};

use super::Resolver;

/// A name that must lead to exactly one form, such as a jar on the shelf.
pub(super) fn one_form(
    name: &Written<String>,
    catalogue: &Catalogue,
    mistakes: &mut Mistakes,
) -> Option<Arc<Chemical>> {
    match catalogue.named(&name.value) {
        Some(Named::Entry(chemical)) => Some(chemical),
        Some(Named::Bare(forms) | Named::Several(forms)) => {
            let message = format!("`{}` leaves open which of several is meant", name.value);
            mistakes.note(Mistake::at(
                name.place.clone(),
                message,
                format!("write one of {}", listed(&forms)),
            ));
            None
        }
        None => {
            mistakes.note(unknown(name, catalogue));
            None
        }
    }
}

pub(super) fn unknown(name: &Written<String>, catalogue: &Catalogue) -> Mistake {
    let message = format!("`{}` is not in the catalogue", name.value);
    let list = "`wetside catalogue list` prints every chemical known; a workspace can add its own";
    match catalogue.nearest(&name.value) {
        Some(near) => Mistake::at(
            name.place.clone(),
            message,
            format!("did you mean `{near}`?"),
        )
        .or(list),
        None => Mistake::at(name.place.clone(), message, list),
    }
}

pub(super) fn listed(forms: &[Arc<Chemical>]) -> String {
    let names: Vec<String> = forms
        .iter()
        .map(|form| format!("`{}`", form.name))
        .collect();
    names.join(", ")
}

impl Resolver<'_> {
    pub(super) fn bench(&mut self, name: &Written<String>) -> Option<Arc<Chemical>> {
        match self.catalogue.named(&name.value) {
            // Which hydrate stands there does not change what it must not meet.
            Some(Named::Bare(forms)) => forms.into_iter().next(),
            _ => one_form(name, self.catalogue, &mut self.mistakes),
        }
    }

    pub(super) fn wear(&mut self, item: &Written<String>) -> Option<Written<String>> {
        if let Some(known) = self.catalogue.wear_item(&item.value) {
            return Some(Written {
                value: known.id.clone(),
                place: item.place.clone(),
            });
        }
        let message = format!(
            "`{}` is not something to wear that is known here",
            item.value
        );
        let known: Vec<&str> = self
            .catalogue
            .wear_items()
            .map(|item| item.title.as_str())
            .collect();
        self.mistakes.note(Mistake::at(
            item.place.clone(),
            message,
            format!("known are {}", known.join(", ")),
        ));
        None
    }

    pub(super) fn kind(&mut self, written: &Written<String>) -> Option<crate::catalogue::Kind> {
        let found = self.catalogue.kind(&written.value).cloned();
        if found.is_none() {
            let known: Vec<&str> = self.catalogue.kinds().map(|kind| kind.title()).collect();
            let message = format!("`{}` is not a kind of solution known here", written.value);
            self.mistakes.note(nearest_of(written, message, &known));
        }
        found
    }

    pub(super) fn stream(&mut self, written: &Written<String>) -> Option<String> {
        let found = self
            .catalogue
            .stream(&written.value)
            .map(|stream| stream.id.clone());
        if found.is_none() {
            let known: Vec<&str> = self
                .catalogue
                .streams()
                .map(|stream| stream.id.as_str())
                .collect();
            let message = format!("`{}` is not a waste stream known here", written.value);
            self.mistakes.note(nearest_of(written, message, &known));
        }
        found
    }

    /// The form on the shelf, when the shelf holds another form of what is asked and not that itself.
    pub(super) fn jar_for(&self, asked: &Arc<Chemical>) -> Arc<Chemical> {
        let mut forms = self.jars.iter().filter(|jar| jar.root() == asked.root());
        match forms
            .clone()
            .find(|jar| jar.id == asked.id)
            .or_else(|| forms.next())
        {
            Some(jar) => Arc::clone(jar),
            None => Arc::clone(asked),
        }
    }
}

fn nearest_of(written: &Written<String>, message: String, known: &[&str]) -> Mistake {
    let list = format!("known are {}", known.join(", "));
    match crate::source::nearest(&written.value, known.iter().copied()) {
        Some(near) => Mistake::at(
            written.place.clone(),
            message,
            format!("did you mean `{near}`?"),
        )
        .or(list),
        None => Mistake::at(written.place.clone(), message, list),
    }
}

//! Keeping and carrying.

use super::{Ruling, same_words, yields};
use crate::catalogue::{Change, Chemical, Datum, Storage, Superseded, Transport};

/// The sentence is the sheet's; what it is kept from and apart from stays as it was.
pub(super) fn storage(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let Some(said) = &ruling.sheet.says.storage else {
        return Vec::new();
    };
    let old = chemical.storage.take();
    if old.as_ref().is_some_and(|old| !yields(&old.from)) {
        chemical.storage = old;
        return Vec::new();
    }
    let kept = old.clone();
    chemical.storage = Some(Storage {
        text: said.clone(),
        keeps_from: kept
            .as_ref()
            .map(|old| old.keeps_from.clone())
            .unwrap_or_default(),
        away_from: kept.map(|old| old.away_from).unwrap_or_default(),
        from: ruling.origin.clone(),
    });
    old.filter(|old| !same_words(&old.text, said))
        .map(|old| {
            ruling.replaced(
                Datum::Storage,
                (old.text, &old.from),
                said.clone(),
                Change::Other,
            )
        })
        .into_iter()
        .collect()
}

pub(super) fn transport(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let Some(said) = &ruling.sheet.says.transport else {
        return Vec::new();
    };
    if chemical
        .transport
        .as_ref()
        .is_some_and(|old| !yields(&old.from))
    {
        return Vec::new();
    }
    let new = Transport {
        un: Some(said.un.clone()),
        class: said.class.clone(),
        group: said.group.clone(),
        note: None,
        from: ruling.origin.clone(),
    };
    let after = new.shown();
    let Some(old) = chemical.transport.replace(new) else {
        return Vec::new();
    };
    let before = old.shown();
    let change = if said.un == "none" {
        Change::Milder
    } else {
        Change::Other
    };
    // A sheet that names the number alone does not contradict class and group.
    let same = before.starts_with(&after) || before == after;
    (!same)
        .then(|| ruling.replaced(Datum::Transport, (before, &old.from), after, change))
        .into_iter()
        .collect()
}

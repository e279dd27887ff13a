//! Gloves.

use super::{Ruling, same_words, yields};
use crate::catalogue::{Change, Chemical, Datum, Gloves, Superseded};
use crate::data_sheet::GlovesSaid;

pub(super) fn gloves(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let Some(said) = &ruling.sheet.says.gloves else {
        return Vec::new();
    };
    let old = chemical.gloves.as_ref();
    if old.is_some_and(|old| !yields(&old.from)) {
        return Vec::new();
    }
    // What the sheet does not speak of is as it was, above all what must not be used; and it is not
    // the sheet's word.
    let mut kept: Vec<&str> = Vec::new();
    let mut or_old = |name, said: &[String], old: Option<&Vec<String>>| {
        let old = old.filter(|old| said.is_empty() && !old.is_empty());
        kept.extend(old.map(|_| name));
        old.cloned().unwrap_or_else(|| said.to_vec())
    };
    let mut new = Gloves {
        splash: or_old("splash", &said.splash, old.map(|old| &old.splash)),
        long: or_old("longer contact", &said.long, old.map(|old| &old.long)),
        unsuitable: or_old("not", &said.unsuitable, old.map(|old| &old.unsuitable)),
        letter: old.and_then(|old| old.letter.clone()),
        note: None,
        from: ruling.origin.clone(),
    };
    if let Some(old) = old.filter(|_| !kept.is_empty()) {
        let of = old.from.mark().unwrap_or("a published source");
        new.note = Some(format!(
            "Not from the data sheet but {of}: {}",
            kept.join(", ")
        ));
    }
    let Some(old) = chemical.gloves.replace(new) else {
        return Vec::new();
    };
    let refused = |material: &String| old.unsuitable.iter().any(|no| same_words(no, material));
    let change = if said.long.iter().chain(&said.splash).any(refused) {
        Change::Milder
    } else {
        Change::Other
    };
    let spoken = |old: &[String], said: &[String]| {
        if said.is_empty() {
            Vec::new()
        } else {
            old.to_vec()
        }
    };
    let before = GlovesSaid {
        splash: spoken(&old.splash, &said.splash),
        long: spoken(&old.long, &said.long),
        unsuitable: spoken(&old.unsuitable, &said.unsuitable),
    };
    let (before, after) = (gloves_shown(&before), gloves_shown(said));
    (!before.is_empty() && !same_words(&before, &after))
        .then(|| ruling.replaced(Datum::Gloves, (before, &old.from), after, change))
        .into_iter()
        .collect()
}

fn gloves_shown(gloves: &GlovesSaid) -> String {
    let part = |what: &str, list: &[String]| {
        (!list.is_empty()).then(|| format!("{what} {}", list.join(", ")))
    };
    let parts = [
        part("splash:", &gloves.splash),
        part("longer:", &gloves.long),
        part("not:", &gloves.unsuitable),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

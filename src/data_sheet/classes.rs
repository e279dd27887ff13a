//! What section 2 of a data sheet says, in the place of the catalogue's classes.

use super::compare;
use super::precedence::{Ruling, yields};
use crate::catalogue::{
    Added, Change, Chemical, Datum, Harmonised, MFactors, Superseded, Unclassified,
};
use crate::classify::{HazardClass, Limit, Profile};
use crate::provenance::Origin;

/// Why a class of the catalogue is no longer printed.
const GAVE_WAY: &str = "your data sheet says otherwise";

/// The classes of the sheet are printed; those of the catalogue stay beside them, not printed.
///
/// Two things stay in force. A sheet that names no class outside of the US form of the system may
/// have been written under it, where the environment is not classified: it does not speak of those
/// classes. (29 CFR 1910.1200(g)(2): sections 12 to 15 are not enforced; Table D.1 of Appendix D calls
/// them not mandatory. Read in reprints, not in the register.) And of two suppliers' sheets the more
/// cautious class is printed.
pub(super) fn classification(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let Some(said) = &ruling.sheet.says.classification else {
        return Vec::new();
    };
    if is_ruled(chemical, |entry| &entry.classes, |added| &added.classes) {
        return Vec::new();
    }
    let parse = |class: &String| ruling.classes.parse(class).ok();
    let new: Vec<HazardClass> = said.iter().filter_map(parse).collect();
    let beyond_us = |class: &HazardClass| !class.category.is_used_in(Profile::Us);
    let speaks_of_all = new.iter().any(beyond_us);
    let stays =
        |class: &String| parse(class).is_some_and(|class| !speaks_of_all && beyond_us(&class));
    let said_too = |class: &String| {
        parse(class).is_some_and(|class| new.iter().any(|other| compare::is_same(other, &class)))
    };

    let mut gone: Vec<(String, Origin)> = Vec::new();
    let mut give_way = |list: &mut Vec<String>, from: &Origin| -> Vec<String> {
        let (kept, out): (Vec<String>, Vec<String>) = list.drain(..).partition(&stays);
        *list = kept;
        gone.extend(out.iter().map(|class| (class.clone(), from.clone())));
        out.into_iter().filter(|class| !said_too(class)).collect()
    };
    let mut aside: Vec<Added> = Vec::new();
    let data = &mut chemical.classification;
    if let Some(entry) = data.harmonised.as_mut().filter(|entry| yields(&entry.from)) {
        let from = entry.from.clone();
        let out = give_way(&mut entry.classes, &from);
        aside.push(not_printed(
            format!("EU and UK entry {}", entry.index),
            out,
            from,
        ));
    }
    for added in data.added.iter_mut().filter(|added| added.adopted) {
        if matches!(added.from, Origin::DataSheet { .. }) || !yields(&added.from) {
            continue;
        }
        let from = added.from.clone();
        let out = give_way(&mut added.classes, &from);
        aside.push(not_printed(added.by.clone(), out, from));
    }
    let other_sheets: Vec<(String, Origin)> = data
        .added
        .iter()
        .filter(|added| matches!(added.from, Origin::DataSheet { .. }))
        .flat_map(|added| {
            added
                .classes
                .iter()
                .map(|class| (class.clone(), added.from.clone()))
        })
        .collect();
    data.added
        .extend(aside.into_iter().filter(|added| !added.classes.is_empty()));
    data.added.push(Added {
        adopted: true,
        why: String::new(),
        ..not_printed(ruling.sheet.by(), said.clone(), ruling.origin.clone())
    });
    let was_none = data.none.take_if(|none| yields(&none.from));
    if said.is_empty() && chemical.classes().is_empty() {
        chemical.classification.none = Some(Unclassified {
            why: format!("{}: not classified", ruling.sheet.by()),
            from: ruling.origin.clone(),
        });
    }

    let after = shown(said);
    let between_sheets = differing(&other_sheets, &new, ruling)
        .map(|_| told(&other_sheets, after.clone(), Change::Other, ruling));
    let against_catalogue = if gone.is_empty() {
        was_none
            .filter(|none| !new.is_empty() && !matches!(none.from, Origin::DataSheet { .. }))
            .map(|none| {
                let before = (format!("not classified: {}", none.why), &none.from);
                ruling.replaced(
                    Datum::Classification,
                    before,
                    after.clone(),
                    Change::Stricter,
                )
            })
    } else {
        differing(&gone, &new, ruling).map(|change| told(&gone, after.clone(), change, ruling))
    };
    between_sheets
        .into_iter()
        .chain(against_catalogue)
        .collect()
}

/// Whether a rule of the place states such a list for the chemical: then the sheet's does not count.
fn is_ruled(
    chemical: &Chemical,
    of_entry: fn(&Harmonised) -> &Vec<String>,
    of_added: fn(&Added) -> &Vec<String>,
) -> bool {
    let data = &chemical.classification;
    let entry = data
        .harmonised
        .iter()
        .map(|entry| (of_entry(entry), &entry.from));
    let added = data.added.iter().filter(|added| added.adopted);
    entry
        .chain(added.map(|added| (of_added(added), &added.from)))
        .any(|(list, from)| !list.is_empty() && !yields(from))
}

fn differing(gone: &[(String, Origin)], new: &[HazardClass], ruling: Ruling<'_>) -> Option<Change> {
    if gone.is_empty() {
        return None;
    }
    let before: Vec<HazardClass> = gone
        .iter()
        .filter_map(|(class, _)| ruling.classes.parse(class).ok())
        .collect();
    compare::classes(&before, new)
}

/// What gave way, on the word of the source of greatest authority among those.
fn told(
    gone: &[(String, Origin)],
    after: String,
    change: Change,
    ruling: Ruling<'_>,
) -> Superseded {
    let from = gone
        .iter()
        .map(|(_, from)| from)
        .max()
        .unwrap_or(ruling.origin);
    let classes: Vec<String> = gone.iter().map(|(class, _)| class.clone()).collect();
    ruling.replaced(
        Datum::Classification,
        (shown(&classes), from),
        after,
        change,
    )
}

fn shown(classes: &[String]) -> String {
    if classes.is_empty() {
        "not classified".to_owned()
    } else {
        classes.join(", ")
    }
}

fn not_printed(by: String, classes: Vec<String>, from: Origin) -> Added {
    Added {
        by,
        classes,
        adopted: false,
        why: GAVE_WAY.to_owned(),
        limits: Vec::new(),
        m: MFactors::default(),
        ate: std::collections::BTreeMap::new(),
        from,
    }
}

/// The sheet's EUH statements; with another supplier's, both.
pub(super) fn supplemental(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let data = &mut chemical.classification;
    let Some(said) = &ruling.sheet.says.supplemental else {
        return Vec::new();
    };
    if data
        .supplemental_from
        .as_ref()
        .is_some_and(|from| !yields(from))
    {
        return Vec::new();
    }
    let before = data.supplemental.clone();
    let before_from = data.supplemental_from.replace(ruling.origin.clone());
    data.supplemental.clone_from(said);
    if matches!(before_from, Some(Origin::DataSheet { .. })) {
        let missing = before.iter().filter(|code| !said.contains(code));
        data.supplemental.extend(missing.cloned());
    }
    let change = before_from
        .filter(|_| !before.is_empty())
        .zip(compare::cautions(&before, said));
    change
        .map(|(from, change)| {
            let after = if said.is_empty() {
                "none".to_owned()
            } else {
                said.join(", ")
            };
            ruling.replaced(
                Datum::Supplemental,
                (before.join(", "), &from),
                after,
                change,
            )
        })
        .into_iter()
        .collect()
}

/// The sheet's specific limits take the place of the catalogue's; another supplier's stay in force
/// beside them, so that the lower counts.
pub(super) fn specific_limits(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let Some(said) = &ruling.sheet.says.specific_limits else {
        return Vec::new();
    };
    if is_ruled(chemical, |entry| &entry.limits, |added| &added.limits) {
        return Vec::new();
    }
    let data = &mut chemical.classification;
    let mut gone: Vec<(String, Origin)> = Vec::new();
    let harmonised = data
        .harmonised
        .iter_mut()
        .map(|entry| (&mut entry.limits, &entry.from));
    let added = data.added.iter_mut().filter(|added| added.adopted);
    let lists = harmonised.chain(added.map(|added| (&mut added.limits, &added.from)));
    for (limits, from) in lists.filter(|(_, from)| yields(from)) {
        if !matches!(from, Origin::DataSheet { .. }) {
            gone.extend(limits.drain(..).map(|limit| (limit, from.clone())));
        }
    }
    let written: Vec<String> = said.iter().map(|(limit, _)| limit.clone()).collect();
    data.added.push(Added {
        adopted: true,
        why: String::new(),
        limits: written.clone(),
        ..not_printed(ruling.sheet.by(), Vec::new(), ruling.origin.clone())
    });
    let parse = |(limit, _): &(String, Origin)| ruling.classes.parse_limit(limit).ok();
    let before: Vec<Limit> = gone.iter().filter_map(parse).collect();
    let after: Vec<Limit> = said.iter().map(|(_, limit)| limit.clone()).collect();
    let change = gone
        .iter()
        .map(|(_, from)| from)
        .max()
        .zip(compare::limits(&before, &after));
    change
        .map(|(from, change)| {
            let before: Vec<String> = gone.iter().map(|(limit, _)| limit.clone()).collect();
            let after = if written.is_empty() {
                "none".to_owned()
            } else {
                written.join("; ")
            };
            ruling.replaced(
                Datum::SpecificLimits,
                (before.join("; "), from),
                after,
                change,
            )
        })
        .into_iter()
        .collect()
}

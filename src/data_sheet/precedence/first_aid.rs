//! First aid.

use super::{Ruling, same_words};
use crate::catalogue::{Change, Chemical, Datum, Superseded};
use crate::data_sheet::compare;

/// Words of its own take the place of its families' for the route; a shorter rinsing time is less
/// care.
pub(super) fn first_aid(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let families: Vec<_> = chemical
        .families
        .iter()
        .filter_map(|id| ruling.catalogue.family(id))
        .collect();
    let gravest = families.iter().max_by_key(|family| family.rank);
    let of_family = gravest.map(|family| &family.first_aid);
    let longest = |of: fn(&crate::catalogue::FirstAid) -> u32| {
        families.iter().map(|family| of(&family.first_aid)).max()
    };
    let rinses = [
        longest(|aid| aid.eyes.minutes),
        longest(|aid| aid.skin.minutes),
        None,
        None,
    ];
    let told = [
        of_family.map(|aid| (aid.eyes.text.clone(), &aid.eyes.from)),
        of_family.map(|aid| (aid.skin.text.clone(), &aid.skin.from)),
        of_family.map(|aid| (aid.breathed.text.clone(), &aid.breathed.from)),
        of_family.map(|aid| (aid.swallowed.text.clone(), &aid.swallowed.from)),
    ];
    let own = &mut chemical.first_aid;
    let slots = [
        (&mut own.eyes, Datum::FirstAidEyes),
        (&mut own.skin, Datum::FirstAidSkin),
        (&mut own.breathed, Datum::FirstAidBreathed),
        (&mut own.swallowed, Datum::FirstAidSwallowed),
    ];
    let mut replaced = Vec::new();
    for ((((slot, datum), route), told), rinse) in slots
        .into_iter()
        .zip(crate::data_sheet::says::ROUTES)
        .zip(told)
        .zip(rinses)
    {
        let said = ruling.sheet.says.first_aid.get(route).map(String::as_str);
        let shorter =
            said.and_then(compare::minutes) < rinse && said.and_then(compare::minutes).is_some();
        let change = if shorter {
            Change::Milder
        } else {
            Change::Other
        };
        let had_own = slot.is_some();
        let gave_way = ruling.text(slot, said, datum, change);
        let family = told.filter(|_| !had_own).zip(said);
        let family = family.filter(|((text, _), said)| !same_words(text, said));
        replaced.extend(gave_way.or_else(|| {
            family.map(|((text, from), said)| {
                let timed = rinse.filter(|minutes| *minutes > 0);
                let before = timed.map_or(text.clone(), |m| format!("{m} min. {text}"));
                ruling.replaced(datum, (before, from), said.to_owned(), change)
            })
        }));
    }
    replaced
}

//! Catalogue and data sheets → the catalogue in force, what gave way kept beside it.

use super::classes;
use super::{DataSheet, DataSheets, GlovesSaid, compare};
use crate::catalogue::{
    Catalogue, Change, Chemical, Datum, DensityDatum, ExposureLimit, Gloves, Storage, Superseded,
    Text, Transport, fold,
};
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
    gloves,
    first_aid,
    limits,
    density,
    flash_point,
    ph,
    storage,
    transport,
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

fn gloves(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
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

/// Words of its own take the place of its families' for the route; a shorter rinsing time is less
/// care.
fn first_aid(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
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
        .zip(super::says::ROUTES)
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

/// A limit takes the place of one by the same body, over the same time, in the same unit.
fn limits(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let mut replaced = Vec::new();
    for said in &ruling.sheet.says.limits {
        let region = region_of(&said.body, ruling.catalogue);
        let new = ExposureLimit {
            body: said.body.clone(),
            region,
            kind: said.kind.to_owned(),
            value: Some(said.value),
            unit: Some(said.unit.to_owned()),
            fraction: said.fraction.clone(),
            minutes: Some(said.minutes()),
            note: None,
            from: ruling.origin.clone(),
        };
        let is_same = |old: &ExposureLimit| {
            same_words(&old.body, &said.body)
                && old.kind.eq_ignore_ascii_case(said.kind)
                && old.unit.as_deref().is_none_or(|unit| unit == said.unit)
                && (said.fraction.is_none()
                    || old.fraction.is_none()
                    || old.fraction == said.fraction)
        };
        let found = chemical.limits.iter().position(is_same);
        let Some(slot) = found.and_then(|at| chemical.limits.get_mut(at)) else {
            chemical.limits.push(new);
            continue;
        };
        if !yields(&slot.from) {
            continue;
        }
        let old = std::mem::replace(slot, new);
        if old.value != Some(said.value) {
            let change = old.value.map_or(Change::Stricter, |before| {
                compare::lower_is_stricter(before, said.value)
            });
            let before = (limit_shown(&old), &old.from);
            replaced.push(ruling.replaced(Datum::Limit, before, said.to_string(), change));
        }
    }
    replaced
}

fn limit_shown(limit: &ExposureLimit) -> String {
    let figure = match (limit.value, &limit.unit) {
        (Some(value), Some(unit)) => format!("{value} {unit}"),
        _ => "listed without a figure".to_owned(),
    };
    format!("{} {} {figure}", limit.body, limit.kind)
}

/// The region in which the catalogue knows a body to rule; a body it does not know rules nowhere
/// in particular.
fn region_of(body: &str, catalogue: &Catalogue) -> String {
    let known = catalogue
        .chemicals()
        .flat_map(|chemical| &chemical.limits)
        .find(|limit| same_words(&limit.body, body));
    known.map_or_else(String::new, |limit| limit.region.clone())
}

fn density(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let Some(kg_per_l) = ruling.sheet.says.density else {
        return Vec::new();
    };
    if chemical
        .density
        .as_ref()
        .is_some_and(|old| !yields(&old.from))
    {
        return Vec::new();
    }
    let old = chemical.density.replace(DensityDatum {
        kg_per_l,
        at_c: None,
        from: ruling.origin.clone(),
    });
    let differs = |old: &DensityDatum| (old.kg_per_l - kg_per_l).abs() > 5e-4;
    let shown = |value: f64| format!("{value} kg/L");
    old.filter(differs)
        .map(|old| {
            let before = (shown(old.kg_per_l), &old.from);
            ruling.replaced(Datum::Density, before, shown(kg_per_l), Change::Other)
        })
        .into_iter()
        .collect()
}

fn flash_point(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let said = ruling
        .sheet
        .says
        .flash_point
        .map(|point| format!("{point}"));
    let slot = &mut chemical.flash_point;
    let gave_way = ruling.text(slot, said.as_deref(), Datum::FlashPoint, Change::Other);
    gave_way.into_iter().collect()
}

fn ph(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let said = ruling.sheet.says.ph.as_deref();
    let gave_way = ruling.text(&mut chemical.ph, said, Datum::Ph, Change::Other);
    gave_way.into_iter().collect()
}

/// The sentence is the sheet's; what it is kept from and apart from stays as it was.
fn storage(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
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

fn transport(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
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
    let after = transport_shown(&new);
    let Some(old) = chemical.transport.replace(new) else {
        return Vec::new();
    };
    let before = transport_shown(&old);
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

fn transport_shown(transport: &Transport) -> String {
    let number = match transport.un.as_deref() {
        None => "no data",
        Some("none") => "no UN number",
        Some(number) => number,
    };
    let class = transport
        .class
        .as_ref()
        .map(|class| format!("class {class}"));
    let group = transport
        .group
        .as_ref()
        .map(|group| format!("packing group {group}"));
    let parts = [Some(number.to_owned()), class, group];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

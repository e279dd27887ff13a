//! First aid by route, merged over the families of everything that is handled.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::catalogue::{Catalogue, Chemical, Family, OwnFirstAid, Text};
use crate::data_sheet::minutes;
use crate::plan::Plan;
use crate::provenance::Origin;

/// First aid for the session.
#[derive(Debug, Clone, Default)]
pub struct FirstAid {
    /// In the eyes.
    pub eyes: Measure,
    /// On the skin.
    pub skin: Measure,
    /// Breathed in.
    pub breathed: Measure,
    /// Swallowed.
    pub swallowed: Measure,
    /// Signs to watch for, the gravest first: text, and the chemicals it is about.
    pub watch: Vec<(String, Vec<String>, Origin)>,
    /// Spills, the gravest first.
    pub spill: Vec<(String, Vec<String>, Origin)>,
    /// What to say on the phone.
    pub phone: Vec<(String, Origin)>,
}

/// What to do for one route.
#[derive(Debug, Clone, Default)]
pub struct Measure {
    /// The gravest family's words, then what other families add for their own chemicals.
    pub lines: Vec<Line>,
    /// The longest rinsing time asked for, in minutes.
    pub minutes: Option<u32>,
    /// What asks for the longest time.
    pub longest_for: Vec<String>,
}

/// One family's words for a route.
#[derive(Debug, Clone)]
pub struct Line {
    /// The words.
    pub text: String,
    /// The family's title; of several with the same words, the gravest.
    pub family: String,
    /// The chemicals they are for.
    pub chemicals: Vec<String>,
    /// Where they are from.
    pub origin: Origin,
}

/// Families with the chemicals that belong to them, gravest first.
fn families<'c>(
    chemicals: &[Arc<Chemical>],
    catalogue: &'c Catalogue,
) -> Vec<(&'c Family, Vec<Arc<Chemical>>)> {
    let mut found: BTreeMap<&str, Vec<Arc<Chemical>>> = BTreeMap::new();
    for chemical in chemicals {
        for id in &chemical.families {
            if let Some(family) = catalogue.family(id) {
                found
                    .entry(&family.id)
                    .or_default()
                    .push(Arc::clone(chemical));
            }
        }
    }
    let mut families: Vec<(&Family, Vec<Arc<Chemical>>)> = found
        .into_iter()
        .filter_map(|(id, chemicals)| Some((catalogue.family(id)?, chemicals)))
        .collect();
    families.sort_by_key(|(family, _)| std::cmp::Reverse(family.rank));
    families
}

/// First aid for everything that is opened in a session or stands on its bench.
pub fn first_aid(plan: &Plan, catalogue: &Catalogue) -> FirstAid {
    let mut chemicals = plan.chemicals();
    chemicals.extend(plan.bench.iter().cloned());
    first_aid_for(&chemicals, catalogue)
}

/// Merges the families of some chemicals: the gravest family's words first, the longest rinsing time of all.
pub fn first_aid_for(chemicals: &[Arc<Chemical>], catalogue: &Catalogue) -> FirstAid {
    let mut aid = FirstAid::default();
    for (family, chemicals) in families(chemicals, catalogue) {
        let names: Vec<String> = chemicals
            .iter()
            .map(|chemical| chemical.name.clone())
            .collect();
        let routes = &family.first_aid;
        let (eyes, skin) = (&routes.eyes, &routes.skin);
        let told = |measure: &mut Measure, own: Own, text: &str, origin: &Origin| {
            // What is said for one chemical takes the place of what is said for its family.
            let names = without_own(&chemicals, own);
            if !names.is_empty() {
                measure.add(Line {
                    text: text.to_owned(),
                    family: family.title.clone(),
                    chemicals: names,
                    origin: origin.clone(),
                });
            }
        };
        let timed = |measure: &mut Measure, own: Own, minutes: u32| {
            let names = without_own_time(&chemicals, own);
            if !names.is_empty() {
                measure.rinse(minutes, &names);
            }
        };
        timed(&mut aid.eyes, |own| &own.eyes, eyes.minutes);
        timed(&mut aid.skin, |own| &own.skin, skin.minutes);
        told(&mut aid.eyes, |own| &own.eyes, &eyes.text, &eyes.from);
        told(&mut aid.skin, |own| &own.skin, &skin.text, &skin.from);
        let (breathed, swallowed) = (&routes.breathed, &routes.swallowed);
        told(
            &mut aid.breathed,
            |own| &own.breathed,
            &breathed.text,
            &breathed.from,
        );
        told(
            &mut aid.swallowed,
            |own| &own.swallowed,
            &swallowed.text,
            &swallowed.from,
        );
        for watch in &family.watch {
            push(&mut aid.watch, &watch.text, &names, &watch.from);
        }
        push(
            &mut aid.spill,
            &family.spill.text,
            &names,
            &family.spill.from,
        );
        aid.phone.extend(
            family
                .tell_the_phone
                .iter()
                .map(|t| (t.text.clone(), t.from.clone())),
        );
    }
    for chemical in chemicals {
        aid.eyes.add_own(chemical, |own| &own.eyes);
        aid.skin.add_own(chemical, |own| &own.skin);
        aid.breathed.add_own(chemical, |own| &own.breathed);
        aid.swallowed.add_own(chemical, |own| &own.swallowed);
    }
    aid
}

/// The words for one route that are a chemical's own.
type Own = fn(&OwnFirstAid) -> &Option<Text>;

fn without_own(chemicals: &[Arc<Chemical>], own: Own) -> Vec<String> {
    let without = chemicals.iter().filter(|c| own(&c.first_aid).is_none());
    without.map(|chemical| chemical.name.clone()).collect()
}

/// Words that name no time leave the family's time in force.
fn without_own_time(chemicals: &[Arc<Chemical>], own: Own) -> Vec<String> {
    let time = |chemical: &Chemical| minutes(&own(&chemical.first_aid).as_ref()?.text);
    let without = chemicals.iter().filter(|chemical| time(chemical).is_none());
    without.map(|chemical| chemical.name.clone()).collect()
}

fn push(
    list: &mut Vec<(String, Vec<String>, Origin)>,
    text: &str,
    names: &[String],
    origin: &Origin,
) {
    match list.iter_mut().find(|(known, _, _)| known == text) {
        Some((_, known, _)) => add_names(known, names),
        None => list.push((text.to_owned(), names.to_vec(), origin.clone())),
    }
}

fn add_names(known: &mut Vec<String>, names: &[String]) {
    for name in names {
        if !known.contains(name) {
            known.push(name.clone());
        }
    }
}

impl Measure {
    /// The longest time asked for stands.
    fn rinse(&mut self, minutes: u32, names: &[String]) {
        if Some(minutes) > self.minutes {
            self.minutes = Some(minutes);
            self.longest_for.clear();
        }
        if Some(minutes) == self.minutes {
            add_names(&mut self.longest_for, names);
        }
    }

    /// Words said for one chemical, after those that are said for whatever it was.
    fn add_own(&mut self, chemical: &Chemical, own: Own) {
        let Some(said) = own(&chemical.first_aid) else {
            return;
        };
        let name = chemical.name.clone();
        if let Some(time) = minutes(&said.text) {
            self.rinse(time, std::slice::from_ref(&name));
        }
        self.add(Line {
            text: said.text.clone(),
            family: name.clone(),
            chemicals: vec![name],
            origin: said.from.clone(),
        });
    }

    fn add(&mut self, line: Line) {
        match self.lines.iter_mut().find(|known| known.text == line.text) {
            Some(known) => add_names(&mut known.chemicals, &line.chemicals),
            None => self.lines.push(line),
        }
    }
}

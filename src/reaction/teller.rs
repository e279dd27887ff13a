//! What is said of two things in one vessel: the rules of the table, and the gases computed.

use std::collections::BTreeSet;

use crate::air::Gases;
use crate::catalogue::{Catalogue, Reaction};
use crate::chemistry::{Bath, Chemistry};
use crate::finding::Severity;
use crate::provenance::Origin;

use super::limits::limits;
use super::most::Most;
use super::{Event, GasInRoom, Party, Room, severity};

/// A gas that leaves one of the two just as well without the other.
const NO_MORE_THAN_ALONE: f64 = 1.02;

/// What is needed to tell what happens.
pub(super) struct Teller<'t> {
    pub a: &'t Party,
    pub b: &'t Party,
    pub room: Room,
    pub chemistry: &'t Chemistry,
    pub known: &'t Gases,
    /// The most of each gas that leaves.
    pub leaving: Vec<Most>,
    /// Whether that was sought over all ratios of the two.
    pub every_ratio: bool,
    /// The two together, where their pH could be computed.
    pub computed: Option<&'t Bath>,
}

impl Teller<'_> {
    /// Everything that happens, in no order.
    pub fn events(&self, catalogue: &Catalogue) -> Vec<Event> {
        let mut events: Vec<Event> = self.anything(catalogue);
        for rule in catalogue
            .reactions()
            .iter()
            .filter(|rule| self.applies(rule))
        {
            let event = self.of_rule(rule);
            // Of several rules for one consequence and gas the gravest speaks.
            match events.iter_mut().find(|other| same(other, &event)) {
                Some(other) if other.severity >= event.severity => {}
                Some(other) => *other = event,
                None => events.push(event),
            }
        }
        for most in self.leaving.iter().filter(|most| self.counts(most)) {
            let told = |event: &Event| {
                let gas = event.gas.as_ref();
                gas.is_some_and(|told| told.name == most.name)
            };
            if !events.iter().any(told) {
                events.extend(self.of_gas(most));
            }
        }
        once_each(&mut events);
        events
    }

    fn applies(&self, rule: &Reaction) -> bool {
        let meets = |one: &Party, other: &Party| one.is_a(rule) && other.is_b(rule);
        meets(self.a, self.b) || meets(self.b, self.a)
    }

    fn of_rule(&self, rule: &Reaction) -> Event {
        let gas = rule.gas.as_ref().map(|name| self.in_room(name));
        let mut weight = severity(rule, self.a.is_dilute() && self.b.is_dilute());
        let mut why = rule.text.clone();
        if let Some(gas) = &gas {
            let leaves = gas
                .greatest_g
                .or(gas.from_known_g)
                .is_some_and(|grams| grams > 0.0);
            if leaves && gas.may_harm() {
                weight = Severity::Stop;
            }
            if gas.greatest_g == Some(0.0) {
                why.push_str(if self.every_ratio {
                    " By the equilibrium none leaves, whatever the ratio of these two; stronger ones can give it off."
                } else {
                    " By the equilibrium none leaves in these amounts; another ratio can give it off."
                });
            }
        }
        Event {
            consequence: rule.consequence.clone(),
            gas,
            severity: weight,
            why,
            advice: rule.advice.clone(),
            rule: Some(rule.id.clone()),
            origins: vec![rule.from.clone()],
        }
    }

    /// Where something may be anything, it is the worst that could meet the other.
    fn anything(&self, catalogue: &Catalogue) -> Vec<Event> {
        [(self.a, self.b), (self.b, self.a)]
            .into_iter()
            .filter(|(unknown, _)| unknown.may_be_anything())
            .map(|(unknown, other)| of_anything(unknown, other, catalogue))
            .collect()
    }

    /// What leaves one that may meet anything always counts; of other things not known, only the
    /// rules of their stream say what they do.
    fn counts(&self, most: &Most) -> bool {
        !most.open || self.a.may_be_anything() || self.b.may_be_anything()
    }

    /// A gas that no rule of the table speaks of.
    fn of_gas(&self, most: &Most) -> Option<Event> {
        let gas = most.ways.first()?;
        let in_room = self.in_room(&most.name);
        let alone = self.alone(&most.name);
        let by_itself = in_room
            .greatest_g
            .is_some_and(|grams| grams <= alone * NO_MORE_THAN_ALONE);
        let weight = match (in_room.may_harm(), by_itself) {
            (true, false) => Severity::Stop,
            _ => Severity::Attention,
        };
        let (told, advice) = if by_itself {
            (
                "; it leaves just as well without the other",
                "Lids on, fan running.",
            )
        } else {
            ("", "Do not pour the two together. Lids on, fan running.")
        };
        let why = format!("{}{told}.", capitalised(&gas.why));
        Some(Event {
            consequence: if in_room.may_harm() {
                "toxic gas"
            } else {
                "gas"
            }
            .to_owned(),
            gas: Some(in_room),
            severity: weight,
            why,
            advice: advice.to_owned(),
            rule: None,
            origins: gas.origins.clone(),
        })
    }

    /// What leaves either of the two without the other, g.
    fn alone(&self, gas: &str) -> f64 {
        let of = |party: &Party| {
            let Ok(bath) = &party.bath else { return 0.0 };
            let ph = self.chemistry.equilibrium(bath).ph;
            let gases = self.chemistry.gases(bath, &ph);
            gases
                .iter()
                .filter(|found| found.name == gas)
                .map(|found| found.greatest_g)
                .sum()
        };
        of(self.a) + of(self.b)
    }

    fn in_room(&self, name: &str) -> GasInRoom {
        let most = self.leaving.iter().find(|most| most.name == name);
        let grams = most.map_or(0.0, Most::grams);
        let open = most.is_some_and(|most| most.open);
        let reckoned = self
            .computed
            .is_some_and(|bath| self.chemistry.reckons(name, bath));
        let greatest_g = (!open && (reckoned || most.is_some())).then_some(grams);
        let from_known_g = open.then_some(grams);
        let facts = self.known.find(name);
        let in_air = |grams: f64| grams * 1000.0 / self.room.0.m3();
        let worst = most
            .and_then(|most| most.shares)
            .map(|(of_a, of_b)| (self.a.share(of_a).amount, self.b.share(of_b).amount));
        GasInRoom {
            symbol: facts.map_or_else(|| name.to_owned(), |gas| gas.symbol.clone()),
            name: name.to_owned(),
            greatest_g,
            from_known_g,
            worst,
            room_mg_per_m3: greatest_g.or(from_known_g).map(in_air),
            limits: facts.map(limits).unwrap_or_default(),
            traces: most.map_or(Vec::new(), |most| {
                most.ways.iter().map(|gas| gas.trace.clone()).collect()
            }),
        }
    }
}

fn of_anything(unknown: &Party, other: &Party, catalogue: &Catalogue) -> Event {
    let names = unknown
        .unknown
        .as_ref()
        .map_or(String::new(), |unknown| unknown.names.join(", "));
    let rules = catalogue.reactions().iter();
    let could = rules.filter(|rule| !rule.b.is_empty() && (other.is_a(rule) || other.is_b(rule)));
    let results: BTreeSet<&str> = could
        .map(|rule| rule.gas.as_deref().unwrap_or(&rule.consequence))
        .collect();
    let worst = if results.is_empty() {
        String::new()
    } else {
        let results: Vec<&str> = results.into_iter().collect();
        format!(
            " With {} that could be: {}.",
            other.name,
            results.join(", ")
        )
    };
    Event {
        consequence: "unknown contents".to_owned(),
        gas: None,
        severity: Severity::Stop,
        why: format!("Nobody knows what {names} is, so it counts as the worst it could be.{worst}"),
        advice: "Keep it apart, lid on, until somebody knows what it is; do not try it out."
            .to_owned(),
        rule: None,
        origins: vec![Origin::Practice],
    }
}

/// A gas that is told of as such is not told again with the fire or heat it comes from.
fn once_each(events: &mut [Event]) {
    let gases: Vec<String> = events
        .iter()
        .filter(|event| event.consequence.ends_with("gas"))
        .filter_map(|event| Some(event.gas.as_ref()?.name.clone()))
        .collect();
    for event in events
        .iter_mut()
        .filter(|event| !event.consequence.ends_with("gas"))
    {
        if event
            .gas
            .as_ref()
            .is_some_and(|gas| gases.contains(&gas.name))
        {
            event.gas = None;
        }
    }
}

fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

fn same(one: &Event, other: &Event) -> bool {
    let gas = |event: &Event| event.gas.as_ref().map(|gas| gas.name.clone());
    one.consequence == other.consequence && gas(one) == gas(other)
}

//! A session as text → what was written, or every mistake in it.

use std::sync::Arc;

use chrono::NaiveDate;

use crate::source::yaml::{self, Node};
use crate::source::{Fields, Mistake, Mistakes, SourceFile};

use super::Written;
use super::bath::{self};
use super::recipe::{each, is_recipe, written};

use super::written::{Air, Make, Person, Session, top};

const FIELDS: &[&str] = &[
    "title", "date", "people", "make", "sheets", "plates", "rolls", "wear", "air", "alone", "jars",
    "bench", "water", "scale", "note",
];

impl Session {
    /// Reads a session.
    ///
    /// # Errors
    /// Everything in the file that cannot be taken as it stands.
    pub fn read(file: &Arc<SourceFile>) -> Result<Self, Vec<Mistake>> {
        match Self::read_partly(file) {
            (Some(session), mistakes) if mistakes.is_empty() => Ok(session),
            (_, mistakes) => Err(mistakes),
        }
    }

    /// Reads what can be read, and everything that cannot: so that names in a file with mistakes
    /// can still be looked up and all be reported in one run.
    pub fn read_partly(file: &Arc<SourceFile>) -> (Option<Self>, Vec<Mistake>) {
        let node = match yaml::parse(file) {
            Ok(node) => node,
            Err(mistake) => return (None, vec![mistake]),
        };
        let mut mistakes = Mistakes::default();
        let session = read(file, &node, &mut mistakes);
        (session, mistakes.into_list())
    }
}

fn read(file: &Arc<SourceFile>, node: &Node, mistakes: &mut Mistakes) -> Option<Session> {
    if is_recipe(node) {
        let help = "name it in a session under `make`, or ask `wetside solution` about it alone";
        mistakes.note(Mistake::at(
            top(file),
            "this is a recipe, and a session is wanted here",
            help,
        ));
        return None;
    }
    let fields = Fields::of(node, "a session", FIELDS, mistakes)?;
    let title = fields
        .text("title", mistakes)
        .unwrap_or_else(|| "Mixing session".to_owned());
    let makes = fields.filled_list("make", "[{recipe: acetic-stop, volume: 1 L}]", mistakes);
    Some(Session {
        file: Arc::clone(file),
        title,
        date: fields.get("date").and_then(|node| date(node, mistakes)),
        people: fields
            .list("people")
            .iter()
            .filter_map(|node| person(node, mistakes))
            .collect(),
        make: makes
            .iter()
            .filter_map(|node| make(node, mistakes))
            .collect(),
        sheets: bath::sheets(&fields, "sheets", mistakes),
        plates: bath::sheets(&fields, "plates", mistakes),
        rolls: written(&fields, "rolls", mistakes),
        wear: texts(&fields, "wear", mistakes),
        air: fields
            .get("air")
            .and_then(|node| air(node, mistakes))
            .unwrap_or_default(),
        alone: fields
            .get("alone")
            .and_then(|node| yes_or_no(node, mistakes)),
        jars: texts(&fields, "jars", mistakes),
        bench: texts(&fields, "bench", mistakes),
        water: written(&fields, "water", mistakes),
        scale: written(&fields, "scale", mistakes),
        note: fields.text("note", mistakes),
    })
}

pub(super) fn texts(
    fields: &Fields<'_>,
    name: &str,
    mistakes: &mut Mistakes,
) -> Vec<Written<String>> {
    each(fields, name, mistakes, |node, mistakes| {
        node.plain(mistakes).map(str::to_owned)
    })
}

fn date(node: &Node, mistakes: &mut Mistakes) -> Option<NaiveDate> {
    let text = node.plain(mistakes)?;
    let date = NaiveDate::parse_from_str(text.trim(), "%Y-%m-%d").ok();
    if date.is_none() {
        let message = format!("`{text}` is not a date");
        mistakes.note(Mistake::at(
            node.place.clone(),
            message,
            "write year-month-day, like `2026-12-03`",
        ));
    }
    date
}

fn person(node: &Node, mistakes: &mut Mistakes) -> Option<Person> {
    if let Some(name) = node.text() {
        return Some(Person {
            name: name.to_owned(),
            role: None,
            count: 1,
            age: None,
        });
    }
    let fields = Fields::of(
        node,
        "a person",
        &["name", "role", "count", "age"],
        mistakes,
    )?;
    fields.required("name", "Ilse", mistakes);
    let count = fields
        .get("count")
        .and_then(|node| head_count(node, mistakes))
        .unwrap_or(1);
    let age = fields.get("age").and_then(|node| age(node, mistakes));
    let role = fields.text("role", mistakes);
    Some(Person {
        name: fields.text("name", mistakes)?,
        role,
        count,
        age,
    })
}

/// 1 to 120 years.
fn age(node: &Node, mistakes: &mut Mistakes) -> Option<u32> {
    let text = node.plain(mistakes)?;
    let age = text.trim().parse().ok().filter(|n| (1..=120).contains(n));
    if age.is_none() {
        let message = format!("`{text}` is not an age in years");
        let help = "write a whole number from 1 to 120; for a group, the youngest";
        mistakes.note(Mistake::at(node.place.clone(), message, help));
    }
    age
}

/// 1 to 1000 people.
fn head_count(node: &Node, mistakes: &mut Mistakes) -> Option<u32> {
    let text = node.plain(mistakes)?;
    let count = text.trim().parse().ok().filter(|n| (1..=1000).contains(n));
    if count.is_none() {
        let message = format!("`{text}` is not a number of people");
        let help = "write a whole number from 1 to 1000";
        mistakes.note(Mistake::at(node.place.clone(), message, help));
    }
    count
}

fn make(node: &Node, mistakes: &mut Mistakes) -> Option<Make> {
    let fields = Fields::of(
        node,
        "a solution to make",
        &["recipe", "volume", "in", "into", "tray"],
        mistakes,
    )?;
    fields.required("recipe", "acetic-stop", mistakes);
    let recipe = written(&fields, "recipe", mistakes);
    let make = Make {
        volume: written(&fields, "volume", mistakes),
        vessel: written(&fields, "in", mistakes),
        into: written(&fields, "into", mistakes),
        tray: fields
            .get("tray")
            .and_then(|node| bath::tray(node, mistakes)),
        recipe: recipe?,
    };
    let nothing = make
        .volume
        .as_ref()
        .is_some_and(|volume| volume.value.litres() <= 0.0);
    if nothing {
        let message = "nothing would be made";
        mistakes.note(Mistake::at(
            fields.place().clone(),
            message,
            "give the volume wanted, like `volume: 1 L`",
        ));
    }
    Some(make)
}

pub(super) fn air(node: &Node, mistakes: &mut Mistakes) -> Option<Air> {
    let fields = Fields::of(
        node,
        "the air",
        &["fresh_air", "fan", "blows", "inlet", "window"],
        mistakes,
    )?;
    Some(Air {
        fresh_air: written(&fields, "fresh_air", mistakes),
        blows: one_of(&fields, "blows", &["outdoors", "same room"], mistakes),
        inlet: one_of(&fields, "inlet", &["open", "none"], mistakes),
        fan: written(&fields, "fan", mistakes),
        window: one_of(&fields, "window", &["open", "shut"], mistakes),
    })
}

/// One of a few words.
pub(super) fn one_of(
    fields: &Fields<'_>,
    name: &str,
    known: &[&str],
    mistakes: &mut Mistakes,
) -> Option<Written<String>> {
    let found: Written<String> = written(fields, name, mistakes)?;
    if known.contains(&found.value.as_str()) {
        return Some(found);
    }
    let message = format!("`{}` cannot stand under `{name}`", found.value);
    let help = format!("write one of {}", known.join(", "));
    mistakes.note(Mistake::at(found.place, message, help));
    None
}

pub(super) fn yes_or_no(node: &Node, mistakes: &mut Mistakes) -> Option<Written<bool>> {
    let text = node.plain(mistakes)?;
    let value = match text.to_lowercase().as_str() {
        "yes" | "true" => true,
        "no" | "false" => false,
        _ => {
            let message = format!("`{text}` is neither yes nor no");
            mistakes.note(Mistake::at(
                node.place.clone(),
                message,
                "write `yes` or `no`",
            ));
            return None;
        }
    };
    Some(Written {
        value,
        place: node.place.clone(),
    })
}

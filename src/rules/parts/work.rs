//! What a place forbids, and what it asks for at work.

use crate::source::yaml::Node;
use crate::source::{Fields, nearest};
use crate::units::{AirFlow, UnitError, read_quantity};

use crate::rules::read::{Reader, short};
use crate::rules::{Age, Forbid, Need, Require, Rule, Target};

pub(in crate::rules) fn forbid(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Forbid>> {
    let one = |node: &Node, reader: &mut Reader<'_, '_>| -> Option<Rule<Forbid>> {
        let known = ["what", "why", "authority"];
        if let Some((key, value)) = short(node, &known) {
            let target = Target::read(key, reader.built_in.catalogue, reader.mistakes)?;
            return Some(Rule {
                what: Forbid { target },
                why: reader.text(Some(value)),
                authority: None,
                place: key.place.clone(),
            });
        }
        if node.text().is_some() {
            reader.wrong(
                node,
                "what is forbidden needs a reason",
                "write `- chrome alum: not in this school`",
            );
            return None;
        }
        let fields = reader.fields(node, "what is forbidden", &["what"])?;
        let what = fields.required("what", "chrome alum", reader.mistakes);
        fields.required("why", "not in this school", reader.mistakes);
        let target = Target::read(what?, reader.built_in.catalogue, reader.mistakes)?;
        Some(reader.rule(Forbid { target }, &fields))
    };
    nodes.iter().filter_map(|node| one(node, reader)).collect()
}

const NEEDS: [&str; 7] = [
    "wear",
    "ventilation",
    "supervision",
    "second_person",
    "eyewash",
    "spill_kit",
    "for",
];

pub(in crate::rules) fn require(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Require>> {
    nodes
        .iter()
        .flat_map(|node| required(node, reader))
        .collect()
}

/// One entry may ask for several things; each is a rule of its own.
fn required(node: &Node, reader: &mut Reader<'_, '_>) -> Vec<Rule<Require>> {
    let Some(fields) = reader.fields(node, "a requirement", &NEEDS) else {
        return Vec::new();
    };
    let about = about(&fields, reader);
    let mut needs: Vec<Need> = Vec::new();
    for item in fields.list("wear") {
        needs.extend(worn(item, reader));
    }
    needs.extend(
        fields
            .get("ventilation")
            .and_then(|node| ventilation(node, reader)),
    );
    needs.extend(
        fields
            .get("supervision")
            .and_then(|node| supervision(node, reader)),
    );
    for (name, need) in [
        ("second_person", Need::SecondPerson),
        ("eyewash", Need::Eyewash),
        ("spill_kit", Need::SpillKit),
    ] {
        let asked = fields.get(name).is_some_and(|node| yes(node, reader));
        needs.extend(asked.then_some(need));
    }
    if needs.is_empty() && reader.mistakes.is_empty() {
        reader.wrong(
            node,
            "this requires nothing",
            "add `wear`, `ventilation`, `supervision`, `second_person`, `eyewash` or `spill_kit`",
        );
    }
    let rule = |need| {
        let about = about.clone();
        reader.rule(Require { need, about }, &fields)
    };
    needs.into_iter().map(rule).collect()
}

pub(super) fn about(fields: &Fields<'_>, reader: &mut Reader<'_, '_>) -> Option<Target> {
    Target::read(
        fields.get("for")?,
        reader.built_in.catalogue,
        reader.mistakes,
    )
}

fn worn(node: &Node, reader: &mut Reader<'_, '_>) -> Option<Need> {
    let name = node.plain(reader.mistakes)?.trim().to_owned();
    let catalogue = reader.built_in.catalogue;
    if let Some(item) = catalogue.wear_item(&name) {
        return Some(Need::Wear(item.id.clone()));
    }
    let names = catalogue.wear_items().flat_map(|item| item.names.iter());
    let help = match nearest(&name, names.map(String::as_str)) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "name it as in `wear` of a session".to_owned(),
    };
    reader.wrong(
        node,
        format!("`{name}` is nothing to wear that is known here"),
        help,
    );
    None
}

const CHANGES: &[(&[&str], f64)] = &[(
    &[
        "changes/h",
        "changes per hour",
        "changes an hour",
        "air changes/h",
        "air changes per hour",
        "ach",
        "/h",
    ],
    1.0,
)];

/// `10 changes/h` or `150 m3/h`.
fn ventilation(node: &Node, reader: &mut Reader<'_, '_>) -> Option<Need> {
    let text = node.plain(reader.mistakes)?;
    let changes = read_quantity(
        text,
        "ventilation",
        CHANGES,
        "changes/h and m3/h",
        "10 changes/h",
    );
    let need = match changes {
        Ok(changes) if changes > 0.0 && changes <= 1000.0 => Ok(Need::Changes(changes)),
        Ok(_) => Err(format!(
            "`{text}` is out of range: more than 0, at most 1000 changes/h"
        )),
        Err(UnitError::UnknownUnit { .. }) => text
            .parse::<AirFlow>()
            .map(Need::FreshAir)
            .map_err(|error| error.to_string()),
        Err(other) => Err(other.to_string()),
    };
    need.map_err(|message| reader.wrong(node, message, "write `10 changes/h` or `150 m3/h`"))
        .ok()
}

fn supervision(node: &Node, reader: &mut Reader<'_, '_>) -> Option<Need> {
    let text = node.plain(reader.mistakes)?.trim().to_owned();
    match text.as_str() {
        "yes" | "true" => Some(Need::Supervision(String::new())),
        "no" | "false" => {
            reader.wrong(
                node,
                "a requirement asks for something",
                "write `yes`, or the role that must be there, or remove the line",
            );
            None
        }
        _ => Some(Need::Supervision(text)),
    }
}

fn yes(node: &Node, reader: &mut Reader<'_, '_>) -> bool {
    let yes = matches!(node.text(), Some("yes" | "true"));
    if !yes {
        reader.wrong(
            node,
            "a requirement asks for something",
            "write `yes`, or remove the line",
        );
    }
    yes
}

pub(in crate::rules) fn ages(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Age>> {
    let one = |node: &Node, reader: &mut Reader<'_, '_>| -> Option<Rule<Age>> {
        let fields = reader.fields(node, "an age", &["for", "at_least"])?;
        let at_least = fields.required("at_least", "16", reader.mistakes)?;
        let years = at_least
            .plain(reader.mistakes)?
            .trim()
            .trim_end_matches("years")
            .trim();
        let about = about(&fields, reader);
        match years
            .parse::<u32>()
            .ok()
            .filter(|years| (1..=99).contains(years))
        {
            Some(at_least) => Some(reader.rule(Age { about, at_least }, &fields)),
            None => {
                let message = format!("`{years}` is not an age in years");
                reader.wrong(at_least, message, "write a whole number from 1 to 99");
                None
            }
        }
    };
    nodes.iter().filter_map(|node| one(node, reader)).collect()
}

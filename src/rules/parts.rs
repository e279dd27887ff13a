//! The parts of a rule file, one reader a part.

use crate::air::LimitKind;
use crate::catalogue::Named;
use crate::source::yaml::{Node, Value};
use crate::source::{Fields, nearest};
use crate::units::{AirFlow, Duration, UnitError, read_quantity};

use super::read::{Reader, short};
use super::{
    Age, Concentration, Days, Document, Drain, DrainIs, Emergency, Forbid, Label, LabelOn, Limit,
    Need, Records, Require, Retention, Rule, Target, TextRule,
};

const KINDS: [(&str, LimitKind); 3] = [
    ("twa", LimitKind::WorkingDay),
    ("stel", LimitKind::ShortTerm),
    ("ceiling", LimitKind::Ceiling),
];

pub(super) fn limits(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Limit>> {
    nodes.iter().flat_map(|node| limit(node, reader)).collect()
}

fn limit(node: &Node, reader: &mut Reader<'_, '_>) -> Vec<Rule<Limit>> {
    let known = ["chemical", "twa", "stel", "ceiling"];
    let Some(fields) = reader.fields(node, "an exposure limit", &known) else {
        return Vec::new();
    };
    let chemical = fields.required("chemical", "sulfur dioxide", reader.mistakes);
    let named = chemical.and_then(|node| in_air(node, reader));
    let mut found = Vec::new();
    for (name, kind) in KINDS {
        let value = fields.parse::<Concentration>(name, reader.mistakes);
        if let (Some(value), Some((name, gas, chemical))) = (value, &named) {
            let limit = Limit {
                name: name.clone(),
                gas: gas.clone(),
                chemical: chemical.clone(),
                kind,
                value,
            };
            let mut rule = reader.rule(limit, &fields);
            rule.place = fields
                .get(KINDS.iter().find(|k| k.1 == kind).map_or("", |k| k.0))
                .map_or(rule.place, |node| node.place.clone());
            found.push(rule);
        }
    }
    if !KINDS.iter().any(|(name, _)| fields.get(name).is_some()) {
        reader.wrong(
            node,
            "this limit sets no value",
            "add `twa`, `stel` or `ceiling`, like `twa: 1 mg/m3`",
        );
    }
    found
}

type InAir = (String, Option<String>, Option<String>);

/// A gas of the list, a chemical of the catalogue, or both.
fn in_air(node: &Node, reader: &mut Reader<'_, '_>) -> Option<InAir> {
    let name = node.plain(reader.mistakes)?.trim().to_owned();
    let gases = reader.built_in.gases;
    let catalogue = reader.built_in.catalogue;
    let gas = gases.find(&name).map(|gas| gas.id.clone());
    let chemical = match catalogue.named(&name) {
        Some(Named::Entry(chemical)) => Some(chemical.root().to_owned()),
        Some(Named::Bare(forms)) => forms.first().map(|root| root.root().to_owned()),
        _ => None,
    };
    if gas.is_none() && chemical.is_none() {
        let message = format!("`{name}` is neither a gas nor a chemical known here");
        let near = gases.nearest(&name).or_else(|| catalogue.nearest(&name));
        let help = near.map_or_else(
            || "name it as on its label, or by its CAS number".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
        reader.wrong(node, message, help);
        return None;
    }
    Some((name, gas, chemical))
}

pub(super) fn forbid(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Forbid>> {
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

pub(super) fn require(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Require>> {
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

fn about(fields: &Fields<'_>, reader: &mut Reader<'_, '_>) -> Option<Target> {
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

pub(super) fn drain(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Drain>> {
    let one = |node: &Node, reader: &mut Reader<'_, '_>| -> Option<Rule<Drain>> {
        let known = ["stream", "is", "conditions"];
        if let Some((key, value)) = short(node, &["stream", "is", "conditions", "why", "authority"])
        {
            let (stream, is) = (stream(key, reader), drain_is(value, None, reader));
            return Some(Rule {
                what: Drain {
                    stream: stream?,
                    is: is?,
                },
                why: None,
                authority: None,
                place: key.place.clone(),
            });
        }
        let fields = reader.fields(node, "a drain rule", &known)?;
        let named = fields.required("stream", "spent-fixer", reader.mistakes);
        let is = fields.required("is", "none", reader.mistakes);
        let conditions = fields.text("conditions", reader.mistakes);
        let stream = named.and_then(|node| stream(node, reader));
        let is = is.and_then(|node| drain_is(node, conditions, reader));
        Some(reader.rule(
            Drain {
                stream: stream?,
                is: is?,
            },
            &fields,
        ))
    };
    nodes.iter().filter_map(|node| one(node, reader)).collect()
}

fn drain_is(
    node: &Node,
    conditions: Option<String>,
    reader: &mut Reader<'_, '_>,
) -> Option<DrainIs> {
    let help = "write `none`, `ask`, or `conditions` with the conditions and the `authority` of the permit; no rule here allows a drain";
    match (node.plain(reader.mistakes)?.trim(), conditions) {
        ("none" | "no", None) => Some(DrainIs::None),
        ("ask", None) => Some(DrainIs::Ask),
        ("conditions", Some(text)) => Some(DrainIs::Conditions(text)),
        ("conditions", None) => {
            reader.wrong(
                node,
                "the conditions are not said",
                "add `conditions: …`, as the permit has them",
            );
            None
        }
        ("none" | "no" | "ask", Some(_)) => {
            reader.wrong(node, "this contradicts the `conditions` beside it", help);
            None
        }
        (other, _) => {
            reader.wrong(node, format!("`{other}` says nothing of a drain"), help);
            None
        }
    }
}

fn stream(node: &Node, reader: &mut Reader<'_, '_>) -> Option<String> {
    let name = node.plain(reader.mistakes)?.trim().to_owned();
    let catalogue = reader.built_in.catalogue;
    if let Some(stream) = catalogue.stream(&name) {
        return Some(stream.id.clone());
    }
    let ids: Vec<&str> = catalogue
        .streams()
        .map(|stream| stream.id.as_str())
        .collect();
    let message = format!("`{name}` is no waste stream known here");
    let help = match nearest(&name, ids.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("streams are {}", ids.join(", ")),
    };
    reader.wrong(node, message, help);
    None
}

pub(super) fn days(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Days>> {
    let one = |node: &Node, reader: &mut Reader<'_, '_>| -> Option<Rule<Days>> {
        if let Some((key, value)) = short(node, &["stream", "at_most", "why", "authority"]) {
            let (stream, span) = (stream(key, reader), span(value, reader));
            return Some(Rule {
                what: Days {
                    stream: stream?,
                    at_most: span?,
                },
                why: None,
                authority: None,
                place: value.place.clone(),
            });
        }
        let fields = reader.fields(node, "a time limit", &["stream", "at_most"])?;
        let named = fields.required("stream", "spent-fixer", reader.mistakes);
        let at_most = fields.required("at_most", "90 days", reader.mistakes);
        let stream = named.and_then(|node| stream(node, reader));
        let at_most = at_most.and_then(|node| span(node, reader));
        Some(reader.rule(
            Days {
                stream: stream?,
                at_most: at_most?,
            },
            &fields,
        ))
    };
    nodes.iter().filter_map(|node| one(node, reader)).collect()
}

/// Whole days.
fn span(node: &Node, reader: &mut Reader<'_, '_>) -> Option<f64> {
    let span: Duration = node.parse(reader.mistakes)?;
    Some(span.days().floor())
}

pub(super) fn labels(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Label>> {
    let one = |node: &Node, reader: &mut Reader<'_, '_>| -> Option<Rule<Label>> {
        let fields = reader.fields(node, "a line on labels", &["on", "for", "text"])?;
        let on = match fields.get("on").map(|node| (node, node.text())) {
            None | Some((_, Some("all"))) => LabelOn::All,
            Some((_, Some("bottle"))) => LabelOn::Bottle,
            Some((_, Some("waste"))) => LabelOn::Waste,
            Some((node, _)) => {
                reader.wrong(
                    node,
                    "this is no kind of label",
                    "write `bottle`, `waste` or `all`",
                );
                return None;
            }
        };
        let about = about(&fields, reader);
        let text = fields.required("text", "Property of the print room.", reader.mistakes);
        let text = reader.text(text)?;
        Some(reader.rule(Label { on, about, text }, &fields))
    };
    nodes.iter().filter_map(|node| one(node, reader)).collect()
}

pub(super) fn emergency(node: &Node, reader: &mut Reader<'_, '_>) -> Option<Rule<Emergency>> {
    let fields = reader.fields(node, "emergency", &["emergency", "poison", "others"])?;
    let other = |node: &Node, reader: &mut Reader<'_, '_>| -> Option<(String, String)> {
        let help = "write `- caretaker: ext. 3`";
        match &node.value {
            Value::Map(pairs) => match pairs.as_slice() {
                [(who, number)] => Some((reader.text(Some(who))?, reader.text(Some(number))?)),
                _ => {
                    reader.wrong(node, "one number stands here, with whose it is", help);
                    None
                }
            },
            _ => {
                reader.wrong(node, "a number needs to say whose it is", help);
                None
            }
        }
    };
    let others = fields
        .list("others")
        .iter()
        .filter_map(|node| other(node, reader))
        .collect();
    let emergency = Emergency {
        emergency: fields.text("emergency", reader.mistakes),
        poison: fields.text("poison", reader.mistakes),
        others,
    };
    Some(reader.rule(emergency, &fields))
}

pub(super) fn ages(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Age>> {
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

pub(super) fn retention(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Retention>> {
    let one = |node: &Node, reader: &mut Reader<'_, '_>| -> Option<Rule<Retention>> {
        let fields = reader.fields(node, "how long records are kept", &["records", "at_least"])?;
        let records = fields.required("records", "waste", reader.mistakes);
        let at_least = fields.required("at_least", "5 years", reader.mistakes);
        let span = at_least.and_then(|node| node.parse::<Duration>(reader.mistakes));
        let records = records.and_then(|node| which_records(node, reader));
        Some(reader.rule(
            Retention {
                records: records?,
                at_least: span?,
            },
            &fields,
        ))
    };
    nodes.iter().filter_map(|node| one(node, reader)).collect()
}

fn which_records(node: &Node, reader: &mut Reader<'_, '_>) -> Option<Records> {
    match node.plain(reader.mistakes)?.trim() {
        "waste" => Some(Records::Waste),
        "briefings" => Some(Records::Briefings),
        "data sheets" | "data-sheets" => Some(Records::DataSheets),
        other => {
            let message = format!("`{other}` are no records known here");
            reader.wrong(node, message, "write `waste`, `briefings` or `data sheets`");
            None
        }
    }
}

pub(super) fn text(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<TextRule>> {
    let one = |node: &Node, reader: &mut Reader<'_, '_>| -> Option<Rule<TextRule>> {
        let fields = reader.fields(node, "a line on documents", &["on", "for", "text"])?;
        fields.required("on", "[sheet, brief]", reader.mistakes);
        let text = fields.required("text", "The key hangs in the office.", reader.mistakes);
        let on: Vec<Document> = fields
            .list("on")
            .iter()
            .flat_map(|node| documents(node, reader))
            .collect();
        let about = about(&fields, reader);
        let text = reader.text(text)?;
        Some(reader.rule(TextRule { on, about, text }, &fields))
    };
    nodes.iter().filter_map(|node| one(node, reader)).collect()
}

fn documents(node: &Node, reader: &mut Reader<'_, '_>) -> Vec<Document> {
    let all = || Document::ALL.iter();
    let Some(name) = node.plain(reader.mistakes) else {
        return Vec::new();
    };
    if name == "all" {
        return all().map(|(_, document)| *document).collect();
    }
    if let Some((_, document)) = all().find(|(other, _)| *other == name) {
        return vec![*document];
    }
    let names: Vec<&str> = all().map(|(name, _)| *name).collect();
    let help = match nearest(name, names.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("write `all`, or some of {}", names.join(", ")),
    };
    reader.wrong(node, format!("`{name}` is no document"), help);
    Vec::new()
}

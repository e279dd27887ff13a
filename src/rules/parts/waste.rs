//! What a place says of waste and the papers about it.

use crate::source::nearest;
use crate::source::yaml::Node;
use crate::units::Duration;

use crate::rules::read::{Reader, short};
use crate::rules::{Days, Drain, DrainIs, Records, Retention, Rule};

pub(in crate::rules) fn drain(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Drain>> {
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

pub(in crate::rules) fn days(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Days>> {
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

pub(in crate::rules) fn retention(
    nodes: &[Node],
    reader: &mut Reader<'_, '_>,
) -> Vec<Rule<Retention>> {
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

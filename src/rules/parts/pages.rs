//! What a place has printed.

use crate::source::nearest;
use crate::source::yaml::{Node, Value};

use super::work::about;
use crate::rules::read::Reader;
use crate::rules::{Document, Emergency, Label, LabelOn, Rule, TextRule};

pub(in crate::rules) fn labels(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Label>> {
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

pub(in crate::rules) fn emergency(
    node: &Node,
    reader: &mut Reader<'_, '_>,
) -> Option<Rule<Emergency>> {
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

pub(in crate::rules) fn text(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<TextRule>> {
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

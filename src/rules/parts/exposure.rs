//! What a place allows in the air.

use crate::air::LimitKind;
use crate::catalogue::Named;
use crate::source::yaml::Node;

use crate::rules::read::Reader;
use crate::rules::{Concentration, Limit, Rule};

const KINDS: [(&str, LimitKind); 3] = [
    ("twa", LimitKind::WorkingDay),
    ("stel", LimitKind::ShortTerm),
    ("ceiling", LimitKind::Ceiling),
];

pub(in crate::rules) fn limits(nodes: &[Node], reader: &mut Reader<'_, '_>) -> Vec<Rule<Limit>> {
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

//! What an entry or a table names must be there, and what goes both ways must do so.

use crate::catalogue::{Catalogue, Chemical, Reaction};

use super::Fault;

const UNITS: &[&str] = &["mg/m3", "ppm"];
const KINDS: &[&str] = &["TWA", "STEL", "ceiling"];

pub(super) fn of_chemical(chemical: &Chemical, catalogue: &Catalogue) -> Vec<Fault> {
    let mut messages = one_sided(chemical, catalogue);
    let named = chemical
        .look_alikes
        .iter()
        .filter_map(|other| other.name.as_deref());
    let known = named.filter(|name| catalogue.named(name).is_some());
    messages.extend(
        known.map(|name| format!("its look-alike `{name}` is in the catalogue: give its id")),
    );
    let away = chemical
        .storage
        .iter()
        .flat_map(|storage| &storage.away_from);
    let unknown = away.filter(|id| catalogue.group(id).is_none());
    messages.extend(
        unknown.map(|id| format!("`storage` keeps it from `{id}`, which is no reactive group")),
    );
    let kinds = chemical
        .unlikely_in
        .iter()
        .flat_map(|unlikely| &unlikely.kinds);
    let unknown = kinds.filter(|kind| catalogue.kind(kind).is_none());
    messages.extend(
        unknown.map(|kind| format!("`unlikely_in` names the kind `{kind}`, which is not there")),
    );
    for limit in &chemical.limits {
        if !KINDS.contains(&limit.kind.as_str()) {
            messages.push(format!(
                "`{}` is no kind of limit; there are {}",
                limit.kind,
                KINDS.join(", ")
            ));
        }
        if limit.value.is_some()
            && !limit
                .unit
                .as_deref()
                .is_some_and(|unit| UNITS.contains(&unit))
        {
            messages.push(format!(
                "the limit of {} has no unit; there are {}",
                limit.body,
                UNITS.join(", ")
            ));
        }
    }
    if chemical.families.is_empty() {
        messages.push("it is in no hazard family: no first aid would be printed".into());
    }
    messages
        .into_iter()
        .map(|message| Fault::of_chemical(&chemical.id, message))
        .collect()
}

/// Whoever mistakes one jar for another may hold either. A form shares its root's look-alikes, so
/// that any form's name answers.
fn one_sided(chemical: &Chemical, catalogue: &Catalogue) -> Vec<String> {
    let others = chemical
        .look_alikes
        .iter()
        .filter_map(|other| catalogue.chemical(other.id.as_deref()?));
    let silent = others.filter(|other| {
        let back = other
            .look_alikes
            .iter()
            .filter_map(|back| catalogue.chemical(back.id.as_deref()?));
        !back.into_iter().any(|back| back.root() == chemical.root())
    });
    silent
        .map(|other| format!("its look-alike `{}` does not name it in turn", other.id))
        .collect()
}

pub(super) fn of_tables(catalogue: &Catalogue) -> Vec<Fault> {
    let mut faults = Vec::new();
    for reaction in catalogue.reactions() {
        faults.extend(reaction_faults(reaction, catalogue));
    }
    for stream in catalogue.streams() {
        let fault = |message| Fault::new("hazards/streams.yaml", message);
        for kind in stream
            .kinds
            .iter()
            .filter(|kind| catalogue.kind(kind).is_none())
        {
            faults.push(fault(format!(
                "`{}` names the kind `{kind}`, which is not there",
                stream.id
            )));
        }
        for id in &stream.never_with {
            let back = catalogue
                .stream(id)
                .map(|other| other.never_with.contains(&stream.id));
            match back {
                None => faults.push(fault(format!(
                    "`{}` names the stream `{id}`, which is not there",
                    stream.id
                ))),
                Some(false) => faults.push(fault(format!(
                    "`{id}` does not keep away from `{}` in turn",
                    stream.id
                ))),
                Some(true) => {}
            }
        }
    }
    faults
}

fn reaction_faults(reaction: &Reaction, catalogue: &Catalogue) -> Vec<Fault> {
    let named = reaction.a.iter().chain(&reaction.b);
    let nowhere =
        named.filter(|id| catalogue.group(id).is_none() && catalogue.chemical(id).is_none());
    let except = reaction
        .except
        .iter()
        .filter(|id| catalogue.chemical(id).is_none());
    let fault = |id: &String| {
        Fault::new(
            "hazards/reactions.yaml",
            format!("`{}` names `{id}`, which is not there", reaction.id),
        )
    };
    nowhere.chain(except).map(fault).collect()
}

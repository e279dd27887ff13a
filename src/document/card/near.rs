//! What it must not meet, and which jars it is taken for.

use serde::Serialize;

use crate::catalogue::{Chemical, Reaction};
use crate::finding::Severity;

use super::super::sheet::Material;
use super::sources::{Cite, Sources};

/// Something it must not meet.
#[derive(Debug, Serialize)]
pub(super) struct MeetView {
    with: String,
    result: String,
    /// What comes of it, in a word or two, where a rule of the reactive groups says so.
    consequence: Option<String>,
    gas: Option<String>,
    advice: Option<String>,
    /// The rule; none where the chemical's own entry says so.
    rule: Option<String>,
    severity: Option<Severity>,
    #[serde(flatten)]
    cite: Cite,
}

/// A jar it is taken for.
#[derive(Debug, Serialize)]
pub(super) struct LookAlikeView {
    id: Option<String>,
    name: String,
    tell: String,
    wrong: String,
    #[serde(flatten)]
    cite: Cite,
}

/// Its own list, then the rules of its reactive groups, worst first.
pub(super) fn meet(
    chemical: &Chemical,
    material: &Material<'_>,
    sources: &mut Sources<'_>,
) -> Vec<MeetView> {
    let own = chemical.must_not_meet.iter().map(|meet| MeetView {
        with: meet.with.clone(),
        result: meet.result.clone(),
        consequence: None,
        gas: None,
        advice: None,
        rule: None,
        severity: None,
        cite: sources.of(&meet.from),
    });
    let mut views: Vec<MeetView> = own.collect();
    let mut rules: Vec<(&Reaction, String)> = Vec::new();
    for reaction in material.catalogue.reactions() {
        rules.extend(partner(reaction, chemical, material).map(|partner| (reaction, partner)));
    }
    rules.sort_by_key(|(reaction, _)| std::cmp::Reverse(reaction.severity));
    views.extend(rules.into_iter().map(|(reaction, with)| MeetView {
        with,
        result: reaction.text.clone(),
        consequence: Some(reaction.consequence.clone()),
        gas: reaction.gas.clone(),
        advice: Some(reaction.advice.clone()),
        rule: Some(reaction.id.clone()),
        severity: Some(reaction.severity),
        cite: sources.of(&reaction.from),
    }));
    views
}

/// The other side of a rule, in words, if the chemical is on one.
fn partner(reaction: &Reaction, chemical: &Chemical, material: &Material<'_>) -> Option<String> {
    let (is_a, is_b) = (reaction.is_a(chemical), reaction.is_b(chemical));
    if !is_a && !is_b {
        return None;
    }
    if let Some(alone) = &reaction.alone {
        return Some(format!("itself, {alone}"));
    }
    if !reaction.vessel.is_empty() {
        return Some(format!(
            "vessels and tools of {}",
            reaction.vessel.join(", ")
        ));
    }
    Some(titles(
        if is_a { &reaction.b } else { &reaction.a },
        material,
    ))
}

fn titles(ids: &[String], material: &Material<'_>) -> String {
    let title = |id: &String| {
        let group = material
            .catalogue
            .group(id)
            .map(|group| group.title.clone());
        let entry = || {
            material
                .catalogue
                .chemical(id)
                .map(|c| c.name_in(material.language).to_owned())
        };
        group.or_else(entry).unwrap_or_else(|| id.clone())
    };
    ids.iter().map(title).collect::<Vec<_>>().join("; ")
}

pub(super) fn look_alikes(
    chemical: &Chemical,
    material: &Material<'_>,
    sources: &mut Sources<'_>,
) -> Vec<LookAlikeView> {
    let view = |other: &crate::catalogue::LookAlike| {
        let entry = other
            .id
            .as_deref()
            .and_then(|id| material.catalogue.chemical(id));
        let name = entry.map(|entry| entry.name_in(material.language).to_owned());
        LookAlikeView {
            id: other.id.clone(),
            name: name.or_else(|| other.name.clone()).unwrap_or_default(),
            tell: other.tell.clone(),
            wrong: other.wrong.clone(),
            cite: sources.of(&other.from),
        }
    };
    chemical.look_alikes.iter().map(view).collect()
}

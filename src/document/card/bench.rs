//! What it does by route, what to wear, first aid, keeping, spilling and getting rid of it.

use std::sync::Arc;

use serde::Serialize;
use serde_json::Value;

use crate::assessment::{Measure, first_aid_for};
use crate::catalogue::{Chemical, Sensitiser, Text};

use super::super::sheet::{Material, Said};
use super::sources::{Cite, Cited, Sources};

/// What it does, by the way it gets in.
#[derive(Debug, Serialize)]
pub(super) struct CautionsView {
    breathing: Option<Cited<String>>,
    skin: Option<Cited<String>>,
    eyes: Option<Cited<String>>,
    swallowing: Option<Cited<String>>,
}

/// Gloves.
#[derive(Debug, Serialize)]
pub(super) struct GlovesView {
    splash: Vec<String>,
    long: Vec<String>,
    unsuitable: Vec<String>,
    letter: Option<String>,
    note: Option<String>,
    #[serde(flatten)]
    cite: Cite,
}

/// First aid.
#[derive(Debug, Serialize)]
pub(super) struct AidView {
    eyes: RouteView,
    skin: RouteView,
    breathed: RouteView,
    swallowed: RouteView,
    watch: Vec<Cited<String>>,
    phone: Vec<Cited<String>>,
}

#[derive(Debug, Serialize)]
struct RouteView {
    /// Rinsing time, at least.
    minutes: Option<u32>,
    lines: Vec<Cited<String>>,
}

/// How it is kept.
#[derive(Debug, Serialize)]
pub(super) struct StorageView {
    keeps_from: Vec<String>,
    away_from: Vec<String>,
    #[serde(flatten)]
    text: Cited<String>,
}

/// Where it goes.
#[derive(Debug, Serialize)]
pub(super) struct DisposalView {
    stream: String,
    stream_title: String,
    container: String,
    #[serde(flatten)]
    text: Cited<String>,
}

pub(super) fn cautions(chemical: &Chemical, sources: &mut Sources<'_>) -> CautionsView {
    let mut said =
        |text: &Option<Text>| text.as_ref().map(|t| sources.cite(t.text.clone(), &t.from));
    let cautions = &chemical.cautions;
    CautionsView {
        breathing: said(&cautions.breathing),
        skin: said(&cautions.skin),
        eyes: said(&cautions.eyes),
        swallowing: said(&cautions.swallowing),
    }
}

pub(super) fn gloves(chemical: &Chemical, sources: &mut Sources<'_>) -> Option<GlovesView> {
    let gloves = chemical.gloves.as_ref()?;
    Some(GlovesView {
        splash: gloves.splash.clone(),
        long: gloves.long.clone(),
        unsuitable: gloves.unsuitable.clone(),
        letter: gloves.letter.clone(),
        note: gloves.note.clone().filter(|note| !note.is_empty()),
        cite: sources.of(&gloves.from),
    })
}

/// What is not known is said, never taken for a no.
pub(super) fn yes_or_no(value: &Value) -> &'static str {
    match value.as_bool() {
        Some(true) => "yes",
        Some(false) => "no",
        None => "no data",
    }
}

pub(super) fn sensitiser(datum: &Sensitiser) -> String {
    let (skin, breathing) = (yes_or_no(&datum.skin), yes_or_no(&datum.breathing));
    let note = datum.note.as_deref().filter(|note| !note.is_empty());
    format!(
        "by skin {skin}, by breathing {breathing}{}",
        note.map_or(String::new(), |note| format!(". {note}"))
    )
}

pub(super) fn first_aid(
    chemical: &Arc<Chemical>,
    material: &Material<'_>,
    sources: &mut Sources<'_>,
) -> AidView {
    let aid = first_aid_for(std::slice::from_ref(chemical), material.catalogue);
    AidView {
        eyes: route(&aid.eyes, sources),
        skin: route(&aid.skin, sources),
        breathed: route(&aid.breathed, sources),
        swallowed: route(&aid.swallowed, sources),
        watch: aid
            .watch
            .iter()
            .map(|(text, _, from)| sources.cite(text.clone(), from))
            .collect(),
        phone: aid
            .phone
            .iter()
            .map(|(text, from)| sources.cite(text.clone(), from))
            .collect(),
    }
}

/// Sentences that were said already are not said again.
fn route(measure: &Measure, sources: &mut Sources<'_>) -> RouteView {
    let mut said = Said::default();
    let fresh = measure
        .lines
        .iter()
        .map(|line| (said.fresh(&line.text), &line.origin));
    RouteView {
        minutes: measure.minutes,
        lines: fresh
            .filter(|(text, _)| !text.is_empty())
            .map(|(text, from)| sources.cite(text, from))
            .collect(),
    }
}

pub(super) fn storage(
    chemical: &Chemical,
    material: &Material<'_>,
    sources: &mut Sources<'_>,
) -> Option<StorageView> {
    let storage = chemical.storage.as_ref()?;
    let title = |id: &String| {
        material
            .catalogue
            .group(id)
            .map_or_else(|| id.clone(), |group| group.title.clone())
    };
    Some(StorageView {
        keeps_from: storage.keeps_from.clone(),
        away_from: storage.away_from.iter().map(title).collect(),
        text: sources.cite(storage.text.clone(), &storage.from),
    })
}

/// Its own words, then its families'.
pub(super) fn spill(
    chemical: &Arc<Chemical>,
    material: &Material<'_>,
    sources: &mut Sources<'_>,
) -> Vec<Cited<String>> {
    let aid = first_aid_for(std::slice::from_ref(chemical), material.catalogue);
    let own = chemical
        .spill
        .iter()
        .map(|spill| (spill.text.as_str(), &spill.from));
    let of_families = aid
        .spill
        .iter()
        .map(|(text, _, from)| (text.as_str(), from));
    let mut said = Said::default();
    own.chain(of_families)
        .map(|(text, from)| (said.fresh(text), from))
        .filter(|(text, _)| !text.is_empty())
        .map(|(text, from)| sources.cite(text, from))
        .collect()
}

pub(super) fn disposal(
    chemical: &Chemical,
    material: &Material<'_>,
    sources: &mut Sources<'_>,
) -> Option<DisposalView> {
    let disposal = chemical.disposal.as_ref()?;
    let stream = material.catalogue.stream(&disposal.stream);
    Some(DisposalView {
        stream: disposal.stream.clone(),
        stream_title: stream.map_or_else(|| disposal.stream.clone(), |stream| stream.title.clone()),
        container: stream
            .map(|stream| stream.container.clone())
            .unwrap_or_default(),
        text: sources.cite(disposal.text.clone(), &disposal.from),
    })
}

pub(super) fn transport(chemical: &Chemical, sources: &mut Sources<'_>) -> Option<Cited<String>> {
    let transport = chemical.transport.as_ref()?;
    let note = transport.note.iter().filter(|note| !note.is_empty());
    let parts: Vec<String> = std::iter::once(transport.shown())
        .chain(note.cloned())
        .collect();
    let text = parts.join(", ");
    Some(sources.cite(text, &transport.from))
}

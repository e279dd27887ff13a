//! The sources a sheet used, each named once.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::assessment::Assessment;
use crate::catalogue::Guidance;
use crate::finding::Severity;
use crate::provenance::{Basis, Origin};

use super::Material;

/// One source.
#[derive(Debug, Serialize)]
pub struct SourceView {
    id: String,
    title: String,
    year: String,
    /// How it was seen, where that was not the whole text.
    read: String,
    at: Vec<String>,
}

pub(super) fn list(
    assessment: &Assessment,
    material: &Material<'_>,
    guidance: &Guidance,
) -> Vec<SourceView> {
    let mut used: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for origin in origins(assessment, guidance) {
        if let Origin::Published { reference, at } = origin {
            used.entry(reference).or_default().insert(at);
        }
    }
    let sheets = data_sheets(&origins(assessment, guidance), material);
    let published = used
        .into_iter()
        .map(|(id, places)| source(id, &places, material));
    sheets.into_iter().chain(published).collect()
}

/// The user's own data sheets, once each.
fn data_sheets(origins: &[&Origin], material: &Material<'_>) -> Vec<SourceView> {
    let sheets = origins.iter().filter_map(|origin| match origin {
        Origin::DataSheet { file, revised } => Some((file, revised)),
        _ => None,
    });
    let view = |(file, revised): (&String, &String)| SourceView {
        id: file.clone(),
        title: format!("§ {} {file}", material.wording.word("data_sheet")),
        year: revised.clone(),
        read: "full".to_owned(),
        at: Vec::new(),
    };
    sheets
        .collect::<BTreeSet<_>>()
        .into_iter()
        .map(view)
        .collect()
}

fn origins<'a>(assessment: &'a Assessment, guidance: &'a Guidance) -> Vec<&'a Origin> {
    let aid = &assessment.first_aid;
    let routes = [&aid.eyes, &aid.skin, &aid.breathed, &aid.swallowed];
    let mut origins: Vec<&Origin> = routes
        .iter()
        .flat_map(|route| &route.lines)
        .map(|line| &line.origin)
        .collect();
    origins.extend(
        assessment
            .chemicals
            .iter()
            .flat_map(|hazards| &hazards.basis)
            .map(|(_, origin)| origin),
    );
    origins.extend(
        assessment
            .wear
            .iter()
            .flat_map(|step| step.needs.values().flatten())
            .map(|need| &need.origin),
    );
    let shown = assessment
        .findings
        .iter()
        .filter(|finding| finding.severity >= Severity::Attention);
    origins.extend(
        shown
            .flat_map(|finding| &finding.basis)
            .flat_map(Basis::origins),
    );
    let gases = assessment.air.work.iter().flat_map(|work| &work.gases);
    origins.extend(gases.filter_map(|gas| Some(&gas.strictest()?.limit.origin)));
    origins.extend(
        guidance
            .air
            .guidance
            .iter()
            .map(|recommendation| &recommendation.from),
    );
    origins
}

fn source(id: &str, places: &BTreeSet<&str>, material: &Material<'_>) -> SourceView {
    let reference = material.catalogue.bibliography().get(id);
    let year = reference
        .and_then(|r| r.year.as_ref())
        .map(|year| year.to_string().trim_matches('"').to_owned());
    SourceView {
        id: id.to_owned(),
        title: reference.map_or_else(|| id.to_owned(), |reference| reference.title.clone()),
        year: year.unwrap_or_default(),
        read: reference.map_or_else(String::new, |reference| {
            format!("{:?}", reference.read).to_lowercase()
        }),
        at: places
            .iter()
            .filter(|at| !at.is_empty())
            .map(|at| (*at).to_owned())
            .collect(),
    }
}

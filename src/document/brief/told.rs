//! Whom it is told to: who asks before, the names on the jars, who signs, and what the law wants told.

use serde::{Deserialize, Serialize};

use crate::assessment::Assessment;
use crate::catalogue::Named;
use crate::provenance::Origin;

use super::super::sheet::{Material, mark};

/// Empty lines to sign on where nobody is named, and the most there are.
const LINES: u32 = 6;
const MOST_LINES: u32 = 40;

/// Whom to ask before, and because of what; never who.
#[derive(Debug, Serialize)]
pub(super) struct PeopleView {
    id: String,
    names: Vec<String>,
}

/// A name as it stands on the jar, and the limits in air.
#[derive(Debug, Serialize)]
pub(super) struct NameView {
    pub(super) name: String,
    cas: Option<String>,
    limits: Vec<String>,
}

/// What a law asks to be told, and where the page tells it.
#[derive(Debug, Serialize)]
pub(super) struct CoverView {
    says: String,
    paragraphs: Vec<String>,
    law: String,
    at: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Cover {
    says: String,
    paragraphs: Vec<String>,
    from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BriefingFile {
    covers: Vec<Cover>,
}

pub(super) fn people(assessment: &Assessment, material: &Material<'_>) -> Vec<PeopleView> {
    let in_language = |name: &str| match material.catalogue.named(name) {
        Some(Named::Entry(chemical)) => chemical.name_in(material.language).to_owned(),
        _ => name.to_owned(),
    };
    let asked = assessment.findings.iter().filter_map(|finding| {
        let id = finding.code.as_str().strip_prefix("people/")?;
        // Findings on single people carry no such list.
        let names = finding.facts.get("all")?.as_array()?;
        Some(PeopleView {
            id: id.to_owned(),
            names: names
                .iter()
                .filter_map(|name| name.as_str().map(in_language))
                .collect(),
        })
    });
    asked.collect()
}

/// Everything that is opened today, with the limits in air of the rules in force.
pub(super) fn names(assessment: &Assessment, material: &Material<'_>) -> Vec<NameView> {
    let region = assessment.plan.setting.rules.first();
    let region = region.map_or("eu", String::as_str);
    let jars = assessment
        .chemicals
        .iter()
        .map(|hazards| &hazards.chemical)
        .filter(|chemical| chemical.id != "water");
    let view = |chemical: &std::sync::Arc<crate::catalogue::Chemical>| {
        let limits = chemical
            .limits
            .iter()
            .filter(|limit| limit.region == region || limit.region == "local");
        let told = limits.filter_map(|limit| {
            let (value, unit) = (limit.value?, limit.unit.as_deref().unwrap_or_default());
            let unit = unit.replace("m3", "m³");
            let origin = mark(&limit.from);
            Some(format!(
                "{} {} {value} {unit}{origin}",
                limit.body, limit.kind
            ))
        });
        NameView {
            name: chemical.name_in(material.language).to_owned(),
            cas: chemical.cas.clone(),
            limits: told.collect(),
        }
    };
    jars.map(view).collect()
}

/// Named people, then an empty line for everyone of a group.
pub(super) fn sign_off(assessment: &Assessment) -> Vec<String> {
    let people = &assessment.plan.people;
    let named = people.iter().filter(|person| person.count == 1);
    let others: u32 = people
        .iter()
        .map(|person| person.count)
        .filter(|count| *count != 1)
        .fold(0, u32::saturating_add);
    let empty = if people.is_empty() {
        LINES
    } else {
        others.min(MOST_LINES)
    };
    named
        .map(|person| person.name.clone())
        .chain((0..empty).map(|_| String::new()))
        .collect()
}

pub(super) fn covers(file: BriefingFile, material: &Material<'_>) -> Vec<CoverView> {
    let view = |cover: Cover| {
        let (id, at) = match cover.from {
            Origin::Published { reference, at } => (reference, at),
            other => (other.kind().to_owned(), String::new()),
        };
        let law = material.catalogue.bibliography().get(&id);
        CoverView {
            says: cover.says,
            paragraphs: cover.paragraphs,
            law: law.map_or(id, |law| law.title.clone()),
            at,
        }
    };
    file.covers.into_iter().map(view).collect()
}

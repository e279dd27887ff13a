//! Classes and on whose word, label elements, exposure limits.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assessment::ChemicalHazards;
use crate::catalogue::{
    AcuteToxicity, Chemical, ClassificationData, DataError, ExposureLimit, MFactors,
};
use crate::provenance::Origin;

use super::super::sheet::Material;
use super::sources::{Cite, Cited, Sources};

/// One class and on whose word.
#[derive(Debug, Serialize)]
pub(super) struct ClassView {
    /// Class and category: `Carc. 2`.
    class: String,
    /// Its statement, or empty.
    statement: String,
    /// As written, with stars and organs.
    written: String,
    /// The same, kept on one line.
    shown: String,
    /// Who says so.
    by: String,
    /// Why it is printed, or not.
    why: String,
    #[serde(flatten)]
    cite: Cite,
}

/// A statement of the label in words.
#[derive(Debug, Serialize)]
pub(super) struct PhraseView {
    code: String,
    text: String,
    /// Not in the language of the card.
    foreign: bool,
    /// Where the class behind it is from; none where the statement follows from another.
    by: Option<Cite>,
}

/// A lethal dose or concentration.
#[derive(Debug, Serialize)]
pub(super) struct DoseView {
    route: String,
    species: Option<String>,
    value: Option<f64>,
    unit: Option<String>,
    shown: String,
    note: Option<String>,
    #[serde(flatten)]
    cite: Cite,
}

/// An exposure limit.
#[derive(Debug, Serialize)]
pub(super) struct LimitView {
    body: String,
    region: String,
    kind: String,
    value: Option<f64>,
    unit: Option<String>,
    fraction: Option<String>,
    minutes: Option<f64>,
    note: Option<String>,
    /// The figure with its unit, or that there is none.
    shown: String,
    /// `8 h`, `15 min` or empty.
    over: String,
    #[serde(flatten)]
    cite: Cite,
}

/// The concentration immediately dangerous to life or health.
#[derive(Debug, Serialize)]
pub(super) struct IdlhView {
    value: Option<f64>,
    unit: Option<String>,
    shown: String,
    note: Option<String>,
    #[serde(flatten)]
    cite: Cite,
}

/// Classes that are printed, or those that are not.
pub(super) fn classes(
    chemical: &Chemical,
    printed: bool,
    material: &Material<'_>,
    sources: &mut Sources<'_>,
) -> Result<Vec<ClassView>, DataError> {
    let data = &chemical.classification;
    let mut said: Vec<(&String, String, &str, &Origin)> = Vec::new();
    for harmonised in data.harmonised.iter().filter(|_| printed) {
        let by = format!("EU and UK entry {}", harmonised.index);
        said.extend(
            harmonised
                .classes
                .iter()
                .map(|class| (class, by.clone(), "", &harmonised.from)),
        );
    }
    for added in data.added.iter().filter(|added| added.adopted == printed) {
        let rows = added.classes.iter();
        said.extend(rows.map(|class| (class, added.by.clone(), added.why.as_str(), &added.from)));
    }
    let view = |(written, by, why, from): (&String, String, &str, &Origin)| {
        let class = material
            .rules
            .tables
            .classes
            .parse(written)
            .map_err(|error| {
                DataError::new(format!("hazards/chemicals/{}.yaml", chemical.id), error)
            })?;
        Ok(ClassView {
            class: class.name().to_owned(),
            statement: class.statement.clone(),
            written: written.clone(),
            shown: written.replace(' ', "\u{a0}"),
            by,
            why: why.to_owned(),
            cite: sources.of(from),
        })
    };
    said.into_iter().map(view).collect()
}

/// Limits, factors and estimates stand with the entry that states them; of others, only with what
/// was adopted.
fn of_entries<T>(
    data: &ClassificationData,
    harmonised: impl Fn(&crate::catalogue::Harmonised) -> Vec<T>,
    added: impl Fn(&crate::catalogue::Added) -> Vec<T>,
) -> Vec<(T, &Origin)> {
    let own = data
        .harmonised
        .iter()
        .flat_map(|h| harmonised(h).into_iter().map(|x| (x, &h.from)));
    let adopted = data.added.iter().filter(|a| a.adopted);
    own.chain(adopted.flat_map(|a| added(a).into_iter().map(|x| (x, &a.from))))
        .collect()
}

pub(super) fn specific_limits(
    data: &ClassificationData,
    sources: &mut Sources<'_>,
) -> Vec<Cited<String>> {
    let shown = |limit: &String| {
        format!(
            "{}\u{a0}%",
            limit
                .trim_end_matches('%')
                .trim_end()
                .replace(">= ", "≥\u{a0}")
                .replace("..", " to below ")
        )
    };
    of_entries(
        data,
        |h| h.limits.iter().map(shown).collect(),
        |a| a.limits.iter().map(shown).collect(),
    )
    .into_iter()
    .map(|(limit, from)| sources.cite(limit, from))
    .collect()
}

pub(super) fn m_factors(
    data: &ClassificationData,
    sources: &mut Sources<'_>,
) -> Vec<Cited<String>> {
    of_entries(data, |h| factors(&h.m), |a| factors(&a.m))
        .into_iter()
        .map(|(factor, from)| sources.cite(factor, from))
        .collect()
}

fn factors(m: &MFactors) -> Vec<String> {
    let acute = m.acute.map(|m| format!("{m} (acute)"));
    acute
        .into_iter()
        .chain(m.chronic.map(|m| format!("{m} (chronic)")))
        .collect()
}

pub(super) fn estimates(
    data: &ClassificationData,
    sources: &mut Sources<'_>,
) -> Vec<Cited<String>> {
    let shown = |ate: &BTreeMap<String, f64>| -> Vec<String> {
        ate.iter()
            .map(|(route, value)| format!("{route} {value}\u{a0}{}", unit_of(route)))
            .collect()
    };
    of_entries(data, |h| shown(&h.ate), |a| shown(&a.ate))
        .into_iter()
        .map(|(estimate, from)| sources.cite(estimate, from))
        .collect()
}

/// The units of CLP Annex I, Table 3.1.1.
fn unit_of(route: &str) -> &'static str {
    match route {
        "oral" | "dermal" => "mg/kg",
        "gas" => "ppm",
        _ => "mg/L",
    }
}

/// The words that stand for each pictogram.
pub(super) fn words(pictograms: &[String], material: &Material<'_>) -> BTreeMap<String, String> {
    let word = |id: &String| (id.clone(), material.wording.word(id).to_owned());
    pictograms.iter().map(word).collect()
}

/// The label's statements, each as sure as the surest word for it.
pub(super) fn phrases(
    hazards: &ChemicalHazards,
    material: &Material<'_>,
    sources: &mut Sources<'_>,
) -> Vec<PhraseView> {
    let label = &hazards.label;
    let mut view = |code: &String| {
        let phrase = material.statements.phrase(code);
        let (text, foreign) = phrase.unwrap_or((code.clone(), true));
        PhraseView {
            text,
            foreign,
            by: surest(code, hazards).map(|origin| sources.of(origin)),
            code: code.clone(),
        }
    };
    label
        .statements
        .iter()
        .chain(&label.supplemental)
        .map(&mut view)
        .collect()
}

fn surest<'h>(code: &str, hazards: &'h ChemicalHazards) -> Option<&'h Origin> {
    if code.starts_with("EUH") {
        return hazards.chemical.classification.supplemental_from.as_ref();
    }
    let stems: Vec<&str> = code.split('+').filter_map(|part| part.get(..4)).collect();
    let for_it = hazards
        .basis
        .iter()
        .filter(|(class, _)| stems.iter().any(|stem| class.contains(stem)));
    for_it.map(|(_, origin)| origin).max()
}

pub(super) fn doses(chemical: &Chemical, sources: &mut Sources<'_>) -> Vec<DoseView> {
    let view = |dose: &AcuteToxicity| DoseView {
        route: dose.route.clone(),
        species: dose.species.clone(),
        value: dose.value,
        unit: dose.unit.clone(),
        shown: figure(dose.value, dose.unit.as_deref(), "no figure"),
        note: dose.note.clone(),
        cite: sources.of(&dose.from),
    };
    chemical.acute_toxicity.iter().map(view).collect()
}

pub(super) fn limits(chemical: &Chemical, sources: &mut Sources<'_>) -> Vec<LimitView> {
    let view = |limit: &ExposureLimit| LimitView {
        body: limit.body.clone(),
        region: limit.region.clone(),
        kind: limit.kind.clone(),
        value: limit.value,
        unit: limit.unit.clone(),
        fraction: limit.fraction.clone(),
        minutes: limit.minutes,
        note: limit.note.clone(),
        shown: figure(
            limit.value,
            limit.unit.as_deref(),
            "listed without a figure",
        ),
        over: limit.minutes.map(over).unwrap_or_default(),
        cite: sources.of(&limit.from),
    };
    chemical.limits.iter().map(view).collect()
}

pub(super) fn idlh(chemical: &Chemical, sources: &mut Sources<'_>) -> Option<IdlhView> {
    let idlh = chemical.idlh.as_ref()?;
    let none = idlh.unknown.as_deref().unwrap_or("no figure");
    Some(IdlhView {
        value: idlh.value,
        unit: idlh.unit.clone(),
        shown: figure(idlh.value, idlh.unit.as_deref(), none),
        note: idlh.note.clone(),
        cite: sources.of(&idlh.from),
    })
}

/// `2 mg/m³`, or why there is no figure.
fn figure(value: Option<f64>, unit: Option<&str>, none: &str) -> String {
    match value {
        Some(value) => format!("{value}\u{a0}{}", unit.unwrap_or("").replace("m3", "m³"))
            .trim_end()
            .to_owned(),
        None => none.to_owned(),
    }
}

fn over(minutes: f64) -> String {
    if minutes >= 60.0 {
        format!("{}\u{a0}h", minutes / 60.0)
    } else {
        format!("{minutes}\u{a0}min")
    }
}

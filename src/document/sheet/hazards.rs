//! Signal words, pictograms and statements, of the powders and of what is made.

use serde::Serialize;

use crate::assessment::{Assessment, ChemicalHazards, together};
use crate::classify::LabelElements;
use crate::provenance::Origin;

use super::{Material, mark};

/// A label's elements in words.
#[derive(Debug, Serialize)]
pub struct LabelView {
    /// What it is the label of.
    title: String,
    /// Danger, Warning or none.
    signal: Option<String>,
    pictograms: Vec<PictogramView>,
    statements: Vec<StatementView>,
    /// The chemicals it speaks of.
    chemicals: Vec<String>,
    /// Chemicals nobody has classified.
    no_data: Vec<String>,
}

#[derive(Debug, Serialize)]
struct PictogramView {
    id: String,
    title: String,
}

#[derive(Debug, Serialize)]
struct StatementView {
    code: String,
    text: String,
    /// Not in the language of the page.
    foreign: bool,
    /// The chemicals that carry it.
    chemicals: Vec<String>,
    mark: &'static str,
}

/// What meets the person who opens the jars.
pub(super) fn powders(assessment: &Assessment, material: &Material<'_>) -> LabelView {
    let jars: Vec<&ChemicalHazards> =
        assessment.chemicals.iter().filter(|hazards| hazards.chemical.id != "water").collect();
    let label = together(&jars, material.rules);
    view(String::new(), &label, &jars, material)
}

/// What is in the bottles afterwards.
pub(super) fn finished(_assessment: &Assessment, _material: &Material<'_>) -> Vec<LabelView> {
    Vec::new()
}

fn view(title: String, label: &LabelElements, jars: &[&ChemicalHazards], material: &Material<'_>) -> LabelView {
    let pictogram = |id: &String| PictogramView { id: id.clone(), title: material.wording.word(id).to_owned() };
    let codes = label.statements.iter().chain(&label.supplemental);
    LabelView {
        title,
        signal: label.signal.map(|signal| signal.to_string()),
        pictograms: label.pictograms.iter().map(pictogram).collect(),
        statements: codes.map(|code| statement(code, jars, material)).collect(),
        chemicals: jars.iter().map(|jar| jar.chemical.name_in(material.language).to_owned()).collect(),
        no_data: jars
            .iter()
            .filter(|jar| jar.chemical.is_unclassified())
            .map(|jar| jar.chemical.name_in(material.language).to_owned())
            .collect(),
    }
}

fn statement(code: &str, jars: &[&ChemicalHazards], material: &Material<'_>) -> StatementView {
    let (text, foreign) = material.statements.phrase(code).unwrap_or((code, true));
    let stems: Vec<&str> = code.split('+').map(|part| part.get(..4).unwrap_or(part)).collect();
    let carries = |jar: &&&ChemicalHazards| jar.has_statement(&stems) || jar.label.supplemental.iter().any(|s| s == code);
    let carriers: Vec<&&ChemicalHazards> = jars.iter().filter(carries).collect();
    StatementView {
        code: code.to_owned(),
        text: text.trim_end_matches('.').to_owned(),
        foreign,
        chemicals: carriers.iter().map(|jar| jar.chemical.name_in(material.language).to_owned()).collect(),
        mark: weakest(&carriers, &stems),
    }
}

/// A statement is as sure as the surest word for it.
fn weakest(carriers: &[&&ChemicalHazards], stems: &[&str]) -> &'static str {
    let origins = carriers.iter().flat_map(|jar| &jar.basis);
    let for_it = origins.filter(|(class, _)| stems.iter().any(|stem| class.contains(stem))).map(|(_, origin)| origin);
    for_it.max().map_or("", |best: &Origin| mark(best))
}

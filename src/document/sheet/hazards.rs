//! Signal words, pictograms and statements, of the powders and of what is made.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::assessment::{Assessment, BathFigures, ChemicalHazards, together};
use crate::classify::LabelElements;
use crate::plan::Solution;
use crate::provenance::Origin;

use super::{Material, mark};

/// A label's elements in words.
#[derive(Debug, Serialize)]
pub struct LabelView {
    /// What it is the label of.
    title: String,
    /// pH with its range, where it could be computed.
    ph: Option<String>,
    /// Danger, Warning or none.
    signal: Option<String>,
    pictograms: Vec<PictogramView>,
    statements: Vec<StatementView>,
    /// The chemicals it speaks of.
    chemicals: Vec<String>,
    /// Chemicals nobody has classified.
    no_data: Vec<String>,
    /// Doubts and assumptions of the classification.
    notes: Vec<String>,
}

/// A pictogram and its words.
#[derive(Debug, Serialize)]
pub struct PictogramView {
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
    let jars: Vec<&ChemicalHazards> = assessment
        .chemicals
        .iter()
        .filter(|hazards| hazards.chemical.id != "water")
        .collect();
    let label = together(&jars, material.rules);
    view(String::new(), &label, &jars, material)
}

/// What is in the bottles afterwards, and in the tray where the stock is diluted.
pub(super) fn finished(assessment: &Assessment, material: &Material<'_>) -> Vec<LabelView> {
    let mut views = Vec::new();
    for (solution, figures) in assessment.plan.solutions.iter().zip(&assessment.solutions) {
        views.push(bath_label(
            solution.title.clone(),
            &figures.stock,
            solution,
            material,
        ));
        if let Some(working) = &figures.working {
            views.push(bath_label(
                format!("{}, diluted {}", solution.title, solution.dilution),
                working,
                solution,
                material,
            ));
        }
    }
    views
}

/// The strongest signal word and all pictograms of what stands in bottles and trays.
pub(super) fn of_all(
    assessment: &Assessment,
    material: &Material<'_>,
) -> (Option<String>, Vec<PictogramView>) {
    let baths = assessment
        .solutions
        .iter()
        .flat_map(|figures| [Some(&figures.stock), figures.working.as_ref()]);
    let labels: Vec<&LabelElements> = baths
        .flatten()
        .map(|bath| &bath.classification.label)
        .collect();
    let signal = labels.iter().filter_map(|label| label.signal).max();
    let pictograms: BTreeSet<&String> = labels.iter().flat_map(|label| &label.pictograms).collect();
    (
        signal.map(|signal| signal.to_string()),
        pictograms
            .into_iter()
            .map(|id| pictogram(id, material))
            .collect(),
    )
}

fn pictogram(id: &str, material: &Material<'_>) -> PictogramView {
    PictogramView {
        id: id.to_owned(),
        title: material.wording.word(id).to_owned(),
    }
}

/// The label of a bath, by calculation.
pub(crate) fn bath_label(
    title: String,
    bath: &BathFigures,
    solution: &Solution,
    material: &Material<'_>,
) -> LabelView {
    let no_data = solution.unclassified(material.language).into_iter();
    let chemistry = bath.chemistry.as_ref().ok();
    let ph = chemistry.and_then(|chemistry| chemistry.equilibrium.ph.bounds());
    let classification = &bath.classification;
    let hazards = classification
        .label
        .statements
        .iter()
        .map(|code| plain_statement(code, &[], material));
    // That a data sheet is to be had is a supplier's duty, not a bench's.
    let supplements = classification
        .supplemental
        .iter()
        .filter(|supplement| supplement.code != "EUH210");
    let supplements = supplements.map(|s| plain_statement(&s.code, &s.ingredients, material));
    LabelView {
        ph: ph.map(|(low, value, high)| format!("{value:.1} ({low:.1}–{high:.1})")),
        statements: hazards.chain(supplements).collect(),
        no_data: no_data.map(str::to_owned).collect(),
        notes: material.wording.reasons(&classification.notes),
        ..empty(title, &classification.label, material)
    }
}

fn plain_statement(code: &str, about: &[String], material: &Material<'_>) -> StatementView {
    let about: Vec<String> = about
        .iter()
        .map(|name| material.wording.known(name))
        .collect();
    let (text, foreign) = material
        .statements
        .phrase_about(code, &about)
        .unwrap_or((code.to_owned(), true));
    StatementView {
        code: code.to_owned(),
        text,
        foreign,
        chemicals: Vec::new(),
        mark: "",
    }
}

fn empty(title: String, label: &LabelElements, material: &Material<'_>) -> LabelView {
    LabelView {
        title,
        ph: None,
        signal: label.signal.map(|signal| signal.to_string()),
        pictograms: label
            .pictograms
            .iter()
            .map(|id| pictogram(id, material))
            .collect(),
        statements: Vec::new(),
        chemicals: Vec::new(),
        no_data: Vec::new(),
        notes: Vec::new(),
    }
}

fn view(
    title: String,
    label: &LabelElements,
    jars: &[&ChemicalHazards],
    material: &Material<'_>,
) -> LabelView {
    let codes = label.statements.iter().chain(&label.supplemental);
    let name = |jar: &&ChemicalHazards| jar.chemical.name_in(material.language).to_owned();
    LabelView {
        statements: codes.map(|code| statement(code, jars, material)).collect(),
        chemicals: jars.iter().map(name).collect(),
        no_data: jars
            .iter()
            .filter(|jar| jar.chemical.is_unclassified())
            .map(name)
            .collect(),
        ..empty(title, label, material)
    }
}

fn statement(code: &str, jars: &[&ChemicalHazards], material: &Material<'_>) -> StatementView {
    let (carriers, mark) = carried(code, jars);
    StatementView {
        chemicals: carriers
            .iter()
            .map(|jar| jar.chemical.name_in(material.language).to_owned())
            .collect(),
        mark,
        ..plain_statement(code, &[], material)
    }
}

/// The jars that carry a statement, and the mark of the surest word for it.
pub(crate) fn carried<'j>(
    code: &str,
    jars: &[&'j ChemicalHazards],
) -> (Vec<&'j ChemicalHazards>, &'static str) {
    let stems: Vec<&str> = code
        .split('+')
        .map(|part| part.get(..4).unwrap_or(part))
        .collect();
    let carries = |jar: &&ChemicalHazards| {
        jar.has_statement(&stems) || jar.label.supplemental.iter().any(|s| s == code)
    };
    let carriers: Vec<&ChemicalHazards> = jars.iter().copied().filter(carries).collect();
    let mark = weakest(&carriers, &stems);
    (carriers, mark)
}

/// A statement is as sure as the surest word for it.
fn weakest(carriers: &[&ChemicalHazards], stems: &[&str]) -> &'static str {
    let origins = carriers.iter().flat_map(|jar| &jar.basis);
    let for_it = origins
        .filter(|(class, _)| stems.iter().any(|stem| class.contains(stem)))
        .map(|(_, origin)| origin);
    for_it.max().map_or("", |best: &Origin| mark(best))
}

//! What is made today, and what it can do.

use serde::Serialize;

use crate::assessment::{Assessment, BathFigures, ChemicalHazards, SolutionFigures};
use crate::plan::{Action, Solution};

use super::super::sheet::Material;
use super::words::BriefWords;

/// One solution of the day.
#[derive(Debug, Serialize)]
pub struct MakeView {
    pub(super) title: String,
    volume: String,
    /// What it is for.
    does: Option<String>,
    /// What goes in, in order.
    order: Vec<String>,
    /// What it can do once mixed; empty where no class applies by calculation.
    mixed: Vec<String>,
    /// What nobody has classified in it.
    no_data: Vec<String>,
}

/// A harm and the jars that can do it.
#[derive(Debug, Serialize)]
pub struct HarmView {
    text: String,
    names: Vec<String>,
}

pub(super) fn makes(
    assessment: &Assessment,
    material: &Material<'_>,
    words: &BriefWords,
) -> Vec<MakeView> {
    let pairs = assessment.plan.solutions.iter().zip(&assessment.solutions);
    let view = |(solution, figures): (&Solution, &SolutionFigures)| MakeView {
        title: solution.title.clone(),
        volume: solution.volume.to_string(),
        does: solution
            .kind
            .as_ref()
            .and_then(|kind| words.does(kind, material.catalogue))
            .map(str::to_owned),
        order: order(solution, material),
        mixed: mixed(&figures.stock, words),
        no_data: solution
            .unclassified(material.language)
            .into_iter()
            .map(str::to_owned)
            .collect(),
    };
    pairs.map(view).collect()
}

/// What the jars can do, worst first.
pub(super) fn harms(
    jars: &[ChemicalHazards],
    material: &Material<'_>,
    words: &BriefWords,
) -> Vec<HarmView> {
    let of_each: Vec<(Vec<&str>, String)> = jars
        .iter()
        .map(|jar| {
            let classes = jar.classes.iter().map(|class| class.statement.as_str());
            let codes: Vec<&str> = classes
                .chain(
                    jar.chemical
                        .classification
                        .supplemental
                        .iter()
                        .map(String::as_str),
                )
                .collect();
            let name = jar.chemical.name_in(material.language).to_owned();
            (words.hurts(&codes), name)
        })
        .collect();
    // In the order of the words, which is worst first.
    let all: Vec<&str> = words.hurts_in_order();
    let told = all.into_iter().map(|text| HarmView {
        text: text.to_owned(),
        names: of_each
            .iter()
            .filter(|(hurts, _)| hurts.contains(&text))
            .map(|(_, name)| name.clone())
            .collect(),
    });
    told.filter(|harm| !harm.names.is_empty()).collect()
}

fn mixed(bath: &BathFigures, words: &BriefWords) -> Vec<String> {
    let label = bath.classification.label.statements.iter();
    let supplements = bath.classification.supplemental.iter();
    let codes: Vec<&str> = label
        .map(String::as_str)
        .chain(supplements.map(|supplement| supplement.code.as_str()))
        .collect();
    words.hurts(&codes).into_iter().map(str::to_owned).collect()
}

fn order(solution: &Solution, material: &Material<'_>) -> Vec<String> {
    let what = |action: &Action| match action {
        Action::Start { .. } => Some(water(material)),
        Action::Add(added) => Some(added.jar.name_in(material.language).to_owned()),
        Action::TopUp { .. } => None,
    };
    solution
        .steps
        .iter()
        .filter_map(|step| what(&step.action))
        .collect()
}

fn water(material: &Material<'_>) -> String {
    let water = material.catalogue.chemical("water");
    water.map_or_else(
        || "water".to_owned(),
        |w| w.name_in(material.language).to_owned(),
    )
}

/// What goes into the vessel of the solution with the most jars, when it begins with water.
pub(super) fn first_in(
    assessment: &Assessment,
    material: &Material<'_>,
) -> [(&'static str, String); 5] {
    let begins = |solution: &&Solution| {
        matches!(
            solution.steps.first().map(|step| &step.action),
            Some(Action::Start { .. })
        )
    };
    let most = assessment
        .plan
        .solutions
        .iter()
        .filter(begins)
        .max_by_key(|solution| solution.additions().count());
    let order = most
        .map(|solution| order(solution, material))
        .unwrap_or_default();
    let at = |place: usize| order.get(place).cloned().unwrap_or_default();
    [
        (
            "first_title",
            most.map(|s| s.title.clone()).unwrap_or_default(),
        ),
        ("first_in", at(0)),
        ("second_in", at(1)),
        ("third_in", at(2)),
        ("last_in", order.last().cloned().unwrap_or_default()),
    ]
}

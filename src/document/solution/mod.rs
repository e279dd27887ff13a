//! What a finished solution is, told to whoever wrote the recipe.

mod bath;
mod json;

use serde::Serialize;

use crate::assessment::{RecipeAssessment, StepFigures};
use crate::chemistry::Dissolves;
use crate::finding::Severity;
use crate::plan::{Action, Step};

use super::in_room::TrayInRoom;
use super::sheet::Material;
use super::trace::TraceView;
use super::{Told, Wording};

pub(super) use json::figures_json;
pub use json::solution_json;

/// Which traces are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Explained {
    /// None.
    Nothing,
    /// All, after the figures.
    All,
    /// Those of one figure, and nothing else.
    Only(&'static str),
}

/// Everything computed about one recipe, as a page says it.
#[derive(Debug, Serialize)]
pub struct SolutionSheet {
    title: String,
    deference: String,
    /// Whether the figures are printed, not the traces alone.
    figures: bool,
    baths: Vec<bath::BathView>,
    steps: Vec<StepView>,
    /// An open tray of it, where the room is known.
    air: Option<TrayInRoom>,
    findings: Vec<SaidView>,
    traces: Vec<TraceView>,
}

#[derive(Debug, Serialize)]
struct StepView {
    number: usize,
    what: String,
    amount: String,
    temperature: String,
    clears: String,
    /// Whether that is sure.
    clear: bool,
}

/// A finding in words.
#[derive(Debug, Serialize)]
struct SaidView {
    severity: Severity,
    subject: String,
    #[serde(flatten)]
    told: Told,
}

impl SolutionSheet {
    /// Gathers the page of a recipe.
    pub fn of(
        assessment: &RecipeAssessment,
        air: Option<TrayInRoom>,
        material: &Material<'_>,
        explained: Explained,
    ) -> Self {
        let (solution, figures) = (&assessment.solution, &assessment.figures);
        let stock_title = if figures.working.is_some() {
            "The stock"
        } else {
            "The solution"
        };
        let stock = bath::view(
            material.wording.said(stock_title),
            &figures.stock,
            solution,
            material,
        );
        let working = figures.working.as_ref().map(|working| {
            bath::view(
                material
                    .wording
                    .said(&format!("Diluted {} for use", solution.dilution)),
                working,
                solution,
                material,
            )
        });
        let steps = solution.steps.iter().zip(&figures.steps);
        Self {
            title: solution.title.clone(),
            deference: material.wording.word("deference").to_owned(),
            figures: !matches!(explained, Explained::Only(_)),
            baths: [Some(stock), working].into_iter().flatten().collect(),
            steps: steps
                .map(|(step, figures)| step_view(step, figures, material))
                .collect(),
            air,
            findings: said(assessment, material),
            traces: traces(assessment, explained, material.wording),
        }
    }
}

fn said(assessment: &RecipeAssessment, material: &Material<'_>) -> Vec<SaidView> {
    // Jars that are taken for one another are told on the bench sheet, where the jars stand.
    let shown = assessment
        .findings
        .iter()
        .filter(|finding| finding.code.as_str() != "name/look-alike");
    shown
        .map(|finding| SaidView {
            severity: finding.severity,
            subject: finding.subject.to_string(),
            told: sentences(material.wording.tell(finding)),
        })
        .collect()
}

/// Each part a sentence of its own.
fn sentences(told: Told) -> Told {
    Told {
        message: sentence(&told.message),
        why: sentence(&told.why),
        advice: told.advice.iter().map(|advice| sentence(advice)).collect(),
    }
}

fn sentence(text: &str) -> String {
    let text = text.trim().trim_end_matches('.');
    let mut letters = text.chars();
    let first = letters
        .next()
        .map(|first| first.to_uppercase().to_string())
        .unwrap_or_default();
    if text.is_empty() {
        String::new()
    } else {
        format!("{first}{}.", letters.as_str())
    }
}

fn step_view(step: &Step, figures: &StepFigures, material: &Material<'_>) -> StepView {
    let said = |text: &str| material.wording.said(text);
    let (what, amount) = match &step.action {
        Action::Start { water, .. } => (said("water"), water.to_string()),
        Action::Add(added) => (
            added.jar.name_in(material.language).to_owned(),
            added.amount.to_string(),
        ),
        Action::TopUp { to } => (said("water"), said(&format!("to {to}"))),
    };
    let temperature = figures.temperature.as_ref();
    StepView {
        number: step.number,
        what,
        amount,
        temperature: temperature.map_or_else(
            || said("not computed"),
            |t| format!("{:.0}\u{a0}°C", t.value),
        ),
        clears: said(clearness(figures).word()),
        clear: clearness(figures) == Clearness::Clears,
    }
}

/// Whether a step clears.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Clearness {
    Clears,
    MayNot,
    DoesNot,
    NoData,
}

impl Clearness {
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Clears => "clears",
            Self::MayNot => "may not clear",
            Self::DoesNot => "will not clear",
            Self::NoData => "no data",
        }
    }

    /// Yes or no, where that is certain.
    pub(super) fn certain(self) -> Option<bool> {
        match self {
            Self::Clears => Some(true),
            Self::DoesNot => Some(false),
            Self::MayNot | Self::NoData => None,
        }
    }
}

pub(super) fn clearness(figures: &StepFigures) -> Clearness {
    match figures.dissolves() {
        Some(Dissolves::Yes) => Clearness::Clears,
        Some(Dissolves::Perhaps) => Clearness::MayNot,
        Some(Dissolves::No) => Clearness::DoesNot,
        None => Clearness::NoData,
    }
}

/// The traces asked for, in the order of the figures.
fn traces(
    assessment: &RecipeAssessment,
    explained: Explained,
    wording: &Wording,
) -> Vec<TraceView> {
    let wanted = |figure: &str| match explained {
        Explained::Nothing => false,
        Explained::All => true,
        Explained::Only(only) => only == figure,
    };
    let figures = &assessment.figures;
    let mut traces = bath::traces("", &figures.stock, wanted, wording);
    if let Some(working) = &figures.working {
        traces.extend(bath::traces(" as diluted", working, wanted, wording));
    }
    if wanted("temperature") {
        let steps = figures
            .steps
            .iter()
            .filter_map(|step| Some((step.number, step.temperature.as_ref()?)));
        traces.extend(steps.map(|(number, t)| {
            TraceView::of(
                &format!("temperature after step {number}"),
                &t.trace,
                wording,
            )
        }));
    }
    traces
}

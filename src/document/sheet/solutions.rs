//! Each solution: its numbered steps, its bottle, where it goes when spent.

use serde::Serialize;

use crate::assessment::{Assessment, StepFigures};
use crate::finding::{Finding, Severity, Subject};
use crate::plan::{Action, Added, PlannedVessel, Solution, Step};
use crate::session::Amount;

use super::{Line, Material, line, mark};

/// One solution on the sheet.
#[derive(Debug, Serialize)]
pub struct SolutionView {
    number: usize,
    title: String,
    kind: Option<String>,
    volume: String,
    vessel: Option<String>,
    steps: Vec<StepView>,
    storage: StorageView,
    dilution: Option<String>,
    note: Option<String>,
    stream: Option<StreamView>,
}

#[derive(Debug, Serialize)]
struct StepView {
    number: usize,
    /// What goes in; the first words of a row.
    what: String,
    amount: String,
    /// What the recipe asks for, when the jar holds something else.
    instead_of: Option<String>,
    working: Option<String>,
    temperature: Option<String>,
    action: &'static str,
    /// How warm the vessel is afterwards, where that changes enough to be felt.
    after: Option<String>,
    /// Whether it is noticeably colder then.
    turns_cold: bool,
    watch: Vec<Line>,
}

#[derive(Debug, Serialize)]
struct StorageView {
    bottle: Option<String>,
    keeps_stock: Option<String>,
    keeps_working: Option<String>,
    keeps_mark: &'static str,
    texts: Vec<Line>,
}

#[derive(Debug, Serialize)]
struct StreamView {
    id: String,
    title: String,
    container: String,
    label_words: Vec<String>,
    never_with: Vec<String>,
    why_never: String,
    disposal: Line,
    drain_question: String,
}

pub(super) fn views(assessment: &Assessment, material: &Material<'_>) -> Vec<SolutionView> {
    let solutions = assessment.plan.solutions.iter().enumerate();
    solutions
        .map(|(at, solution)| view(at + 1, solution, assessment, material))
        .collect()
}

fn view(
    number: usize,
    solution: &Solution,
    assessment: &Assessment,
    material: &Material<'_>,
) -> SolutionView {
    let figures = assessment.solutions.get(number - 1);
    SolutionView {
        number,
        title: solution.title.clone(),
        kind: solution.kind.as_ref().map(|kind| kind.title().to_owned()),
        volume: solution.volume.to_string(),
        vessel: solution
            .vessel
            .as_ref()
            .map(|vessel| vessel.written.clone()),
        steps: solution
            .steps
            .iter()
            .enumerate()
            .map(|(at, step)| (step, figures.and_then(|figures| figures.steps.get(at))))
            .map(|(step, figures)| StepView {
                after: figures.and_then(after),
                turns_cold: figures
                    .and_then(StepFigures::rise)
                    .is_some_and(|rise| rise <= -FELT),
                ..step_view(step, solution, assessment, material)
            })
            .collect(),
        storage: storage(solution),
        dilution: solution
            .dilution
            .dilutes()
            .then(|| solution.dilution.to_string()),
        note: solution.note.clone(),
        stream: solution.stream.as_ref().and_then(|id| stream(id, material)),
    }
}

/// A change that is felt in the hand (common practice, no source), K.
const FELT: f64 = 3.0;

fn after(figures: &StepFigures) -> Option<String> {
    let temperature = figures.temperature.as_ref()?;
    let changed = figures.rise().is_some_and(|rise| rise.abs() >= FELT);
    changed.then(|| format!("{:.0}\u{a0}°C", temperature.value + 0.0))
}

fn step_view(
    step: &Step,
    solution: &Solution,
    assessment: &Assessment,
    material: &Material<'_>,
) -> StepView {
    let plain = |what: String, amount: String, action| StepView {
        number: step.number,
        what,
        amount,
        instead_of: None,
        working: None,
        temperature: None,
        action,
        after: None,
        turns_cold: false,
        watch: Vec::new(),
    };
    let mut view = match &step.action {
        Action::Start { water, at } => StepView {
            temperature: at.map(|at| at.to_string()),
            ..plain(water_name(assessment), water.to_string(), "start")
        },
        Action::TopUp { to } => plain(water_name(assessment), to.to_string(), "top up"),
        Action::Add(added) => StepView {
            instead_of: added.conversion.as_ref().map(|c| {
                let facts = [
                    ("amount", &*c.asked.to_string()),
                    ("what", &added.asked.name),
                ];
                material.wording.filled("amount_of", &facts)
            }),
            working: added.conversion.as_ref().map(|c| c.working.clone()),
            ..plain(
                added.jar.name_in(material.language).to_owned(),
                shown(added),
                "add",
            )
        },
    };
    if let Action::Add(added) = &step.action {
        view.watch = watch(step, added, solution, assessment, material);
    }
    view.watch.extend(step.note.iter().map(|note| Line {
        text: note.clone(),
        mark: "",
    }));
    view
}

fn shown(added: &Added) -> String {
    match added.amount {
        // Measured by volume: the mass too, for whoever has a scale and no cylinder.
        Amount::Volume(volume) => volume.to_string(),
        Amount::Mass(mass) => mass.to_string(),
    }
}

fn water_name(assessment: &Assessment) -> String {
    match &assessment.plan.setting.water {
        Some(water) if !water.value.eq_ignore_ascii_case("tap") => format!("{} water", water.value),
        _ => "water".to_owned(),
    }
}

/// What to watch at this step: what the checks say of it, then the gravest family's caution, then
/// the jar it is taken for.
fn watch(
    step: &Step,
    added: &Added,
    solution: &Solution,
    assessment: &Assessment,
    material: &Material<'_>,
) -> Vec<Line> {
    let mut lines = said_of_step(step, solution, assessment, material);
    let families = added
        .jar
        .families
        .iter()
        .filter_map(|id| material.catalogue.family(id));
    if let Some(caution) = families
        .max_by_key(|family| family.rank)
        .and_then(|family| family.handling.first())
    {
        lines.push(line(&caution.text, &caution.from));
    }
    lines
}

fn said_of_step(
    step: &Step,
    solution: &Solution,
    assessment: &Assessment,
    material: &Material<'_>,
) -> Vec<Line> {
    let subject = Subject::Step(solution.title.clone(), step.number);
    let about =
        |finding: &&Finding| finding.subject == subject && finding.severity >= Severity::Attention;
    // A jar that differs is shown by the amount itself.
    let shown = |finding: &&Finding| finding.code.as_str() != "weigh/jar-differs";
    let findings = assessment.findings.iter().filter(about).filter(shown);
    findings
        .map(|finding| Line {
            text: material.wording.tell(finding).message,
            mark: "",
        })
        .collect()
}

fn storage(solution: &Solution) -> StorageView {
    let keeps = &solution.keeps;
    let usual = solution.kind.as_ref().map(|kind| &kind.keeps);
    let hours = |hours: f64| {
        crate::units::Duration::from_hours(hours)
            .map(|d| d.to_string())
            .ok()
    };
    let stock = keeps.stock.map(|d| d.to_string());
    let working = keeps.working.map(|d| d.to_string());
    let from_kind = stock.is_none() && working.is_none();
    StorageView {
        bottle: solution
            .storage
            .as_ref()
            .map(|bottle: &PlannedVessel| bottle.written.clone()),
        keeps_stock: stock.or_else(|| {
            usual
                .and_then(|u| u.stock_days)
                .and_then(|days| hours(days * 24.0))
        }),
        keeps_working: working.or_else(|| usual.and_then(|u| u.working_hours).and_then(hours)),
        keeps_mark: usual
            .filter(|_| from_kind)
            .map_or("", |usual| mark(&usual.from)),
        texts: storage_texts(solution),
    }
}

fn storage_texts(solution: &Solution) -> Vec<Line> {
    let bottle = solution.storage.as_ref();
    let vessel = bottle.and_then(|bottle| bottle.vessel.as_ref());
    let noted = vessel.filter(|vessel| !vessel.note.is_empty());
    noted
        .map(|vessel| line(&vessel.note, &vessel.from))
        .into_iter()
        .collect()
}

fn stream(id: &str, material: &Material<'_>) -> Option<StreamView> {
    let stream = material.catalogue.stream(id)?;
    let title = |id: &String| {
        material
            .catalogue
            .stream(id)
            .map_or(id.clone(), |stream| stream.title.to_lowercase())
    };
    Some(StreamView {
        id: stream.id.clone(),
        title: stream.title.clone(),
        container: stream.container.clone(),
        label_words: stream.label_words.clone(),
        never_with: stream.never_with.iter().map(title).collect(),
        why_never: stream.why_never.clone(),
        disposal: line(&stream.disposal.text, &stream.disposal.from),
        drain_question: stream.drain_question.clone(),
    })
}

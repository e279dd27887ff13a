//! Findings as the JSON that other programs rely on.

use serde_json::{Map, Value, json};

use crate::assessment::Assessment;
use crate::catalogue::Statements;
use crate::finding::Finding;
use crate::provenance::{Basis, Origin};
use crate::source::Place;

use super::Wording;
use super::brief::Brief;
use super::readability::Score;
use super::sheet::BenchSheet;
use super::solution::figures_json;

/// `check --format json`: the session's name, its findings, and the deference.
pub fn findings_json(assessment: &Assessment, session: &str, wording: &Wording) -> Value {
    json!({
        "session": session,
        "title": assessment.plan.title,
        "findings": assessment.findings.iter().map(|finding| finding_json(finding, wording)).collect::<Vec<_>>(),
        "deference": wording.word("deference"),
    })
}

/// `sheet --format json`: what `check` says, and everything on the sheet.
pub fn sheet_json(
    sheet: &BenchSheet,
    assessment: &Assessment,
    session: &str,
    wording: &Wording,
    statements: &Statements,
) -> Value {
    let mut json = findings_json(assessment, session, wording);
    if let (Some(all), Ok(Value::Object(own))) = (json.as_object_mut(), serde_json::to_value(sheet))
    {
        all.extend(own);
        add_figures(all, assessment, statements, wording);
    }
    json
}

/// `brief --format json`: what `check` says, everything on the briefing, and how hard it is to read.
pub fn brief_json(
    brief: &Brief,
    assessment: &Assessment,
    session: &str,
    wording: &Wording,
    readability: Option<Score>,
) -> Value {
    let mut json = findings_json(assessment, session, wording);
    if let (Some(all), Ok(Value::Object(own))) = (json.as_object_mut(), serde_json::to_value(brief))
    {
        all.extend(own);
        all.insert("readability".to_owned(), json!(readability));
    }
    json
}

/// Each solution as `solution` tells it; then all steps in one list, and where each solution goes.
fn add_figures(
    sheet: &mut Map<String, Value>,
    assessment: &Assessment,
    statements: &Statements,
    wording: &Wording,
) {
    let computed = assessment.plan.solutions.iter().zip(&assessment.solutions);
    let shown = sheet.get_mut("solutions").and_then(Value::as_array_mut);
    let (mut steps, mut dispose) = (Vec::new(), Vec::new());
    for (view, (solution, figures)) in shown.into_iter().flatten().zip(computed) {
        let Some(view) = view.as_object_mut() else {
            continue;
        };
        let said = view.remove("steps");
        view.extend(figures_json(solution, figures, statements, wording));
        let of_solution = view
            .get_mut("steps")
            .and_then(Value::as_array_mut)
            .into_iter()
            .flatten();
        for (step, said) in of_solution.zip(said.iter().filter_map(Value::as_array).flatten()) {
            if let (Some(step), Some(said)) = (step.as_object_mut(), said.as_object()) {
                // What is computed stands before what is only worded.
                for (name, value) in said {
                    step.entry(name).or_insert_with(|| value.clone());
                }
                step.insert("solution".to_owned(), json!(solution.title));
            }
            steps.push(step.clone());
        }
        dispose.push(json!({"solution": solution.title, "stream": view.get("stream")}));
    }
    sheet.insert("steps".to_owned(), Value::Array(steps));
    sheet.insert("dispose".to_owned(), Value::Array(dispose));
}

/// One finding.
pub fn finding_json(finding: &Finding, wording: &Wording) -> Value {
    let told = wording.tell(finding);
    json!({
        "code": finding.code,
        "severity": finding.severity,
        "subject": finding.subject.to_string(),
        "places": finding.places.iter().map(place_json).collect::<Vec<_>>(),
        "message": told.message,
        "why": told.why,
        "advice": told.advice,
        "sources": finding.basis.iter().flat_map(Basis::origins).map(origin_json).collect::<Vec<_>>(),
    })
}

fn place_json(place: &Place) -> Value {
    json!({"file": place.file.name, "line": place.line, "column": place.column})
}

/// Where a datum is from.
pub fn origin_json(origin: &Origin) -> Value {
    match origin {
        Origin::Published { reference, at } => {
            json!({"kind": "published", "ref": reference, "at": at})
        }
        Origin::DataSheet { file, revised } => {
            json!({"kind": "data sheet", "file": file, "revised": revised})
        }
        Origin::LocalRule { file } => json!({"kind": "local rule", "file": file}),
        other => json!({"kind": other.kind()}),
    }
}

//! Findings as the JSON that other programs rely on.

use serde_json::{Value, json};

use crate::assessment::Assessment;
use crate::finding::Finding;
use crate::provenance::{Basis, Origin};
use crate::source::Place;

use super::Wording;
use super::sheet::BenchSheet;

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
) -> Value {
    let mut json = findings_json(assessment, session, wording);
    if let (Some(all), Ok(Value::Object(own))) = (json.as_object_mut(), serde_json::to_value(sheet))
    {
        all.extend(own);
    }
    json
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
        Origin::DataSheet { file } => json!({"kind": "data sheet", "file": file}),
        Origin::LocalRule { file } => json!({"kind": "local rule", "file": file}),
        other => json!({"kind": other.kind()}),
    }
}

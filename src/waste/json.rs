//! A determination as the JSON that the contract promises.

use serde_json::{Value, json};

use crate::finding::Finding;
use crate::provenance::Origin;

use super::determination::{CodeLine, Determination};

/// The JSON of `codes`. `wording` gives a finding's own JSON (message, advice), which needs the
/// templates this room does not know; `source` turns an origin into the words for people.
pub fn to_json(
    found: &Determination,
    wording: &dyn Fn(&Finding) -> Value,
    source: &dyn Fn(&Origin) -> String,
) -> Value {
    let codes = |lines: &[CodeLine]| -> Vec<Value> {
        lines
            .iter()
            .map(|line| {
                json!({"code": line.code, "because": line.because, "source": source(&line.origin),
                       "assumed": line.assumed, "acute": line.acute})
            })
            .collect()
    };
    let properties: Vec<Value> = found
        .properties
        .iter()
        .map(|line| json!({"hp": line.hp, "because": line.because, "certain": line.certain, "source": source(&line.origin)}))
        .collect();
    let limits: Vec<Value> = found
        .limits
        .iter()
        .map(|line| {
            json!({"id": line.id, "what": line.what, "measure": line.measure, "value": line.value, "unit": line.unit,
                   "operator": if line.strict { "<" } else { "<=" }, "actual": line.actual,
                   "breached": line.breached, "until": line.until.map(|day| day.to_string()),
                   "source": source(&line.origin)})
        })
        .collect();
    let duties: Vec<Value> = found
        .duties
        .iter()
        .map(|line| {
            json!({"id": line.id, "kind": line.kind, "text": line.text, "source": source(&line.origin),
                   "mark": line.origin.mark()})
        })
        .collect();
    let findings: Vec<Value> = found.findings.iter().map(wording).collect();
    json!({
        "rules": found.place,
        "codes": codes(&found.codes),
        "candidates": codes(&found.candidates),
        "possible": codes(&found.possible),
        "hazardous": found.hazardous,
        "properties": properties,
        "generator": found.generator,
        "generator_source": found.generator_origin.as_ref().map(source),
        "limits": limits,
        "duties": duties,
        "empty": found.empty.as_ref().map(|line| {
            json!({"empty": line.empty, "because": line.because, "source": source(&line.origin)})
        }),
        "findings": findings,
    })
}

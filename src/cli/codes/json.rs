//! Determinations as the JSON that the contract promises.

use serde_json::{Value, json};

use crate::cli::words::source;
use crate::cli::workspace::Workspace;
use crate::document::{Wording, finding_json};
use crate::waste::{self, Determination};

/// The contract's object; with several places their lists stand one after the other, every line
/// naming its place.
pub fn object(found: &[Determination], wording: &Wording, workspace: &Workspace) -> Value {
    let each: Vec<Value> = found
        .iter()
        .map(|one| {
            waste::to_json(one, &|finding| finding_json(finding, wording), &|origin| {
                source(origin, &workspace.catalogue)
            })
        })
        .collect();
    let mut merged = match each.as_slice() {
        [only] => only.clone(),
        several => merge(several),
    };
    merged["deference"] = wording.word("deference").into();
    merged
}

fn merge(each: &[Value]) -> Value {
    let mut merged = each.first().cloned().unwrap_or(Value::Null);
    for list in [
        "codes",
        "candidates",
        "possible",
        "properties",
        "limits",
        "duties",
        "findings",
    ] {
        let lines = each.iter().flat_map(|one| {
            let lines = one[list].as_array().cloned().unwrap_or_default();
            lines.into_iter().map(|mut line| {
                line["rules"] = one["rules"].clone();
                line
            })
        });
        merged[list] = lines.collect();
    }
    mark_lowest(&mut merged["limits"]);
    merged["rules"] = each.iter().map(|one| one["rules"].clone()).collect();
    merged["hazardous"] = each
        .iter()
        .any(|one| one["hazardous"] == json!(true))
        .into();
    // Only one country knows generator categories so far.
    let generator = each.iter().find(|one| !one["generator"].is_null());
    if let Some(one) = generator {
        merged["generator"] = one["generator"].clone();
        merged["generator_source"] = one["generator_source"].clone();
    }
    merged
}

/// Where several rules limit the same thing, the lowest binds; all stay named.
fn mark_lowest(limits: &mut Value) {
    let Some(lines) = limits.as_array_mut() else {
        return;
    };
    let figures: Vec<(String, String, f64)> = lines
        .iter()
        .map(|line| {
            let text = |key: &str| line[key].as_str().unwrap_or_default().to_owned();
            let value = line["value"].as_f64().unwrap_or(f64::INFINITY);
            (text("measure"), text("unit"), value)
        })
        .collect();
    for (line, (measure, unit, value)) in lines.iter_mut().zip(&figures) {
        let same = figures
            .iter()
            .filter(|one| (&one.0, &one.1) == (measure, unit));
        let lowest = same.map(|one| one.2).fold(f64::INFINITY, f64::min);
        line["lowest"] = (*value <= lowest).into();
    }
}

//! How a figure came about, told to people and to programs.

use serde::Serialize;
use serde_json::{Value, json};

use crate::chemistry::{Figure, Trace};
use crate::units::significant;

use super::Wording;
use super::json::origin_json;

/// A trace on a page.
#[derive(Debug, Serialize)]
pub struct TraceView {
    /// The figure it is of.
    title: String,
    formula: String,
    inputs: Vec<InputView>,
    remarks: Vec<String>,
    result: String,
}

#[derive(Debug, Serialize)]
struct InputView {
    what: String,
    value: String,
    source: String,
}

impl TraceView {
    /// A trace under a title.
    pub(super) fn of(title: impl Into<String>, trace: &Trace) -> Self {
        let inputs = trace.inputs.iter().map(|input| InputView {
            what: input.what.clone(),
            value: format!("{} {}", significant(input.value, 5), input.unit)
                .trim_end()
                .to_owned(),
            source: input.origin.to_string(),
        });
        Self {
            title: title.into(),
            formula: trace.formula.to_owned(),
            inputs: inputs.collect(),
            remarks: trace.remarks.clone(),
            result: trace.result.clone(),
        }
    }

    /// A comparison of the classification, told in the same way.
    pub(super) fn of_check(check: &crate::classify::Check, wording: &Wording) -> Self {
        let inputs = check.ingredients.iter().map(|part| InputView {
            what: part.name.clone(),
            value: format!(
                "{} %, counted {} times",
                significant(part.percent, 4),
                significant(part.weight, 4)
            ),
            source: String::new(),
        });
        Self {
            title: format!("classification, {}", check.gives.name()),
            formula: check.rule.clone(),
            inputs: inputs.collect(),
            remarks: vec![format!("limit: {}", check.origin)],
            result: wording.reason(&check.because),
        }
    }
}

/// A trace as an object.
pub fn trace_json(trace: &Trace) -> Value {
    let input = |input: &crate::chemistry::Input| json!({"what": input.what, "value": input.value, "unit": input.unit, "source": origin_json(&input.origin)});
    json!({
        "formula": trace.formula,
        "inputs": trace.inputs.iter().map(input).collect::<Vec<_>>(),
        "remarks": trace.remarks,
        "result": trace.result,
    })
}

/// A figure with its bounds.
pub(super) fn figure_json(figure: &Figure) -> Value {
    json!({"value": figure.value, "low": figure.low, "high": figure.high})
}

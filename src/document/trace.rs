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
    pub(super) fn of(title: &str, trace: &Trace, wording: &Wording) -> Self {
        let inputs = trace.inputs.iter().map(|input| InputView {
            what: wording.said(&input.what),
            value: format!("{} {}", significant(input.value, 5), input.unit)
                .trim_end()
                .to_owned(),
            source: wording.known(&input.origin.to_string()),
        });
        Self {
            title: wording.said(title),
            formula: wording.said(trace.formula),
            inputs: inputs.collect(),
            remarks: trace
                .remarks
                .iter()
                .map(|remark| wording.said(remark))
                .collect(),
            result: wording.said(&trace.result),
        }
    }

    /// A comparison of the classification, told in the same way.
    pub(super) fn of_check(check: &crate::classify::Check, wording: &Wording) -> Self {
        let inputs = check.ingredients.iter().map(|part| InputView {
            what: wording.known(&part.name),
            value: wording.said(&format!(
                "{} %, counted {} times",
                significant(part.percent, 4),
                significant(part.weight, 4)
            )),
            source: String::new(),
        });
        Self {
            title: wording.said(&format!("classification, {}", check.gives.name())),
            formula: check.rule.clone(),
            inputs: inputs.collect(),
            remarks: vec![wording.said(&format!("limit: {}", check.origin))],
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

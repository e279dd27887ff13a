//! [`Classification`] → the JSON object that other programs rely on.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;

use crate::catalogue::Statements;
use crate::classify::{
    Check, Classification, Entered, NotComputed, Profile, Route, Signal, Supplement,
};

use super::super::Wording;

/// The object of `wetside classify`: what is promised first, then the trace.
#[derive(Serialize)]
struct Report<'a> {
    rules: Profile,
    classification: Vec<Class<'a>>,
    signal: Option<Signal>,
    pictograms: &'a [String],
    statements: &'a [String],
    supplemental: Vec<String>,
    precautions: &'a [String],
    precautions_label: &'a [String],
    ate_mix: &'a BTreeMap<Route, f64>,
    unknown_percent: &'a BTreeMap<Route, f64>,
    nearly: Vec<Class<'a>>,
    not_computed: Vec<Open<'a>>,
    notes: Vec<String>,
}

/// A class, and the comparison behind it.
#[derive(Serialize)]
struct Class<'a> {
    class: &'a str,
    statement: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    concerns: Option<&'a str>,
    rule: &'a str,
    because: String,
    value: f64,
    limit: f64,
    ingredients: Vec<Part<'a>>,
    source: String,
}

#[derive(Serialize)]
struct Part<'a> {
    name: &'a str,
    percent: f64,
    weight: f64,
}

#[derive(Serialize)]
struct Open<'a> {
    class: &'a str,
    because: String,
}

/// The promised JSON object for one classification; supplemental statements and reasons in words.
pub fn classification_json(
    classification: &Classification,
    statements: &Statements,
    wording: &Wording,
) -> Value {
    let class = |check| class(check, wording);
    let label = &classification.label;
    let report = Report {
        rules: classification.profile,
        classification: classification.classes.iter().map(class).collect(),
        signal: label.signal,
        pictograms: &label.pictograms,
        statements: &label.statements,
        supplemental: classification
            .supplemental
            .iter()
            .map(|s| told(s, statements, wording))
            .collect(),
        precautions: &label.precautions_all,
        precautions_label: &label.precautions_label,
        ate_mix: &classification.ate_mix,
        unknown_percent: &classification.unknown_percent,
        nearly: classification.near.iter().map(class).collect(),
        not_computed: classification
            .not_computed
            .iter()
            .map(|o| open(o, wording))
            .collect(),
        notes: wording.reasons(&classification.notes),
    };
    // Strings and finite numbers only: there is nothing in it that JSON could not hold.
    serde_json::to_value(report).unwrap_or(Value::Null)
}

fn class<'a>(check: &'a Check, wording: &Wording) -> Class<'a> {
    let statement = check.gives.statement.as_str();
    Class {
        class: check.gives.name(),
        statement: (!statement.is_empty()).then_some(statement),
        concerns: check.gives.detail.as_deref(),
        rule: &check.rule,
        because: wording.reason(&check.because),
        value: check.value,
        limit: check.limit,
        ingredients: check.ingredients.iter().map(part).collect(),
        source: check.origin.to_string(),
    }
}

fn part(entered: &Entered) -> Part<'_> {
    Part {
        name: &entered.name,
        percent: entered.percent,
        weight: entered.weight,
    }
}

fn open<'a>(open: &'a NotComputed, wording: &Wording) -> Open<'a> {
    Open {
        class: &open.class,
        because: wording.reason(&open.because),
    }
}

/// Code and sentence, with the names it asks for: `EUH208: Contains metol. May produce an allergic
/// reaction.`
fn told(supplement: &Supplement, statements: &Statements, wording: &Wording) -> String {
    let code = &supplement.code;
    match statements.phrase_about(code, &supplement.ingredients) {
        Some((phrase, _)) => format!("{code}: {phrase}."),
        None => format!(
            "{code}: {}",
            wording.reasons(&supplement.because).join("; ")
        ),
    }
}

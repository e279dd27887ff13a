//! What the rules of the place put on labels.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::assessment::Assessment;
use crate::catalogue::Chemical;
use crate::rules::{InForce, LabelOn, RuleFile, Target};

use super::{Label, LabelWords, each};

/// Stands behind what a rule of the place says, as on every page.
const MARK: &str = "\u{a0}§";

/// Lines for bottles, each where it is about something in it. Labels stand in the plan's order.
pub fn add_house_to_bottles(labels: &mut [Label], assessment: &Assessment, rules: &InForce) {
    for (label, solution) in labels.iter_mut().zip(&assessment.plan.solutions) {
        let jars = solution
            .additions()
            .map(|(_, added)| Arc::clone(&added.jar));
        let jars: Vec<Arc<Chemical>> = jars.collect();
        label
            .supplements
            .extend(lines(rules, LabelOn::Bottle, &jars));
    }
}

/// Lines for the containers of a session's waste. Labels stand in the order of the streams' ids.
pub fn add_house_to_waste(
    labels: &mut [Label],
    assessment: &Assessment,
    rules: &InForce,
    words: &[LabelWords],
) {
    let mut streams: BTreeMap<&str, Vec<Arc<Chemical>>> = BTreeMap::new();
    for solution in &assessment.plan.solutions {
        let Some(stream) = &solution.stream else {
            continue;
        };
        let jars = solution
            .additions()
            .map(|(_, added)| Arc::clone(&added.jar));
        streams.entry(stream).or_default().extend(jars);
    }
    for (label, (stream, jars)) in labels.iter_mut().zip(streams) {
        add_house_to_stream(label, stream, &jars, rules, words);
    }
}

/// Lines for one waste container, and how long it may stay.
pub fn add_house_to_stream(
    label: &mut Label,
    stream: &str,
    jars: &[Arc<Chemical>],
    rules: &InForce,
    words: &[LabelWords],
) {
    let of_stream = |rules: &RuleFile| -> Vec<f64> {
        let days = rules.days.iter().filter(|rule| rule.what.stream == stream);
        days.map(|rule| rule.what.at_most).collect()
    };
    let days = rules
        .files
        .iter()
        .flat_map(of_stream)
        .min_by(f64::total_cmp);
    if let Some(days) = days {
        let said = each(words, |w| {
            w.filled("days", "days", &days.to_string()) + MARK
        });
        label.supplements.extend(said);
    }
    label.supplements.extend(lines(rules, LabelOn::Waste, jars));
}

fn lines(rules: &InForce, on: LabelOn, jars: &[Arc<Chemical>]) -> Vec<String> {
    let all = rules
        .files
        .iter()
        .flat_map(|file| &file.labels)
        .map(|rule| &rule.what);
    all.filter(|label| label.on == on || label.on == LabelOn::All)
        .filter(|label| Target::concerns_any(&label.about, jars))
        .map(|label| format!("{}{MARK}", label.text))
        .collect()
}

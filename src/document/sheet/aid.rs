//! First aid on the wall: the gravest family's words, then what others add to them.

use serde::Serialize;

use crate::assessment::{Assessment, Measure};

use super::mark;

/// First aid by route.
#[derive(Debug, Serialize)]
pub struct Aid {
    eyes: Route,
    skin: Route,
    breathed: Route,
    swallowed: Route,
}

/// One route.
#[derive(Debug, Serialize)]
pub struct Route {
    /// Minutes of rinsing, at least.
    minutes: Option<u32>,
    /// What asks for the longest time.
    longest_for: String,
    /// What to do, for whatever it was.
    first: String,
    first_mark: &'static str,
    /// What to do besides, by family.
    more: Vec<More>,
}

#[derive(Debug, Serialize)]
struct More {
    family: String,
    text: String,
    mark: &'static str,
}

pub(super) fn aid(assessment: &Assessment) -> Aid {
    let aid = &assessment.first_aid;
    Aid { eyes: route(&aid.eyes), skin: route(&aid.skin), breathed: route(&aid.breathed), swallowed: route(&aid.swallowed) }
}

/// Sentences that were said already are not said again.
fn route(measure: &Measure) -> Route {
    let mut said: Vec<String> = Vec::new();
    let mut fresh = |text: &str| {
        let new: Vec<&str> = sentences(text).filter(|sentence| !said.contains(&folded(sentence))).collect();
        said.extend(new.iter().map(|sentence| folded(sentence)));
        new.join(" ")
    };
    let first = measure.lines.first();
    let view = Route {
        minutes: measure.minutes,
        longest_for: measure.longest_for.join(", "),
        first: first.map(|line| fresh(&line.text)).unwrap_or_default(),
        first_mark: first.map_or("", |line| mark(&line.origin)),
        more: Vec::new(),
    };
    let more = measure.lines.iter().skip(1).map(|line| More {
        family: line.family.clone(),
        text: fresh(&line.text),
        mark: mark(&line.origin),
    });
    Route { more: more.filter(|more| !more.text.is_empty()).collect(), ..view }
}

fn sentences(text: &str) -> impl Iterator<Item = &str> {
    text.split_inclusive(['.', '!']).map(str::trim).filter(|sentence| !sentence.is_empty())
}

fn folded(sentence: &str) -> String {
    sentence.to_lowercase().chars().filter(|c| c.is_alphanumeric()).collect()
}

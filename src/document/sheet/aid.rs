//! First aid on the wall: the gravest family's words, then what others add to them.

use std::collections::BTreeSet;

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
    Aid {
        eyes: route(&aid.eyes),
        skin: route(&aid.skin),
        breathed: route(&aid.breathed),
        swallowed: route(&aid.swallowed),
    }
}

/// Sentences that were said already are not said again.
fn route(measure: &Measure) -> Route {
    let mut said = Said::default();
    let first = measure.lines.first();
    let mut view = Route {
        minutes: measure.minutes,
        longest_for: measure.longest_for.join(", "),
        first: first.map(|line| said.fresh(&line.text)).unwrap_or_default(),
        first_mark: first.map_or("", |line| mark(&line.origin)),
        more: Vec::new(),
    };
    for line in measure.lines.iter().skip(1) {
        let text = said.fresh(&line.text);
        if !text.is_empty() {
            view.more.push(More {
                family: line.family.clone(),
                text,
                mark: mark(&line.origin),
            });
        }
    }
    view
}

/// What a box says already, sentence by sentence, as sets of words.
#[derive(Default)]
pub(in crate::document) struct Said(Vec<BTreeSet<String>>);

impl Said {
    /// The sentences of a text that say something new.
    pub(in crate::document) fn fresh(&mut self, text: &str) -> String {
        let mut new: Vec<&str> = Vec::new();
        for sentence in sentences(text) {
            let words = words(sentence);
            // A single word (`Call.`) can be the stronger order: it is only the same as itself.
            let told = |known: &BTreeSet<String>| {
                if words.len() > 1 {
                    words.is_subset(known)
                } else {
                    words == *known
                }
            };
            if !self.0.iter().any(told) {
                self.0.push(words);
                new.push(sentence);
            }
        }
        new.join(" ")
    }
}

fn sentences(text: &str) -> impl Iterator<Item = &str> {
    text.split_inclusive(['.', '!'])
        .map(str::trim)
        .filter(|sentence| !sentence.is_empty())
}

fn words(sentence: &str) -> BTreeSet<String> {
    let parts = sentence.split(|c: char| !c.is_alphanumeric());
    parts
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}

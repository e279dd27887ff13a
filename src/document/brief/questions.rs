//! Questions that this briefing answers.

use std::collections::BTreeMap;

use minijinja::Environment;
use serde::Serialize;

use crate::catalogue::DataError;

use super::words::{Ask, BriefWords, environment};

/// How many are asked at most.
const MOST: usize = 6;
/// Answers to choose from.
const CHOICES: usize = 3;

/// A question with answers to choose from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Question {
    /// From 1.
    pub number: usize,
    /// What it is about.
    pub id: String,
    /// The question.
    pub ask: String,
    /// Answers, one of them right.
    pub choices: Vec<String>,
    /// The right one, word for word as the page has it.
    pub answer: String,
}

/// The weightiest questions whose answers are among the facts.
pub(super) fn questions(
    words: &BriefWords,
    facts: &BTreeMap<&str, String>,
) -> Result<Vec<Question>, DataError> {
    let environment = environment(&words.tongue);
    let mut asked: Vec<Question> = Vec::new();
    for ask in &words.questions {
        if asked.len() == MOST {
            break;
        }
        asked.extend(question(asked.len() + 1, ask, facts, &environment)?);
    }
    Ok(asked)
}

fn question(
    number: usize,
    ask: &Ask,
    facts: &BTreeMap<&str, String>,
    environment: &Environment<'_>,
) -> Result<Option<Question>, DataError> {
    let fill = |template: &str| {
        let filled = environment.render_str(template, facts);
        filled
            .map(|text| text.trim().to_owned())
            .map_err(|error| DataError::new(format!("briefing.yaml, question {}", ask.id), error))
    };
    let (text, answer) = (fill(&ask.ask)?, fill(&ask.right)?);
    let mut choices: Vec<String> = Vec::new();
    for wrong in &ask.wrong {
        let wrong = fill(wrong)?;
        let known = |other: &String| other.eq_ignore_ascii_case(&wrong);
        let is_new = !wrong.is_empty() && !known(&answer) && !choices.iter().any(known);
        if is_new && choices.len() + 1 < CHOICES {
            choices.push(wrong);
        }
    }
    if text.is_empty() || answer.is_empty() || choices.len() + 1 < CHOICES {
        return Ok(None);
    }
    // The right one stands in another place from question to question and day to day.
    let place = (number + answer.len()) % CHOICES;
    choices.insert(place, answer.clone());
    Ok(Some(Question {
        number,
        id: ask.id.clone(),
        ask: text,
        choices,
        answer,
    }))
}

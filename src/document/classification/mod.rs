//! A classification told to people: what `classify` prints.

mod json;

use serde::Serialize;
use serde_json::{Value, json};

use crate::catalogue::Statements;
use crate::classify::Classification;

use super::Wording;

pub use json::classification_json;

/// A statement in words.
#[derive(Debug, Serialize)]
struct Phrase {
    code: String,
    text: String,
}

/// The object of `classify`, with the sentences behind the codes.
pub fn classification_view(
    name: &str,
    classification: &Classification,
    statements: &Statements,
    wording: &Wording,
) -> Value {
    let mut view = classification_json(classification, statements, wording);
    let label = &classification.label;
    let on_label = |code: &&String| label.precautions_label.contains(code);
    let more: Vec<&String> = label
        .precautions_all
        .iter()
        .filter(|code| !on_label(code))
        .collect();
    let own = json!({
        "title": name,
        "signal_word": label.signal.map(|signal| wording.word(&signal.to_string()).to_owned()),
        "deference": wording.word("deference"),
        "hazards": phrases(label.statements.iter(), statements),
        "precautions_first": phrases(label.precautions_label.iter(), statements),
        "precautions_more": phrases(more.into_iter(), statements),
        "pictogram_words": label.pictograms.iter().map(|id| json!({"id": id, "words": wording.word(id)})).collect::<Vec<_>>(),
    });
    if let (Some(all), Value::Object(own)) = (view.as_object_mut(), own) {
        all.extend(own);
    }
    view
}

fn phrases<'c>(codes: impl Iterator<Item = &'c String>, statements: &Statements) -> Vec<Phrase> {
    codes
        .map(|code| Phrase {
            code: code.clone(),
            text: statements
                .phrase(code)
                .map_or_else(String::new, |(text, _)| text),
        })
        .collect()
}

//! The facts at the top of a document.

use pulldown_cmark::{Event, Parser};

use super::Fault;
use crate::document::blocks::Facts;

/// The keys there are.
pub const FACTS: [&str; 5] = ["title", "language", "date", "deference", "page"];

/// What holds until the document says otherwise.
pub fn none() -> Facts {
    Facts {
        title: String::new(),
        language: "en".into(),
        date: String::new(),
        deference: String::new(),
        page_count: "{page} / {pages}".into(),
    }
}

/// Takes up one line, `key: text`.
pub fn read(facts: &mut Facts, line: &str) -> Result<(), Fault> {
    let (key, text) = line
        .split_once(':')
        .ok_or_else(|| Fault::NotAFact(line.trim().into()))?;
    let fact = match key.trim() {
        "title" => &mut facts.title,
        "language" => &mut facts.language,
        "date" => &mut facts.date,
        "deference" => &mut facts.deference,
        "page" => &mut facts.page_count,
        other => return Err(Fault::UnknownFact(other.into())),
    };
    *fact = inline_text(unquoted(text.trim()));
    Ok(())
}

/// Quotes around a whole fact are not part of it: editors take facts for YAML and want them.
fn unquoted(text: &str) -> &str {
    text.strip_prefix('"')
        .and_then(|text| text.strip_suffix('"'))
        .unwrap_or(text)
}

/// A line of Markdown as bare text. Something stands before it while it is read, so that
/// `3. December` is a date and not a list.
fn inline_text(markdown: &str) -> String {
    const BEFORE: char = '·';
    let text: String = Parser::new(&format!("{BEFORE}{markdown}"))
        .filter_map(|event| match event {
            Event::Text(text) | Event::Code(text) | Event::InlineHtml(text) => {
                Some(text.to_string())
            }
            Event::SoftBreak | Event::HardBreak => Some(" ".to_string()),
            _ => None,
        })
        .collect();
    text.strip_prefix(BEFORE).unwrap_or(&text).to_string()
}

//! A Markdown template filled with what a page says.

use std::fmt;
use std::sync::Arc;

use minijinja::value::Serde;
use minijinja::{AutoEscape, Environment, ErrorKind, Output, UndefinedBehavior, Value};
use serde::Serialize;

use crate::catalogue::{Catalogue, DataError, DataFiles};
use crate::rules::HouseLine;

use super::Document;
use super::markdown::{self, MarkdownError};
use super::tongue::{FOREIGN, Tongue};
use super::wording::template;

/// Steps a template may take; the longest sheet needs a few ten thousand.
const FUEL: u64 = 5_000_000;

/// A template that cannot be filled, with its name and the line where that is known.
#[derive(Debug)]
pub struct TemplateError {
    template: String,
    message: String,
}

impl fmt::Display for TemplateError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.template, self.message)
    }
}

impl std::error::Error for TemplateError {}

/// The document of a template in a language. What people wrote is text and never Markdown.
///
/// # Errors
/// When the template is missing, asks for something that is not there, or makes Markdown that no
/// page can show.
pub fn fill(
    files: &DataFiles,
    language: &str,
    name: &str,
    view: &impl Serialize,
) -> Result<Document, TemplateError> {
    filled(
        files,
        (language, Tongue::load(files, language)),
        name,
        view,
        &[],
    )
}

/// The same with what the catalogue calls its chemicals in the language, and with what the rules of
/// the place say, where the template asks for it or at the end.
///
/// # Errors
/// As [`fill`].
pub fn fill_with(
    catalogue: &Catalogue,
    language: &str,
    name: &str,
    view: &impl Serialize,
    house: &[HouseLine],
) -> Result<Document, TemplateError> {
    let files = catalogue.files();
    let tongue = Tongue::load(files, language).map(|tongue| tongue.naming(catalogue, language));
    filled(files, (language, tongue), name, view, house)
}

fn filled(
    files: &DataFiles,
    (language, tongue): (&str, Result<Tongue, DataError>),
    name: &str,
    view: &impl Serialize,
    house: &[HouseLine],
) -> Result<Document, TemplateError> {
    let path = template(files, language, name);
    let error = |message: String| TemplateError {
        template: path.clone(),
        message,
    };
    let source = files
        .text(&path)
        .ok_or_else(|| error("this template is missing".into()))?;
    let own = files
        .text(&template(files, language, HOUSE))
        .unwrap_or_default();
    let mut environment = environment(tongue.map_err(|cause| error(cause.message))?);
    environment
        .add_template(HOUSE, own)
        .map_err(|cause| error(format!("{HOUSE}: {cause:#}")))?;
    let mut source = marked(source, language);
    if !source.contains(HOUSE) {
        source.push_str(&format!("\n{{% include \"{HOUSE}\" %}}\n"));
    }
    let filled = environment
        .render_named_str(
            &path,
            &source,
            Serde(with_house(view, house).map_err(&error)?),
        )
        .map_err(|cause| error(format!("{cause}")))?;
    markdown::parse(&tidy(&filled))
        .map_err(|cause: MarkdownError| error(format!("filled in, {cause}")))
}

/// A page that the language has no template for is English, and says so at its top.
fn marked(source: &str, language: &str) -> String {
    const ENGLISH: &str = "\nlanguage: en\n";
    match source.split_once("\n---\n") {
        Some((head, body)) if language != "en" && format!("{head}\n").contains(ENGLISH) => {
            format!("{head}\n---\n\n{FOREIGN}\n\n{body}")
        }
        _ => source.to_owned(),
    }
}

/// What the rules of the place say, as a template for every document.
const HOUSE: &str = "local-rules.md";

fn with_house(view: &impl Serialize, house: &[HouseLine]) -> Result<serde_json::Value, String> {
    let mut view = serde_json::to_value(view).map_err(|error| error.to_string())?;
    let house = serde_json::to_value(house).map_err(|error| error.to_string())?;
    if let Some(view) = view.as_object_mut() {
        view.insert("house".to_owned(), house);
    }
    Ok(view)
}

/// What the rules of the place say, as lines of plain text.
///
/// # Errors
/// When the template cannot be filled.
pub fn house_text(
    files: &DataFiles,
    language: &str,
    house: &[HouseLine],
) -> Result<Vec<String>, TemplateError> {
    let path = template(files, language, HOUSE);
    let error = |message: String| TemplateError {
        template: path.clone(),
        message,
    };
    let source = files.text(&path).unwrap_or_default();
    let mut environment =
        environment(Tongue::load(files, language).map_err(|cause| error(cause.message))?);
    environment.set_auto_escape_callback(|_| AutoEscape::None);
    environment.set_formatter(minijinja::escape_formatter);
    let view = serde_json::json!({"house": house});
    let filled = environment
        .render_str(source, Serde(view))
        .map_err(|cause| error(format!("{cause}")))?;
    let lines = filled
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty());
    Ok(lines
        .map(|line| line.replace(['*', '#'], "").trim().to_owned())
        .collect())
}

fn environment<'source>(tongue: Tongue) -> Environment<'source> {
    let mut environment = Environment::new();
    let tongue = Arc::new(tongue);
    filters(&mut environment, &tongue);
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_auto_escape_callback(|_| AutoEscape::Custom("markdown".into()));
    environment.set_formatter(move |out, _, value| escaped(out, value, &tongue));
    environment.set_fuel(Some(FUEL));
    environment
}

/// What templates ask of the language: `known` and `said` of [`Tongue`]; `counted` is a number with
/// its word, of one or of many; `verbatim` is what a person wrote, whatever it looks like.
pub(super) fn filters(environment: &mut Environment<'_>, tongue: &Arc<Tongue>) {
    let own = Arc::clone(tongue);
    environment.add_filter("known", move |text: String| own.known(&text));
    let own = Arc::clone(tongue);
    environment.add_filter("said", move |text: String| own.said(&text));
    environment.add_filter("counted", |count: u64, one: String, many: String| {
        format!("{count} {}", if count == 1 { one } else { many })
    });
    environment.add_filter("verbatim", |text: String| {
        Value::from_safe_string(markdown::escape(&text))
    });
}

/// Every value is text on the page, whatever characters it holds, its figures as the language writes
/// them; what a macro made is Markdown.
fn escaped(out: &mut Output<'_>, value: &Value, tongue: &Tongue) -> Result<(), minijinja::Error> {
    if value.is_undefined() {
        // A fact that vanished from the page without a word could be the one that mattered.
        return Err(minijinja::Error::from(ErrorKind::UndefinedError));
    }
    if value.is_none() {
        return Ok(());
    }
    let text = value.to_string();
    let written = if value.is_safe() {
        out.write_str(&text)
    } else {
        out.write_str(&markdown::escape(&tongue.figures(&text)))
    };
    written.map_err(minijinja::Error::from)
}

/// Loops leave runs of empty lines behind; one is enough to end a paragraph.
fn tidy(filled: &str) -> String {
    let mut tidy = String::with_capacity(filled.len());
    let mut empty = 0;
    for line in filled.lines() {
        empty = if line.trim().is_empty() { empty + 1 } else { 0 };
        if empty < 2 {
            tidy.push_str(line.trim_end());
            tidy.push('\n');
        }
    }
    tidy
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::SourceFile;

    fn page(template: &str) -> Result<Document, TemplateError> {
        let mut files = DataFiles::embedded();
        let file = SourceFile::new("card.md", template.as_bytes().to_vec()).expect("text");
        files
            .overlay("templates/card.md", &file)
            .expect("a template");
        fill(
            &files,
            "en",
            "card.md",
            &serde_json::json!({"name": "a *jar*", "none": null, "group": {}}),
        )
    }

    #[test]
    fn a_fact_that_is_not_there_stops_the_page() {
        assert!(page("{{ name }} {{ none }}").is_ok());
        for missing in ["{{ nmae }}", "{{ group.limit }}"] {
            assert!(page(missing).is_err(), "{missing}");
        }
    }
}

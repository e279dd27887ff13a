//! A Markdown template filled with facts → a document.

use std::fmt;

use minijinja::syntax::SyntaxConfig;
use minijinja::value::ValueKind;
use minijinja::{
    AutoEscape, Environment, Error, ErrorKind, Output, State, UndefinedBehavior, Value,
};

use crate::catalogue::{DataError, DataFiles};

use super::blocks::Document;
use super::markdown;
use super::wording::template;

/// Steps a template may take; the longest document needs a hundredth of them. A template of a
/// workspace that never ends is stopped.
const FUEL: u64 = 10_000_000;

/// A template that cannot be filled in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TemplateError {
    /// The template's path, with the line where it is known.
    pub file: String,
    /// What is wrong with it.
    pub message: String,
}

impl fmt::Display for TemplateError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.file, self.message)
    }
}

impl std::error::Error for TemplateError {}

impl From<TemplateError> for DataError {
    fn from(error: TemplateError) -> Self {
        Self {
            file: error.file,
            message: error.message,
        }
    }
}

/// Fills the template of a name (`card.md`) in a language, English where it has none.
///
/// Every value is written as the text it is: nothing in it can become Markdown. What a template
/// means to be Markdown stands in the template.
///
/// # Errors
/// When the template is missing, is no Jinja, asks for a fact that is not there or has no value,
/// never ends, or asks for a layout that no page knows.
pub fn fill(
    files: &DataFiles,
    language: &str,
    name: &str,
    context: serde_json::Value,
) -> Result<Document, TemplateError> {
    let path = template(files, language, name);
    let source = files.text(&path).ok_or_else(|| TemplateError {
        file: path.clone(),
        message: "this template is missing".into(),
    })?;
    let filled = environment()
        .and_then(|environment| {
            environment.render_named_str(&path, source, minijinja::value::Serde(&context))
        })
        .map_err(|error| refused(&path, &error))?;
    markdown::parse(&filled).map_err(|error| TemplateError {
        message: format!("once filled in, {error}: `{}`", line(&filled, error.line)),
        file: path,
    })
}

fn environment() -> Result<Environment<'static>, Error> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_auto_escape_callback(|_| AutoEscape::Custom("markdown".into()));
    environment.set_formatter(write);
    environment.set_syntax(
        // A line that holds only a tag leaves no blank line behind.
        SyntaxConfig::builder()
            .trim_blocks(true)
            .lstrip_blocks(true)
            .build()?,
    );
    environment.set_fuel(Some(FUEL));
    Ok(environment)
}

/// Writes a value so that Markdown takes it for plain text; what the template itself made of
/// parts (a macro, a captured block) is written as it is.
fn write(out: &mut Output, state: &mut State, value: &Value) -> Result<(), Error> {
    let refuse = |what: &str| {
        let message = format!("{what} cannot be printed; test for it or print its parts");
        Err(Error::new(ErrorKind::InvalidOperation, message))
    };
    match value.kind() {
        ValueKind::Undefined => minijinja::escape_formatter(out, state, value),
        ValueKind::None => refuse("a fact without a value"),
        ValueKind::Seq | ValueKind::Map | ValueKind::Iterable => refuse("a list of facts"),
        _ if value.is_safe() => Ok(out.write_str(&value.to_string())?),
        _ => Ok(out.write_str(&markdown::escape(&value.to_string()))?),
    }
}

fn refused(path: &str, error: &Error) -> TemplateError {
    let at = error
        .line()
        .map_or(String::new(), |line| format!(":{line}"));
    let message = match error.kind() {
        ErrorKind::OutOfFuel => "it does not come to an end".to_owned(),
        kind => error
            .detail()
            .map_or(kind.to_string(), |detail| format!("{kind}: {detail}")),
    };
    TemplateError {
        file: format!("{path}{at}"),
        message,
    }
}

fn line(text: &str, number: usize) -> &str {
    text.lines().nth(number.saturating_sub(1)).unwrap_or("")
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::super::blocks::{Block, Inline, plain};
    use super::*;

    fn filled(source: &str, context: serde_json::Value) -> Result<Document, TemplateError> {
        let mut files = DataFiles::embedded();
        files.overlay("templates/try.md", source).unwrap();
        fill(&files, "en", "try.md", context)
    }

    #[test]
    fn a_value_never_becomes_markdown() {
        for text in [
            "# heading",
            "**bold** | cell",
            "- item",
            "![x](pictogram:GHS05)",
            "1. one",
            "<b>",
        ] {
            let document = filled("{{ text }}", json!({ "text": text })).unwrap();
            match document.blocks.as_slice() {
                [Block::Paragraph(inlines)] => assert_eq!(plain(inlines), text),
                other => panic!("{text} became {other:?}"),
            }
        }
    }

    #[test]
    fn the_template_itself_is_markdown() {
        let source = "{% macro strong(x) %}**{{ x }}**{% endmacro %}\n{{ strong(text) }}";
        let document = filled(source, json!({"text": "a*b"})).unwrap();
        match document.blocks.as_slice() {
            [Block::Paragraph(inlines)] => match inlines.as_slice() {
                [Inline::Strong(inner)] => assert_eq!(plain(inner), "a*b"),
                other => panic!("{other:?}"),
            },
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_bad_template_is_refused_with_its_line() {
        for (source, at) in [
            ("a\n{{ missing }}", "templates/try.md:2"),
            ("a\n\n{{ nothing }}", "templates/try.md:3"),
            ("{{ list }}", "templates/try.md:1"),
            ("{% for x in list %}", "templates/try.md:1"),
            ("## x {.nowhere}", "templates/try.md"),
            (
                "{% for a in range(9999) %}{% for b in range(9999) %}{% endfor %}{% endfor %}",
                "templates/try.md:1",
            ),
        ] {
            let error = filled(source, json!({"nothing": null, "list": [1, 2]})).unwrap_err();
            assert_eq!(error.file, at, "{source}: {error}");
        }
    }
}

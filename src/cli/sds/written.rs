//! A data sheet's file as a person would write it.

use std::fmt::Write as _;

/// YAML lines; what is left out is not written.
#[derive(Default)]
pub(super) struct Yaml(String);

impl Yaml {
    /// Lines below a remark, for the editor.
    pub(super) fn beginning_with(remark: &str) -> Self {
        Self(format!("# {remark}\n"))
    }

    /// `key: value`.
    pub(super) fn line(&mut self, key: &str, value: Option<&str>) {
        if let Some(value) = value {
            self.push(&format!("{key}: {}", plain_or_quoted(value)));
        }
    }

    /// A list on lines of its own.
    pub(super) fn list(&mut self, key: &str, values: &[String]) {
        if !values.is_empty() {
            self.push(&format!("{key}:"));
            for value in values {
                self.push(&format!("  - {}", plain_or_quoted(value)));
            }
        }
    }

    /// A group of lists, each on one line.
    pub(super) fn lists(&mut self, key: &str, lists: &[(&str, &[String])]) {
        let filled = lists.iter().filter(|(_, values)| !values.is_empty());
        let lines: Vec<String> = filled
            .map(|(name, values)| {
                let values: Vec<String> =
                    values.iter().map(|value| plain_or_quoted(value)).collect();
                format!("  {name}: [{}]", values.join(", "))
            })
            .collect();
        self.group(key, &lines);
    }

    /// A group of texts.
    pub(super) fn texts<'a>(&mut self, key: &str, texts: impl Iterator<Item = (&'a str, &'a str)>) {
        let lines: Vec<String> = texts
            .map(|(name, text)| format!("  {name}: {}", plain_or_quoted(text)))
            .collect();
        self.group(key, &lines);
    }

    fn group(&mut self, key: &str, lines: &[String]) {
        if !lines.is_empty() {
            self.push(&format!("{key}:"));
            for line in lines {
                self.push(line);
            }
        }
    }

    fn push(&mut self, line: &str) {
        // Writing to a string cannot fail.
        let _ = writeln!(self.0, "{line}");
    }

    /// The text.
    pub(super) fn into_text(self) -> String {
        self.0
    }
}

/// Words stand as they are; whatever YAML might take for something else stands in quotes, as JSON
/// writes them, which YAML reads too.
fn plain_or_quoted(text: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || " .-/%°³()".contains(c);
    let begins = text
        .chars()
        .next()
        .is_some_and(|c| c.is_alphanumeric() || "./".contains(c));
    let is_word = !matches!(text, "null" | "true" | "false" | "~");
    if is_word && begins && text.trim() == text && text.chars().all(plain) {
        text.to_owned()
    } else {
        serde_json::Value::from(text).to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::SourceFile;
    use crate::source::yaml::{self, Value};

    #[test]
    fn what_is_written_is_read_back() {
        for text in [
            "nitrile 0.4 mm",
            "Rinse: at once # and long",
            "- not a list",
            "\"quoted\" and 'so'",
            "null",
            "[brackets], {braces}",
            "two\nlines\tand a tab",
            "& * ! | > @ `",
            " spaces at the ends ",
            "2024-05-13",
            "Zoë’s Säure ≥ 5",
            "C:\\folder\\sheet.pdf",
        ] {
            let mut yaml = Yaml::default();
            yaml.line("note", Some(text));
            yaml.lists("gloves", &[("long", &[text.to_owned()])]);
            let file = SourceFile::new("t.yaml", yaml.into_text().into_bytes()).unwrap();
            let Value::Map(pairs) = yaml::parse(&file).unwrap().value else {
                panic!("a map")
            };
            assert_eq!(pairs[0].1.text(), Some(text));
            let Value::Map(gloves) = &pairs[1].1.value else {
                panic!("a map")
            };
            assert!(
                matches!(&gloves[0].1.value, Value::List(items) if items[0].text() == Some(text)),
                "{text}"
            );
        }
    }
}

//! YAML text → nodes that know their place.
//!
//! Only what a person writes by hand is taken: maps, lists and plain values. Anchors, aliases and
//! tags are refused (they are the way to make a small file explode), and so is deep nesting.
//! Text stays text: `2.5 g`, `1+9` and `2026-12-03` are read by those who know what they mean.

use std::sync::Arc;

use saphyr_parser::{Event, Marker, Parser, ScalarStyle, Span};

use super::{Mistake, Place, SourceFile};

/// How deep lists and maps may stand in one another.
const MAX_DEPTH: usize = 16;

/// How many entries a list or group may hold: a shelf of jars, not a database.
const MAX_ENTRIES: usize = 300;

/// A value and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Where it begins.
    pub place: Place,
    /// What it is.
    pub value: Value,
}

/// What a node holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Nothing was written.
    Empty,
    /// A plain or quoted value, as text.
    Text(String),
    /// A list.
    List(Vec<Node>),
    /// Names and values in the order written.
    Map(Vec<(Node, Node)>),
}

impl Node {
    /// The text of a plain value.
    pub fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// What stands here, for messages.
    pub fn kind(&self) -> &'static str {
        match self.value {
            Value::Empty => "nothing",
            Value::Text(_) => "a plain value",
            Value::List(_) => "a list",
            Value::Map(_) => "a group of names and values",
        }
    }
}

/// Reads a whole file.
///
/// # Errors
/// The first place where the text stops being the YAML a person writes by hand.
pub fn parse(file: &Arc<SourceFile>) -> Result<Node, Mistake> {
    let mut reader = Reader {
        file,
        parser: Parser::new_from_str(&file.text),
    };
    reader.expect_start()?;
    let (event, span) = reader.next()?;
    let node = match event {
        Event::StreamEnd | Event::DocumentEnd => Node {
            place: reader.place(span),
            value: Value::Empty,
        },
        event => reader.node(event, span, 0)?,
    };
    reader.expect_end()?;
    Ok(node)
}

struct Reader<'a> {
    file: &'a Arc<SourceFile>,
    parser: Parser<'a, saphyr_parser::StrInput<'a>>,
}

impl<'a> Reader<'a> {
    fn next(&mut self) -> Result<(Event<'a>, Span), Mistake> {
        match self.parser.next_event() {
            Some(Ok(event)) => Ok(event),
            Some(Err(error)) => Err(self.syntax(error.marker(), error.info())),
            None => Ok((Event::StreamEnd, Span::default())),
        }
    }

    fn expect_start(&mut self) -> Result<(), Mistake> {
        loop {
            match self.parser.peek() {
                Some(Ok((Event::StreamStart | Event::DocumentStart(_), _))) => {
                    self.next()?;
                }
                Some(Err(_)) => {
                    self.next()?;
                }
                _ => return Ok(()),
            }
        }
    }

    fn expect_end(&mut self) -> Result<(), Mistake> {
        loop {
            match self.next()? {
                (Event::StreamEnd, _) => return Ok(()),
                (Event::DocumentStart(_), span) => {
                    let help = "keep one session, recipe or workspace in a file; remove the `---`";
                    return Err(self.mistake(span, "a second document begins here", help));
                }
                _ => {}
            }
        }
    }

    fn node(&mut self, event: Event<'a>, span: Span, depth: usize) -> Result<Node, Mistake> {
        if depth > MAX_DEPTH {
            return Err(self.too_deep(span));
        }
        let place = self.place(span);
        let value = match event {
            Event::Scalar(text, style, anchor, tag) => {
                self.refuse_machinery(span, anchor, tag.is_some())?;
                let empty = style == ScalarStyle::Plain && matches!(&*text, "" | "~" | "null");
                if empty {
                    Value::Empty
                } else {
                    Value::Text(text.into_owned())
                }
            }
            Event::SequenceStart(anchor, tag) => {
                self.refuse_machinery(span, anchor, tag.is_some())?;
                self.list(depth)?
            }
            Event::MappingStart(anchor, tag) => {
                self.refuse_machinery(span, anchor, tag.is_some())?;
                self.map(depth)?
            }
            Event::Alias(_) => return Err(self.machinery(span)),
            _ => {
                return Err(self.mistake(
                    span,
                    "this is not a value",
                    "write a name, a number or a list",
                ));
            }
        };
        Ok(Node { place, value })
    }

    fn list(&mut self, depth: usize) -> Result<Value, Mistake> {
        let mut items = Vec::new();
        loop {
            match self.next()? {
                (Event::SequenceEnd, _) => return Ok(Value::List(items)),
                (_, span) if items.len() == MAX_ENTRIES => return Err(self.too_many(span)),
                (event, span) => items.push(self.node(event, span, depth + 1)?),
            }
        }
    }

    fn map(&mut self, depth: usize) -> Result<Value, Mistake> {
        let mut entries: Vec<(Node, Node)> = Vec::new();
        loop {
            let (event, span) = self.next()?;
            if event == Event::MappingEnd {
                return Ok(Value::Map(entries));
            }
            if entries.len() == MAX_ENTRIES {
                return Err(self.too_many(span));
            }
            let key = self.node(event, span, depth + 1)?;
            let (event, span) = self.next()?;
            let value = self.node(event, span, depth + 1)?;
            entries.push((key, value));
        }
    }

    fn refuse_machinery(&self, span: Span, anchor: usize, tagged: bool) -> Result<(), Mistake> {
        if anchor > 0 || tagged {
            Err(self.machinery(span))
        } else {
            Ok(())
        }
    }

    fn machinery(&self, span: Span) -> Mistake {
        let help = "write the value out; a text that begins with &, * or ! needs quotes";
        self.mistake(
            span,
            "anchors (&), aliases (*) and tags (!) are not used here",
            help,
        )
    }

    fn syntax(&self, marker: &Marker, info: &str) -> Mistake {
        let span = Span::empty(*marker);
        if info.contains("recursion limit") {
            return self.too_deep(span);
        }
        let line = self.file.line(marker.line());
        let help = if line.trim_start_matches(' ').starts_with('\t') || line.starts_with('\t') {
            "indent with spaces, not tabs"
        } else if info.contains("mapping values are not allowed") {
            "a text with a colon in it needs quotes; otherwise check the indentation of this line"
        } else {
            "check the indentation, quotes and brackets of this line and the one above"
        };
        self.mistake(span, &format!("this cannot be read as YAML: {info}"), help)
    }

    fn too_many(&self, span: Span) -> Mistake {
        let message = format!("more than {MAX_ENTRIES} entries stand in one list or group");
        self.mistake(
            span,
            &message,
            "is this the file you meant? otherwise part it",
        )
    }

    fn too_deep(&self, span: Span) -> Mistake {
        let help = "nothing here needs more than a few levels; check the indentation";
        self.mistake(span, "lists and groups stand too deep in one another", help)
    }

    fn mistake(&self, span: Span, message: &str, help: &str) -> Mistake {
        Mistake::at(self.place(span), message.to_owned(), help.to_owned())
    }

    fn place(&self, span: Span) -> Place {
        let length = if span.start.line() == span.end.line() {
            span.len().max(1)
        } else {
            1
        };
        Place {
            file: Arc::clone(self.file),
            line: span.start.line().max(1),
            column: span.start.col() + 1,
            length,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(text: &str) -> Arc<SourceFile> {
        SourceFile::new("test.yaml", text.as_bytes().to_vec()).unwrap()
    }

    #[test]
    fn every_value_knows_its_place() {
        let node = parse(&file("make:\n  - {recipe: stop, volume: 2 L}\n")).unwrap();
        let Value::Map(entries) = &node.value else {
            panic!("a map")
        };
        let Value::List(items) = &entries[0].1.value else {
            panic!("a list")
        };
        let Value::Map(fields) = &items[0].value else {
            panic!("a map")
        };
        let volume = &fields[1].1;
        assert_eq!(volume.text(), Some("2 L"));
        assert_eq!(
            (volume.place.line, volume.place.column, volume.place.length),
            (2, 28, 3)
        );
    }

    #[test]
    fn what_could_explode_is_refused() {
        for text in [
            "a: &x 1\nb: *x",
            "a: !!binary 1",
            "--- a\n--- b",
            &"[".repeat(100),
        ] {
            assert!(parse(&file(text)).is_err(), "{text}");
        }
    }

    #[test]
    fn tabs_are_named_as_what_is_wrong() {
        let mistake = parse(&file("make:\n\t- a: b\n")).unwrap_err();
        assert_eq!(mistake.help, ["indent with spaces, not tabs"]);
    }

    #[test]
    fn an_empty_file_is_empty() {
        assert_eq!(
            parse(&file("# only a comment\n")).unwrap().value,
            Value::Empty
        );
        assert_eq!(parse(&file("")).unwrap().value, Value::Empty);
    }
}

//! Taking named fields out of nodes, and collecting what is wrong with them.

use std::fmt::Display;
use std::str::FromStr;

use super::Place;
use super::yaml::{Node, Value};

/// Something in a person's file that cannot be taken as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Mistake {
    /// Where, when it is at one place.
    pub place: Option<Place>,
    /// The file's name.
    pub file: String,
    /// What is wrong, one line.
    pub message: String,
    /// What to do, most useful first.
    pub help: Vec<String>,
}

impl Mistake {
    /// A mistake at a place.
    pub fn at(place: Place, message: impl Into<String>, help: impl Into<String>) -> Self {
        let file = place.file.name.clone();
        Self {
            place: Some(place),
            file,
            message: message.into(),
            help: vec![help.into()],
        }
    }

    /// Adds one more line of help.
    #[must_use]
    pub fn or(mut self, help: impl Into<String>) -> Self {
        self.help.push(help.into());
        self
    }
}

/// All mistakes of one reading.
#[derive(Debug, Default)]
pub struct Mistakes {
    list: Vec<Mistake>,
}

impl Mistakes {
    /// Notes a mistake and goes on.
    pub fn note(&mut self, mistake: Mistake) {
        self.list.push(mistake);
    }

    /// Notes several.
    pub fn note_all(&mut self, mistakes: impl IntoIterator<Item = Mistake>) {
        self.list.extend(mistakes);
    }

    /// Takes the value of a result, or notes its mistake.
    pub fn keep<T>(&mut self, result: Result<T, Mistake>) -> Option<T> {
        result.map_err(|mistake| self.note(mistake)).ok()
    }

    /// Whether nothing is wrong so far.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// The value if nothing is wrong, or all mistakes in the order of the file.
    ///
    /// # Errors
    /// All that was noted.
    pub fn or_value<T>(self, value: Option<T>) -> Result<T, Vec<Mistake>> {
        match value {
            Some(value) if self.list.is_empty() => Ok(value),
            _ => Err(self.into_list()),
        }
    }

    /// All mistakes, by file and in the order of the file.
    pub fn into_list(mut self) -> Vec<Mistake> {
        let place = |m: &Mistake| m.place.as_ref().map(|p| (p.line, p.column));
        self.list
            .sort_by(|a, b| (&a.file, place(a)).cmp(&(&b.file, place(b))));
        // A recipe that is made twice is read twice.
        self.list.dedup();
        self.list
    }
}

/// The fields of one group.
pub struct Fields<'a> {
    what: &'static str,
    place: &'a Place,
    entries: Vec<(&'a str, &'a Node)>,
}

impl<'a> Fields<'a> {
    /// The fields of a node; notes every field that is unknown, repeated or not a name.
    pub fn of(
        node: &'a Node,
        what: &'static str,
        known: &[&str],
        mistakes: &mut Mistakes,
    ) -> Option<Self> {
        let Value::Map(pairs) = &node.value else {
            let message = format!(
                "{what} is a group of names and values; here stands {}",
                node.kind()
            );
            mistakes.note(Mistake::at(
                node.place.clone(),
                message,
                fields_help(what, known),
            ));
            return None;
        };
        let mut entries: Vec<(&str, &Node)> = Vec::new();
        for (key, value) in pairs {
            let Some(name) = key.text() else {
                let message = format!("{} cannot be the name of a field", key.kind());
                mistakes.note(Mistake::at(
                    key.place.clone(),
                    message,
                    fields_help(what, known),
                ));
                continue;
            };
            if entries.iter().any(|(other, _)| *other == name) {
                let message = format!("`{name}` stands here twice");
                mistakes.note(Mistake::at(
                    key.place.clone(),
                    message,
                    "keep one of the two",
                ));
            } else if known.contains(&name) {
                entries.push((name, value));
            } else {
                mistakes.note(unknown_field(key, name, what, known));
            }
        }
        Some(Self {
            what,
            place: &node.place,
            entries,
        })
    }

    /// A field that may be left out; an empty one counts as left out.
    pub fn get(&self, name: &str) -> Option<&'a Node> {
        self.entries
            .iter()
            .find(|(other, _)| *other == name)
            .map(|(_, node)| *node)
            .filter(|node| node.value != Value::Empty)
    }

    /// A field that must be there.
    pub fn required(&self, name: &str, example: &str, mistakes: &mut Mistakes) -> Option<&'a Node> {
        let found = self.get(name);
        if found.is_none() {
            let message = format!("{} needs `{name}`", self.what);
            mistakes.note(Mistake::at(
                self.place.clone(),
                message,
                format!("add a line like `{name}: {example}`"),
            ));
        }
        found
    }

    /// A field read as a quantity, a date or whatever parses from text.
    pub fn parse<T>(&self, name: &str, mistakes: &mut Mistakes) -> Option<T>
    where
        T: FromStr,
        T::Err: Display,
    {
        self.get(name).and_then(|node| node.parse(mistakes))
    }

    /// A field of plain text.
    pub fn text(&self, name: &str, mistakes: &mut Mistakes) -> Option<String> {
        self.get(name)
            .and_then(|node| node.plain(mistakes))
            .map(str::to_owned)
    }

    /// A list of anything; one plain value counts as a list of one.
    pub fn list(&self, name: &str) -> &'a [Node] {
        match self.get(name) {
            None => &[],
            Some(node) => match &node.value {
                Value::List(items) => items,
                _ => std::slice::from_ref(node),
            },
        }
    }

    /// A list that must hold something.
    pub fn filled_list(&self, name: &str, example: &str, mistakes: &mut Mistakes) -> &'a [Node] {
        let Some(node) = self.required(name, example, mistakes) else {
            return &[];
        };
        let items = self.list(name);
        if items.is_empty() {
            let message = format!("`{name}` is an empty list");
            let help = format!("write at least one, like `{name}: {example}`");
            mistakes.note(Mistake::at(node.place.clone(), message, help));
        }
        items
    }

    /// Where the group begins.
    pub fn place(&self) -> &Place {
        self.place
    }
}

impl Node {
    /// This value parsed from its text; what is wrong is noted.
    pub fn parse<T>(&self, mistakes: &mut Mistakes) -> Option<T>
    where
        T: FromStr,
        T::Err: Display,
    {
        let text = self.plain(mistakes)?;
        text.parse()
            .map_err(|error: T::Err| {
                mistakes.note(Mistake::at(
                    self.place.clone(),
                    error.to_string(),
                    "correct this value",
                ));
            })
            .ok()
    }

    /// This value as plain text; a list or group is noted as a mistake.
    pub fn plain(&self, mistakes: &mut Mistakes) -> Option<&str> {
        let text = self.text();
        if text.is_none() {
            let message = format!("a plain value is expected; here stands {}", self.kind());
            mistakes.note(Mistake::at(
                self.place.clone(),
                message,
                "write it on the same line",
            ));
        }
        text
    }
}

fn unknown_field(key: &Node, name: &str, what: &str, known: &[&str]) -> Mistake {
    let mistake = |help: String| {
        Mistake::at(
            key.place.clone(),
            format!("`{name}` means nothing in {what}"),
            help,
        )
    };
    match nearest(name, known.iter().copied()) {
        Some(near) => mistake(format!("did you mean `{near}`?")).or(fields_help(what, known)),
        None => mistake(fields_help(what, known)),
    }
}

fn fields_help(what: &str, known: &[&str]) -> String {
    let list: Vec<String> = known.iter().map(|name| format!("`{name}`")).collect();
    format!("{what} may have {}", list.join(", "))
}

/// The known name nearest to what was written, when one is near enough to be meant.
pub fn nearest<'n>(name: &str, known: impl Iterator<Item = &'n str>) -> Option<&'n str> {
    nearest_ranked(name, known.map(|other| (0, other)))
}

/// The same; of several as near, the one of the lowest rank.
pub fn nearest_ranked<'n>(
    name: &str,
    known: impl Iterator<Item = (usize, &'n str)>,
) -> Option<&'n str> {
    let folded = name.to_lowercase();
    let letters = folded.chars().count();
    known
        .filter_map(|(rank, other)| {
            let length = other.chars().count();
            let allowed = 1 + length.min(folded.len()) / 4;
            // Names are no nearer than their lengths; whole pages pasted in are soon passed over.
            if length.abs_diff(letters) > allowed {
                return None;
            }
            let distance = strsim::damerau_levenshtein(&folded, &other.to_lowercase());
            (distance <= allowed).then_some((distance, rank, other))
        })
        .min_by_key(|(distance, rank, other)| (*distance, *rank, other.len()))
        .map(|(.., other)| other)
}

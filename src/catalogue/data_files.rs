//! The data files by path: those compiled in, and the workspace's in their place.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use serde::de::DeserializeOwned;

use crate::source::yaml::{self, Node, Value};
use crate::source::{Place, SourceFile};

include!(concat!(env!("OUT_DIR"), "/files.rs"));

/// Every file of `hazards/` and `templates/` by its path; YAML as JSON text.
#[derive(Debug, Clone, Default)]
pub struct DataFiles {
    overlay: BTreeMap<String, String>,
    /// The workspace's files as the person wrote them, for the place of a mistake.
    written: BTreeMap<String, Arc<SourceFile>>,
}

/// A data file that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DataError {
    /// The file, with line and column where they are known.
    pub file: String,
    /// What is wrong with it.
    pub message: String,
}

impl fmt::Display for DataError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.file, self.message)
    }
}

impl std::error::Error for DataError {}

impl DataError {
    /// An error in a file.
    pub fn new(file: impl Into<String>, message: impl fmt::Display) -> Self {
        Self {
            file: file.into(),
            message: message.to_string(),
        }
    }
}

impl DataFiles {
    /// The files compiled into the program.
    pub fn embedded() -> Self {
        Self::default()
    }

    /// Puts a workspace's file in the place of the one compiled in; `path` as in the program.
    ///
    /// A chemical that is known already is changed key by key, so that a single datum can be
    /// overridden; every other file is replaced whole.
    ///
    /// # Errors
    /// When nothing would read the file, or it cannot be read as YAML.
    pub fn overlay(&mut self, path: &str, file: &Arc<SourceFile>) -> Result<(), DataError> {
        if !is_read(path) {
            let message = "nothing reads a file of this name: it would change nothing";
            return Err(DataError::new(&file.name, message));
        }
        self.written.insert(path.to_owned(), Arc::clone(file));
        let text = if path.ends_with(".yaml") {
            self.merged(path, &file.text)?.to_string()
        } else {
            file.text.clone()
        };
        self.overlay.insert(path.to_owned(), text);
        Ok(())
    }

    fn merged(&self, path: &str, text: &str) -> Result<serde_json::Value, DataError> {
        let own = json_of(text).map_err(|error| match error.place {
            Some(place) => self.fault_at(path, place, &error.message),
            None => self.fault(path, &error.message),
        })?;
        let known = self.text(path).filter(|_| path.starts_with(CHEMICALS));
        let Some(known) = known else { return Ok(own) };
        let serde_json::Value::Object(own) = own else {
            return Err(self.fault(path, &"a chemical is a group of names and values"));
        };
        let mut merged: serde_json::Map<String, serde_json::Value> =
            serde_json::from_str(known).map_err(|error| self.fault(path, &error))?;
        merged.extend(own);
        Ok(merged.into())
    }

    /// What is wrong with a file, at its place in the person's file where it can be found.
    pub fn fault(&self, path: &str, message: &impl fmt::Display) -> DataError {
        let message = without_location(&message.to_string());
        let field = message.split('`').nth(1);
        let place = self.written.get(path).zip(field).and_then(|(file, field)| {
            let node = yaml::parse(file).ok()?;
            place_of(&node, field)
        });
        match (place, self.written.get(path)) {
            (Some(place), _) => DataError::new(place.to_string(), message),
            (None, Some(file)) => DataError::new(&file.name, message),
            (None, None) => DataError::new(path, message),
        }
    }

    fn fault_at(
        &self,
        path: &str,
        (line, column): (usize, usize),
        message: &impl fmt::Display,
    ) -> DataError {
        let name = self.written.get(path).map_or(path, |file| &file.name);
        let message = without_location(&message.to_string());
        DataError::new(format!("{name}:{line}:{column}"), message)
    }

    /// The text at a path.
    pub fn text(&self, path: &str) -> Option<&str> {
        self.overlay.get(path).map(String::as_str).or_else(|| {
            FILES
                .binary_search_by(|(name, _)| (*name).cmp(path))
                .ok()
                .map(|at| FILES[at].1)
        })
    }

    /// Every path below a folder (`hazards/chemicals/`), in order.
    pub fn below(&self, folder: &str) -> Vec<&str> {
        let embedded = FILES.iter().map(|(name, _)| *name);
        let mut paths: Vec<&str> = embedded
            .chain(self.overlay.keys().map(String::as_str))
            .filter(|name| name.starts_with(folder))
            .collect();
        paths.sort_unstable();
        paths.dedup();
        paths
    }

    /// The data of a YAML file.
    ///
    /// # Errors
    /// When the file is missing or does not have the shape asked for.
    pub fn read<T: DeserializeOwned>(&self, path: &str) -> Result<T, DataError> {
        let text = self
            .text(path)
            .ok_or_else(|| DataError::new(path, "this data file is missing"))?;
        serde_json::from_str(text).map_err(|error| self.fault(path, &error))
    }
}

/// How deep lists and groups may stand in one another in a data file.
const MAX_DEPTH: usize = 64;

/// Why a text is no data.
pub struct NoData {
    /// Line and column, where they are known.
    pub place: Option<(usize, usize)>,
    /// What is wrong.
    pub message: String,
}

/// The YAML text of a data file as JSON.
///
/// # Errors
/// When it is not YAML, or a key stands twice.
pub fn json_of(text: &str) -> Result<serde_json::Value, NoData> {
    // The parser below takes a minute over a file of nothing but brackets.
    if let Some(place) = too_deep(text) {
        return Err(NoData {
            place: Some(place),
            message: "lists and groups stand too deep in one another".to_owned(),
        });
    }
    let wrong = |error: serde_yaml::Error| NoData {
        place: error.location().map(|at| (at.line(), at.column())),
        message: without_location(&error.to_string()),
    };
    // By way of the YAML value, which refuses a key that stands twice.
    let yaml: serde_yaml::Value = serde_yaml::from_str(text).map_err(wrong)?;
    serde_json::to_value(yaml).map_err(|error| NoData {
        place: None,
        message: error.to_string(),
    })
}

/// Where more brackets are open than any data file has.
fn too_deep(text: &str) -> Option<(usize, usize)> {
    let mut open = 0_usize;
    for (line, text) in text.lines().enumerate() {
        for (column, c) in text.chars().enumerate() {
            match c {
                '[' | '{' => open += 1,
                ']' | '}' => open = open.saturating_sub(1),
                _ => {}
            }
            if open > MAX_DEPTH {
                return Some((line + 1, column + 1));
            }
        }
    }
    None
}

/// The chemicals' folder.
const CHEMICALS: &str = "hazards/chemicals/";

/// Whether the program reads a file of this name: one it has itself, one beside others in a
/// folder of `hazards/` that is read whole, or any template.
fn is_read(path: &str) -> bool {
    let known = |name: &str| FILES.iter().any(|(other, _)| *other == name);
    let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
    let read_whole = folder != "hazards"
        && path.ends_with(".yaml")
        && FILES
            .iter()
            .any(|(other, _)| other.rsplit_once('/').is_some_and(|(of, _)| of == folder));
    known(path) || read_whole || path.starts_with("templates/")
}

/// Without the line and column in the JSON that the person never sees.
fn without_location(message: &str) -> String {
    let cut = message.rfind(" at line ").filter(|at| {
        message[*at..]
            .trim_start_matches(" at line ")
            .chars()
            .all(|c| c.is_ascii_digit() || " column".contains(c))
    });
    message[..cut.unwrap_or(message.len())].to_owned()
}

/// Where a field or plain value stands.
fn place_of(node: &Node, wanted: &str) -> Option<Place> {
    match &node.value {
        Value::Map(entries) => entries.iter().find_map(|(key, value)| {
            if key.text() == Some(wanted) {
                return Some(key.place.clone());
            }
            place_of(value, wanted)
        }),
        Value::List(items) => items.iter().find_map(|item| place_of(item, wanted)),
        Value::Text(text) if text == wanted => Some(node.place.clone()),
        Value::Text(_) | Value::Empty => None,
    }
}

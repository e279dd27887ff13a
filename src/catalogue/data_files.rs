//! The data files by path: those compiled in, and the workspace's in their place.

use std::collections::BTreeMap;
use std::fmt;

use serde::de::DeserializeOwned;

include!(concat!(env!("OUT_DIR"), "/files.rs"));

/// Every file of `hazards/` and `templates/` by its path; YAML as JSON text.
#[derive(Debug, Clone, Default)]
pub struct DataFiles {
    overlay: BTreeMap<String, String>,
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

    /// Puts a workspace's file in the place of the one compiled in.
    ///
    /// A chemical that is known already is changed key by key, so that a single datum can be
    /// overridden; every other file is replaced whole.
    ///
    /// # Errors
    /// When a YAML file cannot be read as YAML; the line and column are given.
    pub fn overlay(&mut self, path: &str, text: &str) -> Result<(), DataError> {
        if !path.ends_with(".yaml") {
            self.overlay.insert(path.to_owned(), text.to_owned());
            return Ok(());
        }
        let mut value: serde_json::Value = serde_yaml::from_str(text).map_err(|error| {
            let place = error.location().map_or(String::new(), |at| {
                format!(":{}:{}", at.line(), at.column())
            });
            DataError::new(format!("{path}{place}"), error)
        })?;
        if let Some(known) = self
            .text(path)
            .filter(|_| path.starts_with("hazards/chemicals/"))
        {
            let mut merged: serde_json::Value =
                serde_json::from_str(known).map_err(|e| DataError::new(path, e))?;
            if let (Some(merged), Some(own)) = (merged.as_object_mut(), value.as_object()) {
                merged.extend(own.iter().map(|(key, value)| (key.clone(), value.clone())));
            }
            value = merged;
        }
        self.overlay.insert(path.to_owned(), value.to_string());
        Ok(())
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
        serde_json::from_str(text).map_err(|error| DataError::new(path, error))
    }
}

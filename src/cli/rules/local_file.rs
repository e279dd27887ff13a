//! A rule file as it lies in a folder: what it builds on, and whether it is a pack of the law.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde_json::Value;

use crate::catalogue::json_of;
use crate::rules::{self, Named};
use crate::session::Written;
use crate::source::SourceFile;
use crate::source::yaml::{self, Value as Yaml};

use crate::cli::Error;
use crate::cli::workspace::{self};

use super::PLACES;

/// A rule file of the person.
#[derive(Clone)]
pub(super) struct LocalFile {
    pub path: PathBuf,
    pub file: Arc<SourceFile>,
    pub based_on: Vec<Written<String>>,
    /// Whether it was named, and not merely found in the workspace.
    pub named: bool,
    /// Its JSON, where it has the shape of a pack of the law.
    pub pack: Option<Value>,
}

impl LocalFile {
    pub fn open(path: &Path, named: bool) -> Result<Self, Error> {
        let file = workspace::open(path)?;
        let pack = if is_pack(&file) {
            Some(json(&file)?)
        } else {
            None
        };
        Ok(Self {
            path: path.to_owned(),
            based_on: rules::RuleFile::builds_on(&file)?,
            file,
            named,
            pack,
        })
    }

    /// Adds a file once; what is named is named by whatever way it is found.
    pub fn add(path: &Path, named: bool, open: &mut Vec<Self>) -> Result<(), Error> {
        let same = |other: &&mut Self| same_file(&other.path, path);
        match open.iter_mut().find(same) {
            Some(known) => known.named |= named,
            None => open.push(Self::open(path, named)?),
        }
        Ok(())
    }

    pub fn named(self) -> Named<Self> {
        let stem = |path: &Path| {
            path.file_stem()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned()
        };
        let based_on = self.based_on.iter().map(|below| Written {
            value: stem(Path::new(&below.value)),
            place: below.place.clone(),
        });
        Named {
            name: stem(&self.path),
            based_on: based_on.collect(),
            file: self,
        }
    }

    /// The packs it builds on.
    pub fn places(&self) -> Vec<&str> {
        let like = self
            .pack
            .as_ref()
            .and_then(|pack| pack.pointer("/waste/like"));
        let like = like.and_then(Value::as_str);
        let based = self.based_on.iter().map(|below| below.value.as_str());
        based
            .chain(like)
            .filter(|name| PLACES.contains(name))
            .collect()
    }
}

fn same_file(one: &Path, other: &Path) -> bool {
    match (fs::canonicalize(one), fs::canonicalize(other)) {
        (Ok(one), Ok(other)) => one == other,
        _ => one == other,
    }
}

/// Whether a file has the shape of a pack: codes, limits and duties under `waste`.
fn is_pack(file: &Arc<SourceFile>) -> bool {
    yaml::parse(file).is_ok_and(|node| match &node.value {
        Yaml::Map(pairs) => pairs.iter().any(|(key, _)| key.text() == Some("waste")),
        _ => false,
    })
}

fn json(file: &SourceFile) -> Result<Value, Error> {
    let json = json_of(&file.text).map_err(|error| {
        let at = error.place.map_or(file.name.clone(), |(line, column)| {
            format!("{}:{line}:{column}", file.name)
        });
        let help = "a file with `waste` has the shape of hazards/rules; other rule files need no such part";
        Error::other(format!("{at}: {}", error.message), help)
    })?;
    let like = json.pointer("/waste/like").and_then(Value::as_str);
    if let Some(base) = like.filter(|base| !PLACES.contains(base)) {
        let message = format!("{}: `like: {base}` is none of eu, uk, us", file.name);
        return Err(Error::other(message, "name the rules this file changes"));
    }
    Ok(json)
}

//! The YAML files of a folder of the workspace.

use std::fs;
use std::path::{Path, PathBuf};

use super::Error;

/// The YAML files of a folder in order of name, none where there is no folder.
///
/// # Errors
/// When one has another ending of YAML: it would be in force for nobody, and nobody would know.
pub fn yaml_files(folder: &Path) -> Result<Vec<PathBuf>, Error> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut files: Vec<PathBuf> = entries
        .map(|entry| entry.path())
        .filter(|path| !is_hidden(path))
        .collect();
    files.sort();
    if let Some(other) = files.iter().find(|path| ends(path, "yml")) {
        let message = format!("{} would not be read", other.display());
        return Err(Error::other(message, "give it the ending .yaml"));
    }
    files.retain(|path| ends(path, "yaml"));
    Ok(files)
}

fn is_hidden(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default();
    name.to_string_lossy().starts_with('.')
}

fn ends(path: &Path, ending: &str) -> bool {
    let found = path.extension().unwrap_or_default();
    found.eq_ignore_ascii_case(ending)
}

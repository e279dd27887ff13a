//! The files of a folder of the workspace.

use std::fs;
use std::path::{Path, PathBuf};

use super::Error;
use crate::source::nearest;

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

/// The file of a folder whose name is nearest to one that is not there.
pub fn nearest_file(missing: &Path) -> Option<PathBuf> {
    let folder = missing.parent()?;
    let here = if folder == Path::new("") {
        Path::new(".")
    } else {
        folder
    };
    let entries = fs::read_dir(here).ok()?.flatten();
    let names: Vec<String> = entries
        .filter(|entry| entry.path().is_file())
        .filter_map(|entry| entry.file_name().into_string().ok())
        .collect();
    let wanted = missing.file_name()?.to_str()?;
    let names = names.iter().map(String::as_str);
    Some(folder.join(nearest(wanted, names)?))
}

fn is_hidden(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default();
    name.to_string_lossy().starts_with('.')
}

fn ends(path: &Path, ending: &str) -> bool {
    let found = path.extension().unwrap_or_default();
    found.eq_ignore_ascii_case(ending)
}

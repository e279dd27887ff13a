//! Where a workspace lies, and reading what people wrote there.

use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::catalogue::DataFiles;
use crate::source::SourceFile;

use super::super::Error;
use super::PLACE;

/// Reads a person's file; of one far too large, only enough to say so.
///
/// # Errors
/// When it is not there, not readable, or not text.
pub fn open(path: &Path) -> Result<Arc<SourceFile>, Error> {
    let wrong = |error| Error::read(path, error);
    let file = File::open(path).map_err(wrong)?;
    let mut bytes = Vec::new();
    // A device or a pipe may never end.
    file.take(SourceFile::MAX_BYTES as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(wrong)?;
    Ok(SourceFile::new(path.display().to_string(), bytes)?)
}

/// The nearest workspace at or above a file, or at or above where we are.
pub fn nearest_above(near: Option<&Path>) -> Option<PathBuf> {
    let start = match near.and_then(Path::parent) {
        Some(parent) if parent != Path::new("") => fs::canonicalize(parent).ok()?,
        _ => std::env::current_dir().ok()?,
    };
    start
        .ancestors()
        .find(|folder| folder.join(PLACE).is_file())
        .map(|found| shorter(found, &start))
}

/// Relative to where we are, when it is below: messages are read by people.
fn shorter(found: &Path, start: &Path) -> PathBuf {
    let here = std::env::current_dir().unwrap_or_else(|_| start.to_owned());
    match found.strip_prefix(&here) {
        Ok(rest) => rest.to_owned(),
        Err(_) => found.to_owned(),
    }
}

/// Puts every file below a folder of the workspace in the place of the program's own.
///
/// # Errors
/// When one cannot be used.
pub fn overlay(files: &mut DataFiles, root: &Path, folder: &Path) -> Result<(), Error> {
    let Ok(entries) = fs::read_dir(folder) else {
        return Ok(());
    };
    let mut paths: Vec<PathBuf> = entries
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .collect();
    paths.sort();
    let hidden = |path: &PathBuf| {
        path.file_name()
            .is_some_and(|name| name.to_string_lossy().starts_with('.'))
    };
    // What editors and systems leave behind is not the person's.
    for path in paths.into_iter().filter(|path| !hidden(path)) {
        if path.is_dir() {
            overlay(files, root, &path)?;
            continue;
        }
        let name = path
            .strip_prefix(root)
            .unwrap_or(&path)
            .to_string_lossy()
            .replace('\\', "/");
        files.overlay(&name, &open(&path)?)?;
    }
    Ok(())
}

/// The names of the YAML files of a folder, without their ending, in order.
pub fn yaml_names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> = entries
        .filter_map(|entry| {
            entry
                .file_name()
                .to_str()?
                .strip_suffix(".yaml")
                .map(str::to_owned)
        })
        .collect();
    names.sort();
    names
}

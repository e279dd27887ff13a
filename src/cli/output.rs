//! Where documents go: whole or not at all.

use std::fs;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};

use super::Error;

/// A pipe that was closed by its reader (`| head`) is no failure.
pub fn tolerate_closed_pipe(result: io::Result<()>) -> Result<(), Error> {
    match result {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        Err(error) => Err(Error::write(Path::new("standard output"), error)),
        Ok(()) => Ok(()),
    }
}

/// Writes a document to a file, or to standard output where none is named.
///
/// # Errors
/// When the file is an input, holds something of another kind, or cannot be written; a terminal
/// is not sent a PDF.
pub fn write(file: Option<&Path>, bytes: &[u8], inputs: &[&Path]) -> Result<(), Error> {
    let is_pdf = bytes.starts_with(b"%PDF");
    match file.filter(|file| *file != Path::new("-")) {
        Some(file) => replace(file, bytes, inputs),
        None if is_pdf && io::stdout().is_terminal() => Err(Error::other(
            "a PDF is not for a terminal",
            "name a file: `-o sheet.pdf`",
        )),
        None => {
            let mut out = io::stdout().lock();
            tolerate_closed_pipe(out.write_all(bytes).and_then(|()| out.flush()))
        }
    }
}

fn replace(file: &Path, bytes: &[u8], inputs: &[&Path]) -> Result<(), Error> {
    let same = |input: &&Path| {
        fs::canonicalize(input)
            .ok()
            .is_some_and(|i| fs::canonicalize(file).ok() == Some(i))
    };
    if inputs.iter().any(same) {
        let message = format!("{} is what this is made from", file.display());
        return Err(Error::other(message, "name another file with `-o`"));
    }
    if fs::read(file).is_ok_and(|old| !old.is_empty() && kind(&old) != kind(bytes)) {
        let message = format!("{} already holds something of another kind", file.display());
        return Err(Error::other(
            message,
            "name another file, or move that one away",
        ));
    }
    let neighbour = neighbour(file);
    let written = fs::File::create(&neighbour).and_then(|mut out| {
        out.write_all(bytes)?;
        out.sync_all()
    });
    written
        .and_then(|()| fs::rename(&neighbour, file))
        .map_err(|error| {
            // The neighbour is ours and half written.
            let _ = fs::remove_file(&neighbour);
            Error::write(file, error)
        })
}

/// In the same folder, so that the rename cannot cross a file system.
fn neighbour(file: &Path) -> PathBuf {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    file.with_file_name(format!(".{name}.{}", std::process::id()))
}

/// What a file holds, by how it begins.
fn kind(bytes: &[u8]) -> &'static str {
    let start = String::from_utf8_lossy(&bytes[..bytes.len().min(64)])
        .trim_start()
        .to_lowercase();
    match start.as_str() {
        s if s.starts_with("%pdf") => "pdf",
        s if s.starts_with("<!doctype") || s.starts_with("<html") => "html",
        s if s.starts_with('{') => "json",
        _ if bytes.contains(&0) => "binary",
        _ => "text",
    }
}

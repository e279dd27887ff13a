//! Where documents go: whole or not at all.

use std::fs;
use std::io::{self, IsTerminal, Read, Write};
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
    let wrong = |error| Error::write(file, error);
    // A link stays one, and what it leads to is written.
    let target = fs::canonicalize(file).unwrap_or_else(|_| file.to_owned());
    if fs::metadata(&target).is_ok_and(|there| !there.is_file() && !there.is_dir()) {
        // A pipe or device takes what comes; nothing may be put in its place.
        let mut out = fs::OpenOptions::new().write(true).open(&target);
        let written = out.as_mut().map_err(|error| io::Error::from(error.kind()));
        return tolerate_closed_pipe(written.and_then(|out| out.write_all(bytes)));
    }
    if beginning(&target).is_ok_and(|old| !old.is_empty() && kind(&old) != kind(bytes)) {
        let message = format!("{} already holds something of another kind", file.display());
        return Err(Error::other(
            message,
            "name another file, or move that one away",
        ));
    }
    let neighbour = neighbour(&target);
    let written = fs::File::create(&neighbour).and_then(|mut out| {
        out.write_all(bytes)?;
        out.sync_all()
    });
    written
        .and_then(|()| fs::rename(&neighbour, &target))
        .map_err(|error| {
            // The neighbour is ours and half written.
            let _ = fs::remove_file(&neighbour);
            wrong(error)
        })
}

/// As much of a file as shows what it holds.
fn beginning(file: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    fs::File::open(file)?.take(4096).read_to_end(&mut bytes)?;
    Ok(bytes)
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
        _ if bytes.iter().take(4096).any(|byte| *byte == 0) => "binary",
        _ => "text",
    }
}

//! `init`: lay down a starter workspace, whole or not at all.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;

use crate::catalogue::DataFiles;

use super::workspace::Given;
use super::{Error, manners};

/// Where the starter files stand in the program.
const STARTER: &str = "templates/starter/";

/// Lay down a workspace to start from; nothing that is there is touched.
#[derive(Args)]
pub struct Init {
    /// The folder, made where it is not there; otherwise the one we stand in.
    folder: Option<PathBuf>,
    /// An invented print room with three solutions and a session, to look around in.
    #[arg(long)]
    demo: bool,
}

impl Init {
    /// Runs the command.
    ///
    /// # Errors
    /// When a file of the same name is there already, or the folder cannot be written.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        let files = DataFiles::embedded();
        let folder = self
            .folder
            .as_deref()
            .or(given.folder)
            .unwrap_or(Path::new(""));
        // Names below the folder we stand in are short.
        let place = folder.strip_prefix(".").unwrap_or(folder);
        let laid: Vec<(PathBuf, &str)> = self
            .starter(&files)
            .map(|(name, text)| (place.join(name), text))
            .collect();
        self.refuse_to_overwrite(&laid)?;
        lay_down(place, &laid)?;
        if !manners::quiet() {
            super::output::tolerate_closed_pipe(self.tell(&laid))?;
        }
        Ok(ExitCode::SUCCESS)
    }

    /// The files of the kind asked for, and the schemas all kinds share.
    fn starter<'f>(&self, files: &'f DataFiles) -> impl Iterator<Item = (&'f str, &'f str)> {
        let own = if self.demo { "demo/" } else { "base/" };
        files.below(STARTER).into_iter().filter_map(move |path| {
            let name = path.strip_prefix(STARTER)?;
            let shared = name.starts_with("schemas/").then_some(name);
            Some((name.strip_prefix(own).or(shared)?, files.text(path)?))
        })
    }

    fn refuse_to_overwrite(&self, laid: &[(PathBuf, &str)]) -> Result<(), Error> {
        let there: Vec<String> = laid
            .iter()
            .filter(|(path, _)| path.symlink_metadata().is_ok())
            .map(|(path, _)| path.display().to_string())
            .collect();
        let message = match there.as_slice() {
            [] => return Ok(()),
            [only] => format!("{only} is already there"),
            [first, rest @ ..] => format!("{first} and {} more are already there", rest.len()),
        };
        let help = "nothing was written; name another folder, or move these away";
        Err(Error::other(message, help))
    }

    fn tell(&self, laid: &[(PathBuf, &str)]) -> io::Result<()> {
        let mut out = io::stdout().lock();
        for (path, _) in laid {
            writeln!(out, "{}", path.display())?;
        }
        let is_session = |path: &&PathBuf| path.parent().is_some_and(|p| p.ends_with("sessions"));
        match laid.iter().map(|(path, _)| path).find(is_session) {
            Some(session) => writeln!(out, "next: wetside check {}", session.display()),
            None => Ok(()),
        }
    }
}

/// Writes all files, or takes back what it wrote.
fn lay_down(folder: &Path, laid: &[(PathBuf, &str)]) -> Result<(), Error> {
    let mut done = Written::default();
    let result = done.folder(folder).and_then(|()| {
        laid.iter()
            .try_for_each(|(path, text)| done.file(path, text.as_bytes()))
    });
    if result.is_err() {
        done.take_back();
    }
    result
}

/// What this run has made, oldest first.
#[derive(Default)]
pub(super) struct Written {
    folders: Vec<PathBuf>,
    files: Vec<PathBuf>,
}

impl Written {
    pub(super) fn file(&mut self, path: &Path, bytes: &[u8]) -> Result<(), Error> {
        if let Some(folder) = path.parent() {
            self.folder(folder)?;
        }
        let wrong = |error| Error::write(path, error);
        let mut file = fs::File::create_new(path).map_err(wrong)?;
        self.files.push(path.to_owned());
        file.write_all(bytes)
            .and_then(|()| file.sync_all())
            .map_err(wrong)
    }

    /// Makes a folder and those above it that are missing.
    fn folder(&mut self, folder: &Path) -> Result<(), Error> {
        if folder == Path::new("") || folder.is_dir() {
            return Ok(());
        }
        if let Some(above) = folder.parent() {
            self.folder(above)?;
        }
        fs::create_dir(folder).map_err(|error| Error::write(folder, error))?;
        self.folders.push(folder.to_owned());
        Ok(())
    }

    /// The error that led here is what the person is told; taking back is done as far as it goes.
    pub(super) fn take_back(&self) {
        for file in &self.files {
            let _ = fs::remove_file(file);
        }
        for folder in self.folders.iter().rev() {
            let _ = fs::remove_dir(folder);
        }
    }
}

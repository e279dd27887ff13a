//! Many sessions in one call, shared among the processor's cores: a line each.

use std::collections::BTreeMap;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::assessment::Assessment;
use crate::cores::on_all_cores;

use super::super::workspace::{Given, Workspace};
use super::super::{Error, manners};

/// What came of one session.
pub type Checked<'s> = (&'s Path, Result<Assessment, Error>);

/// Every session's findings, in the order the sessions were named.
///
/// # Errors
/// When a workspace cannot be used. A session that cannot be read does not stop the others.
pub fn check<'s>(given: Given<'_>, sessions: &'s [PathBuf]) -> Result<Vec<Checked<'s>>, Error> {
    let folders: Vec<Option<PathBuf>> = sessions
        .iter()
        .map(|session| Workspace::folder_of(given, Some(session)))
        .collect::<Result<_, _>>()?;
    let mut workspaces: BTreeMap<&Option<PathBuf>, Workspace> = BTreeMap::new();
    for folder in &folders {
        if !workspaces.contains_key(folder) {
            workspaces.insert(folder, Workspace::of_folder(folder.clone(), given)?);
        }
    }
    let jobs: Vec<(&Path, &Workspace)> = sessions
        .iter()
        .zip(&folders)
        .filter_map(|(session, folder)| Some((session.as_path(), workspaces.get(folder)?)))
        .collect();
    Ok(assess(&jobs))
}

fn assess<'s>(jobs: &[(&'s Path, &Workspace)]) -> Vec<Checked<'s>> {
    let done = AtomicUsize::new(0);
    on_all_cores(jobs, |(session, workspace)| {
        let assessed = workspace.assess(session);
        progress(done.fetch_add(1, Ordering::Relaxed) + 1, jobs.len());
        (*session, assessed)
    })
}

/// A bar on a terminal, and nothing anywhere else.
fn progress(done: usize, all: usize) {
    const WIDTH: usize = 40;
    let mut out = io::stderr().lock();
    if !out.is_terminal() || manners::quiet() {
        return;
    }
    let filled = WIDTH * done / all.max(1);
    let bar = format!("{}{}", "█".repeat(filled), "░".repeat(WIDTH - filled));
    // A bar that cannot be drawn is no loss.
    let _ = if done == all {
        write!(out, "\r{}\r", " ".repeat(WIDTH + 16))
    } else {
        write!(out, "\r{bar} {done} of {all}")
    };
}

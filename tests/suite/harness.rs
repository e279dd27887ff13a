//! A bench: a folder of its own, and the built program run in it.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// The folder this repository stands in.
pub fn repository() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// A folder that is gone after the test.
pub struct Bench {
    folder: tempfile::TempDir,
}

/// What the program did.
#[derive(Debug)]
pub struct Run {
    /// Exit code; `None` when a signal ended it.
    pub status: Option<i32>,
    pub stdout: String,
    pub stderr: String,
}

impl Bench {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        Self { folder }
    }

    /// A bench with the starter of `init --demo` in it.
    pub fn demo() -> Self {
        let bench = Self::new();
        let run = bench.run(&["init", "--demo"]);
        assert_eq!(run.status, Some(0), "{}", run.stderr);
        bench
    }

    /// Puts a file there, folders included.
    pub fn file(self, name: &str, content: impl AsRef<[u8]>) -> Self {
        let path = self.path(name);
        fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        fs::write(path, content).expect("a file");
        self
    }

    pub fn folder(self, name: &str) -> Self {
        fs::create_dir_all(self.path(name)).expect("a folder");
        self
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Runs the program in the bench's folder.
    pub fn run(&self, arguments: &[&str]) -> Run {
        run_in(self.folder.path(), arguments)
    }

    /// Every file and folder below, with how many bytes each holds, in order.
    pub fn listing(&self) -> Vec<(String, u64)> {
        let mut found = Vec::new();
        let mut open = vec![self.folder.path().to_owned()];
        while let Some(folder) = open.pop() {
            for entry in fs::read_dir(folder).expect("a folder").flatten() {
                let kind = entry.file_type().expect("a kind");
                let size = entry.metadata().map_or(0, |data| data.len());
                let path = entry.path();
                found.push((
                    path.display().to_string(),
                    if kind.is_dir() { 0 } else { size },
                ));
                if kind.is_dir() {
                    open.push(path);
                }
            }
        }
        found.sort();
        found
    }
}

/// Runs the program in a folder.
pub fn run_in(folder: &Path, arguments: &[&str]) -> Run {
    let Output {
        status,
        stdout,
        stderr,
    } = Command::new(env!("CARGO_BIN_EXE_wetside"))
        .args(arguments)
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .output()
        .expect("the program runs");
    Run {
        status: status.code(),
        stdout: String::from_utf8_lossy(&stdout).into_owned(),
        stderr: String::from_utf8_lossy(&stderr).into_owned(),
    }
}

/// All files below a folder whose names end so, in order.
pub fn files_below(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_owned()];
    while let Some(folder) = open.pop() {
        let entries = fs::read_dir(&folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
        for path in entries.flatten().map(|entry| entry.path()) {
            if path.is_dir() {
                open.push(path);
            } else if path.to_string_lossy().ends_with(ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

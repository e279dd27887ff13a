//! `ledger`: check the book, write it out, lay it down again.

use std::fs::File;
use std::io::{self, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, Subcommand, ValueEnum};
use serde_json::json;

use crate::ledger::Ledger;

use super::workspace::{Given, Workspace};
use super::{Error, book, output};

/// Verify the ledger, export it, or import an export.
#[derive(Args)]
pub struct LedgerCommand {
    #[command(subcommand)]
    what: What,
}

#[derive(Subcommand)]
enum What {
    /// Recompute the chain of hashes and every balance; names the first bad entry.
    Verify {
        /// How it is printed.
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
    },
    /// Write every entry as one line of JSON.
    Export {
        /// The file; standard output where left out.
        #[arg(short, long, value_name = "FILE")]
        output: Option<PathBuf>,
    },
    /// Lay down the ledger from an export, where the workspace has none yet.
    Import {
        /// The export.
        file: PathBuf,
    },
}

#[derive(Clone, Copy, ValueEnum)]
enum Format {
    Text,
    Json,
}

impl LedgerCommand {
    /// Runs the command.
    ///
    /// # Errors
    /// When the book is not as it was booked, or cannot be read or written.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, None)?;
        let text = match self.what {
            What::Verify { format } => {
                let found = book::open(&workspace)?.verify()?;
                match format {
                    Format::Text => format!(
                        "{} entries, all as they were booked\nlast hash {}\n",
                        found.entries, found.last_hash
                    ),
                    Format::Json => {
                        let json = json!({"entries": found.entries, "last_hash": found.last_hash});
                        format!("{json:#}\n")
                    }
                }
            }
            What::Export { output } => return export(&workspace, output.as_deref()),
            What::Import { file } => {
                let opened = File::open(&file).map_err(|error| Error::read(&file, error))?;
                let path = book::path(&workspace)?;
                let ledger = Ledger::import(&path, &mut BufReader::new(opened))?;
                format!("{} entries imported\n", ledger.last()?.entries)
            }
        };
        output::tolerate_closed_pipe(io::stdout().lock().write_all(text.as_bytes()))?;
        Ok(ExitCode::SUCCESS)
    }
}

fn export(workspace: &Workspace, file: Option<&Path>) -> Result<ExitCode, Error> {
    let ledger = book::open(workspace)?;
    let mut lines = Vec::new();
    ledger.export(&mut lines)?;
    output::write(file, &lines, &[&book::path(workspace)?])?;
    Ok(ExitCode::SUCCESS)
}

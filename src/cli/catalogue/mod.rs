//! `catalogue`: what is in it, where it is from, whether it holds together.

mod audit;
mod list;
mod sources;

use std::io::{self, Write};
use std::process::ExitCode;

use clap::{Args, Subcommand, ValueEnum};
use serde_json::Value;

use super::workspace::{Given, Workspace};
use super::{Error, output};

/// The catalogue: list it, name its sources, audit it.
#[derive(Args)]
pub struct CatalogueOf {
    #[command(subcommand)]
    question: Question,
}

#[derive(Subcommand)]
enum Question {
    List(list::List),
    Sources(sources::Sources),
    Audit(audit::AuditOf),
}

/// How an answer is printed.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    Text,
    Json,
}

/// An answer in both forms.
struct Answer {
    text: String,
    json: Value,
    exit: ExitCode,
}

impl CatalogueOf {
    /// Runs the command.
    ///
    /// # Errors
    /// When a data file cannot be used, or a filter names something that is not there.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, None)?;
        let (format, answer) = match self.question {
            Question::List(list) => (list.format, list.answer(&workspace)?),
            Question::Sources(sources) => (sources.format, sources.answer(&workspace)?),
            Question::Audit(audit) => (audit.format, audit.answer(&workspace)?),
        };
        let mut out = io::stdout().lock();
        output::tolerate_closed_pipe(match format {
            Format::Text => write!(out, "{}", answer.text),
            Format::Json => writeln!(out, "{:#}", answer.json),
        })?;
        Ok(answer.exit)
    }
}

//! `sds`: the suppliers' safety data sheets on file.

mod add;
mod due;
mod list;
mod propose;
mod written;

use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, Subcommand, ValueEnum};
use serde_json::Value;

use super::report;
use super::workspace::{Given, Workspace};
use super::{Error, output, rules};
use crate::document::Wording;
use crate::document::waste::Phrases;

/// The suppliers' data sheets: put one on file, list them, see which are due.
#[derive(Args)]
pub struct Sds {
    #[command(subcommand)]
    question: Question,
    /// Language of the answer; otherwise the workspace's.
    #[arg(long, value_name = "LANG", global = true)]
    language: Option<String>,
}

#[derive(Subcommand)]
enum Question {
    Add(Box<add::Add>),
    List(list::List),
    Due(due::Due),
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
}

impl Answer {
    /// With what outranks it, as every answer ends.
    fn deferring(mut self, deference: &str) -> Self {
        self.text = format!(
            "{}\n{}\n",
            self.text,
            report::wrap(deference, 79).join("\n")
        );
        self.json["deference"] = deference.into();
        self
    }
}

impl Sds {
    /// Runs the command.
    ///
    /// # Errors
    /// When there is no workspace, or a file of it cannot be used.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, None)?;
        let folder = folder(&workspace)?;
        let files = workspace.catalogue.files();
        let language = rules::language(&workspace, self.language.as_deref());
        let wording = Wording::load(files, &language)?;
        let phrases = Phrases::of(files, &language, super::WORDS)?;
        let (format, answer) = match self.question {
            Question::Add(add) => (add.format, add.answer(&workspace, &folder, &phrases)?),
            Question::List(list) => (list.format, list.answer(&workspace, &folder, &phrases)),
            Question::Due(due) => (due.format, due.answer(&workspace, &folder, &phrases)?),
        };
        let answer = answer.deferring(wording.word("deference"));
        let mut out = io::stdout().lock();
        output::tolerate_closed_pipe(match format {
            Format::Text => write!(out, "{}", answer.text),
            Format::Json => writeln!(out, "{:#}", answer.json),
        })?;
        Ok(ExitCode::SUCCESS)
    }
}

fn folder(workspace: &Workspace) -> Result<PathBuf, Error> {
    workspace.folder.clone().ok_or_else(|| {
        Error::other(
            "there is no workspace here, and so no data sheets",
            "`wetside init` lays one down; -C names one elsewhere",
        )
    })
}

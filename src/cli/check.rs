//! `check`: say what a session needs settled, and write nothing.

use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, ValueEnum};

use crate::document::{self, Wording, findings_json};
use crate::finding::Severity;

use super::report::{self, Colours};
use super::workspace::{Given, Workspace};
use super::{Error, exit_code};
use crate::rules::Document;

/// Check a session: what must be settled before anything is opened.
#[derive(Args)]
pub struct Check {
    /// The session file.
    session: PathBuf,
    /// How the findings are printed.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// Let an attention stop the session too.
    #[arg(long)]
    strict: bool,
    /// Print notes as well.
    #[arg(long)]
    all: bool,
}

#[derive(Clone, Copy, ValueEnum)]
enum Format {
    Text,
    Json,
}

impl Check {
    /// Runs the command.
    ///
    /// # Errors
    /// When the session cannot be read or resolved.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, Some(&self.session))?;
        let assessment = workspace.assess(&self.session)?;
        let wording = Wording::load(workspace.catalogue.files(), "en")?;
        let house = workspace.house(Document::Check, &assessment.plan);
        let said = document::house_text(workspace.catalogue.files(), "en", &house)?;
        let mut out = io::stdout().lock();
        let result = match self.format {
            Format::Json => {
                let mut json =
                    findings_json(&assessment, &self.session.display().to_string(), &wording);
                if !house.is_empty() {
                    json["local_rules"] = serde_json::json!(house);
                }
                writeln!(out, "{json:#}")
            }
            Format::Text => self.print(&assessment.findings, &said, &wording, &mut out),
        };
        super::output::tolerate_closed_pipe(result)?;
        Ok(exit_code(assessment.worst(), self.strict))
    }

    fn print(
        &self,
        findings: &[crate::finding::Finding],
        said: &[String],
        wording: &Wording,
        out: &mut impl Write,
    ) -> io::Result<()> {
        let colours = Colours::for_stream(&io::stdout());
        let least = if self.all {
            Severity::Note
        } else {
            Severity::Attention
        };
        for finding in findings.iter().filter(|finding| finding.severity >= least) {
            writeln!(
                out,
                "{}",
                report::finding(finding, &wording.tell(finding), colours, 96)
            )?;
        }
        let count = |severity| {
            findings
                .iter()
                .filter(|finding| finding.severity == severity)
                .count()
        };
        let notes = match (count(Severity::Note), self.all) {
            (0, _) | (_, true) => String::new(),
            (n, false) => format!(" (--all prints {n} more)"),
        };
        writeln!(
            out,
            "{} to settle first, {} to take care of, {} to know{notes}",
            count(Severity::Stop),
            count(Severity::Attention),
            count(Severity::Note),
        )?;
        write!(out, "{}", report::section(said, 96))?;
        writeln!(out, "{}", wording.word("deference"))
    }
}

//! `check`: say what sessions need settled, and write nothing.

mod many;
mod say;

use std::io;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, ValueEnum};

use crate::document::{self, Wording};
use crate::rules::Document;

use super::workspace::{Given, Workspace};
use super::{Error, exit_code, report};

/// Check sessions: what must be settled before anything is opened.
#[derive(Args)]
pub struct Check {
    /// The session file; of several, a line each is printed.
    #[arg(required = true)]
    session: Vec<PathBuf>,
    /// How the findings are printed.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// Let an attention stop the session too.
    #[arg(long)]
    strict: bool,
    /// Print notes as well, and of several sessions every finding.
    #[arg(long)]
    all: bool,
    /// Language of the findings; otherwise the workspace's.
    #[arg(long, value_name = "LANG")]
    language: Option<String>,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    Text,
    Json,
}

impl Check {
    /// Runs the command.
    ///
    /// # Errors
    /// When a workspace or a single session cannot be read or resolved.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        match self.session.as_slice() {
            [session] => self.one(given, session),
            sessions => self.several(given, sessions),
        }
    }

    fn one(&self, given: Given<'_>, session: &Path) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, Some(session))?;
        let assessment = workspace.assess(session)?;
        let wording = self.wording(&workspace)?;
        let mut out = io::stdout().lock();
        let house = workspace.house(Document::Check, &assessment.plan);
        let result = match self.format {
            Format::Json => say::json(&assessment, session, &house, &wording, &mut out),
            Format::Text => {
                let language = self.language(&workspace);
                let house = document::house_text(workspace.catalogue.files(), &language, &house)?;
                let found = &assessment.findings;
                say::findings(found, self.all, &house, &wording, &mut out)
            }
        };
        super::output::tolerate_closed_pipe(result)?;
        Ok(exit_code(assessment.worst(), self.strict))
    }

    /// Sessions that cannot be read are told of, and the others checked all the same.
    fn several(&self, given: Given<'_>, sessions: &[PathBuf]) -> Result<ExitCode, Error> {
        let checked = many::check(given, sessions)?;
        let near = sessions.first().map(PathBuf::as_path);
        let wording = self.wording(&Workspace::open(given, near)?)?;
        for (_, assessed) in &checked {
            if let Err(error) = assessed {
                report::error(error);
            }
        }
        let mut out = io::stdout().lock();
        let result = match self.format {
            Format::Json => say::json_of_several(&checked, &wording, &mut out),
            Format::Text => say::several(&checked, self.all, &wording, &mut out),
        };
        super::output::tolerate_closed_pipe(result)?;
        if checked.iter().any(|(_, assessed)| assessed.is_err()) {
            return Ok(ExitCode::from(2));
        }
        let assessed = checked
            .iter()
            .filter_map(|(_, assessed)| assessed.as_ref().ok());
        let worst = assessed.filter_map(|assessment| assessment.worst()).max();
        Ok(exit_code(worst, self.strict))
    }

    fn wording(&self, workspace: &Workspace) -> Result<Wording, Error> {
        let language = self.language(workspace);
        Ok(Wording::of(&workspace.catalogue, &language)?)
    }

    fn language(&self, workspace: &Workspace) -> String {
        let asked = self.language.as_deref().or(workspace.language());
        asked.unwrap_or("en").to_owned()
    }
}

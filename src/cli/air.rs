//! `air`: the room calculator on its own.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;

use crate::air;
use crate::catalogue::Guidance;
use crate::document::Wording;
use crate::document::air::AirSheet;

use super::medium::{self, Medium};
use super::workspace::Workspace;
use super::{Error, air_case};

/// Compute what releases and open baths do to the air of a room, against every limit on file.
///
/// `fresh_air` counts as stated; a `fan` by half its rating, and only if it blows out of doors and
/// the room has an inlet.
#[derive(Args)]
pub struct Air {
    /// The air file: room, fresh air, what is let out, for how long.
    case: PathBuf,
    /// Whose limits are in force: eu, uk, us, de, ca, or a rule file; otherwise the workspace's. May be
    /// repeated.
    #[arg(long, value_name = "RULES", value_delimiter = ',')]
    rules: Vec<String>,
    /// Every step: formula, where it holds, where it is from.
    #[arg(long)]
    explain: bool,
    #[command(flatten)]
    medium: Medium,
}

impl Air {
    /// Runs the command.
    ///
    /// # Errors
    /// When the file, or a recipe it names, cannot be taken as it stands.
    pub fn run(self, workspace: Option<&Path>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(workspace, Some(&self.case))?;
        let files = workspace.catalogue.files();
        let assessed = air_case::assess(&self.case, &self.rules, &workspace)?;
        let language = self.medium.language(workspace.language());
        let wording = Wording::load(files, &language)?;
        let guidance = Guidance::load(files)?.air;
        let title = self.case.file_stem().unwrap_or_default().to_string_lossy();
        let sheet = AirSheet::of(
            &title,
            &assessed,
            &guidance,
            self.explain,
            &wording,
            workspace.catalogue.bibliography(),
        );
        let json = || air::json(&assessed, self.explain);
        let bytes = self.medium.bytes_with(
            &AirSheet::drawings(&assessed, &wording),
            files,
            &language,
            "air.md",
            &sheet,
            json,
            None,
        )?;
        medium::write(&self.medium, &bytes, &[&self.case])?;
        Ok(ExitCode::SUCCESS)
    }
}

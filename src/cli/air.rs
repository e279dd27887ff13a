//! `air`: the room calculator on its own.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;

use crate::air;
use crate::catalogue::Guidance;
use crate::document::Wording;
use crate::document::air::AirSheet;

use super::medium::{self, Medium};
use super::workspace::{Given, Workspace};
use super::{Error, air_case};
use crate::rules::{Document, Subjects};

/// Compute what releases and open baths do to the air of a room, against every limit on file.
///
/// `fresh_air` counts as stated; a `fan` by half its rating, and only if it blows out of doors and
/// the room has an inlet.
#[derive(Args)]
pub struct Air {
    /// The air file: room, fresh air, what is let out, for how long.
    case: PathBuf,
    /// Every step: formula, where it holds, where it is from.
    #[arg(long)]
    explain: bool,
    /// On the terminal, everything; a file and any `--format` hold everything as it is.
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    medium: Medium,
}

/// Regions with limits on file whose rules are not.
const REGIONS: &[&str] = &["de", "ca"];

impl Air {
    /// Runs the command.
    ///
    /// # Errors
    /// When the file, or a recipe it names, cannot be taken as it stands.
    pub fn run(mut self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given.and(REGIONS), Some(&self.case))?;
        let files = workspace.catalogue.files();
        let assessed = air_case::assess(&self.case, given.rules, &workspace)?;
        let house = workspace.in_force.lines(Document::Air, Subjects::default());
        self.medium = self.medium.with_house(house);
        let language = self.medium.language(workspace.language());
        let wording = Wording::of(&workspace.catalogue, &language)?;
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
            &workspace.catalogue,
            &language,
            &self.medium.page("air", self.all || self.explain),
            &sheet,
            json,
            None,
        )?;
        medium::write(&self.medium, &bytes, &[&self.case])?;
        Ok(ExitCode::SUCCESS)
    }
}

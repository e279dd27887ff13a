//! `sheet`: the bench sheet of a session, on any medium.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;

use crate::catalogue::Statements;
use crate::document::sheet::{BenchSheet, Material, drawing};
use crate::document::{self, Wording};
use crate::rules::Document;

use super::medium::{self, Length, Medium};
use super::workspace::{Given, Workspace};
use super::{Error, exit_code};

/// Print the bench sheet of a session: what can hurt, what to wear, the steps, what to do when it goes wrong.
#[derive(Args)]
pub struct Sheet {
    /// The session file.
    session: PathBuf,
    #[command(flatten)]
    length: Length,
    #[command(flatten)]
    medium: Medium,
    /// Let an attention end with exit code 1 too.
    #[arg(long)]
    strict: bool,
}

impl Sheet {
    /// Runs the command.
    ///
    /// # Errors
    /// When the session cannot be read, or the sheet cannot be written.
    pub fn run(mut self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, Some(&self.session))?;
        let assessment = workspace.assess(&self.session)?;
        let house = workspace.house(Document::Sheet, &assessment.plan);
        self.medium = self.medium.with_house(house);
        let (catalogue, rules) = (&workspace.catalogue, workspace.rules()?);
        let language = self
            .medium
            .language(assessment.plan.setting.language.as_deref());
        let statements = Statements::load(catalogue.files(), &language)?;
        let wording = Wording::of(catalogue, &language)?.knowing(
            assessment
                .plan
                .solutions
                .iter()
                .map(|solution| solution.title.as_str()),
        );
        let material = Material {
            catalogue,
            rules,
            statements: &statements,
            wording: &wording,
            language: &language,
        };
        let mut sheet = BenchSheet::of(&assessment, &material)?;
        if !self.medium.draws() {
            sheet.take_picture();
        }
        let session = self.session.display().to_string();
        let json = || document::sheet_json(&sheet, &assessment, &session, &wording, &statements);
        let drawings: Vec<_> = drawing(&assessment.air, &wording).into_iter().collect();
        let bytes = self.medium.bytes_with(
            &drawings,
            catalogue,
            &language,
            &self.length.page("bench-sheet", &self.medium),
            &sheet,
            json,
            assessment.plan.date,
        )?;
        medium::write(&self.medium, &bytes, &[&self.session])?;
        Ok(exit_code(assessment.worst(), self.strict))
    }
}

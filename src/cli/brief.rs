//! `brief`: tell the person beside you what can hurt today, and ask whether it arrived.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;

use crate::assessment::Assessment;
use crate::catalogue::Statements;
use crate::document::brief::{Brief, BriefWords};
use crate::document::readability::{self, Score};
use crate::document::sheet::Material;
use crate::document::{self, Wording};

use super::medium::{self, Medium};
use super::workspace::Workspace;
use super::{Error, exit_code};

/// Print the briefing of a session: what can hurt today, questions with answers, a page to sign.
#[derive(Args)]
pub struct BriefCommand {
    /// The session file.
    session: PathBuf,
    #[command(flatten)]
    medium: Medium,
    /// Large print, 18 pt and more.
    #[arg(long)]
    large: bool,
}

impl BriefCommand {
    /// Runs the command.
    ///
    /// # Errors
    /// When the session cannot be read, or the briefing cannot be written.
    pub fn run(mut self, workspace: Option<&Path>) -> Result<ExitCode, Error> {
        self.medium = self.medium.in_print(self.large);
        let workspace = Workspace::open(workspace, Some(&self.session))?;
        let assessment = workspace.assess(&self.session)?;
        let bytes = self.told(&workspace, &assessment)?;
        medium::write(&self.medium, &bytes, &[&self.session])?;
        Ok(exit_code(assessment.worst(), false))
    }

    fn told(&self, workspace: &Workspace, assessment: &Assessment) -> Result<Vec<u8>, Error> {
        let (files, rules) = (workspace.catalogue.files(), workspace.rules()?);
        let language = self
            .medium
            .language(assessment.plan.setting.language.as_deref());
        let statements = Statements::load(files, &language)?;
        let wording = Wording::load(files, &language)?;
        let words = BriefWords::load(files, &language)?;
        let material = Material {
            catalogue: &workspace.catalogue,
            rules: &rules,
            statements: &statements,
            wording: &wording,
            language: &language,
        };
        let brief = Brief::of(assessment, &material, &words, self.large)?;
        let document = document::fill(files, &language, TEMPLATE, &brief)?;
        // The formula is one for English.
        let score = (language == "en").then(|| score(&document, &brief, &words));
        let session = self.session.display().to_string();
        let json = || document::brief_json(&brief, assessment, &session, &wording, score);
        let date = assessment.plan.date;
        self.medium
            .bytes(files, &language, TEMPLATE, &brief, json, date)
    }
}

const TEMPLATE: &str = "brief.md";

fn score(document: &document::Document, brief: &Brief, words: &BriefWords) -> Score {
    let mut told = brief.names_on_labels();
    told.extend(words.dictionary.iter().cloned());
    let passages = readability::passages(&document.blocks);
    readability::score(passages.iter().map(String::as_str), &told)
}

//! `brief`: tell the person beside you what can hurt today, and ask whether it arrived.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use chrono::NaiveDate;
use clap::Args;

use crate::assessment::Assessment;
use crate::catalogue::Statements;
use crate::document::brief::{Brief, BriefWords};
use crate::document::readability::{self, Score};
use crate::document::sheet::Material;
use crate::document::{self, Wording};
use crate::ledger::{Action, Entry};
use crate::rules::Document;

use super::log;
use super::medium::{self, Length, Medium};
use super::workspace::{self, Given, Workspace};
use super::{Error, exit_code};

/// Print the briefing of a session: what can hurt today, questions with answers, a page to sign.
#[derive(Args)]
pub struct BriefCommand {
    /// The session file.
    session: PathBuf,
    #[command(flatten)]
    length: Length,
    #[command(flatten)]
    medium: Medium,
    /// Large print, 18 pt and more.
    #[arg(long)]
    large: bool,
    /// Book who was briefed on the chemicals of the session, instead of printing: names with commas
    /// between, or a file with one name a line.
    #[arg(long, value_name = "NAMES|FILE", requires = "by")]
    record: Option<String>,
    /// Who briefed them.
    #[arg(long, value_name = "WHO", requires = "record")]
    by: Option<String>,
    /// The day they were briefed, as 2026-12-03; today where left out.
    #[arg(long, value_name = "DATE", requires = "record", value_parser = super::log::day)]
    on: Option<NaiveDate>,
}

impl BriefCommand {
    /// Runs the command.
    ///
    /// # Errors
    /// When the session cannot be read, or the briefing cannot be written.
    pub fn run(mut self, given: Given<'_>) -> Result<ExitCode, Error> {
        self.medium = self.medium.in_print(self.large);
        let workspace = Workspace::open(given, Some(&self.session))?;
        let assessment = workspace.assess(&self.session)?;
        let house = workspace.house(Document::Brief, &assessment.plan);
        self.medium = self.medium.with_house(house);
        if let (Some(names), Some(by)) = (&self.record, &self.by) {
            let entries = self.entries(&people(names)?, by, &assessment);
            return log::record(&workspace, &entries, self.medium.is_json());
        }
        let bytes = self.told(&workspace, &assessment)?;
        medium::write(&self.medium, &bytes, &[&self.session])?;
        Ok(exit_code(assessment.worst(), false))
    }

    fn entries(&self, people: &[String], by: &str, assessment: &Assessment) -> Vec<Entry> {
        let jars = assessment
            .chemicals
            .iter()
            .map(|hazards| &hazards.chemical.id);
        let chemicals: Vec<String> = jars.filter(|id| *id != "water").cloned().collect();
        let entry = |person: &String| Entry {
            day: self.on.unwrap_or_else(super::today),
            who: by.to_owned(),
            note: String::new(),
            session: self.session.display().to_string(),
            action: Action::Trained {
                person: person.clone(),
                by: by.to_owned(),
                chemicals: chemicals.clone(),
            },
        };
        people.iter().map(entry).collect()
    }

    fn told(&self, workspace: &Workspace, assessment: &Assessment) -> Result<Vec<u8>, Error> {
        let (files, rules) = (workspace.catalogue.files(), workspace.rules()?);
        let language = self
            .medium
            .language(assessment.plan.setting.language.as_deref());
        let statements = Statements::load(files, &language)?;
        let wording = Wording::of(&workspace.catalogue, &language)?.knowing(
            assessment
                .plan
                .solutions
                .iter()
                .map(|solution| solution.title.as_str()),
        );
        let words = BriefWords::load(files, &language)?;
        let material = Material {
            catalogue: &workspace.catalogue,
            rules,
            statements: &statements,
            wording: &wording,
            language: &language,
        };
        let brief = Brief::of(assessment, &material, &words, self.large)?;
        let document = document::fill_with(&workspace.catalogue, &language, TEMPLATE, &brief, &[])?;
        // The formula is one for English.
        let score = (language == "en").then(|| score(&document, &brief, &words));
        let session = self.session.display().to_string();
        let json = || document::brief_json(&brief, assessment, &session, &wording, score);
        let date = assessment.plan.date;
        self.medium.bytes(
            &workspace.catalogue,
            &language,
            &self.length.page("brief", &self.medium),
            &brief,
            json,
            date,
        )
    }
}

const TEMPLATE: &str = "brief.md";

/// Names with commas between, or those of a file, one a line; each once.
fn people(names: &str) -> Result<Vec<String>, Error> {
    let path = Path::new(names);
    let written = if path.is_file() {
        let file = workspace::open(path)?;
        file.text.lines().map(str::to_owned).collect::<Vec<_>>()
    } else {
        names.split(',').map(str::to_owned).collect()
    };
    let mut people: Vec<String> = Vec::new();
    for name in written.iter().map(|name| name.trim()) {
        if !name.is_empty() && !people.iter().any(|known| known == name) {
            people.push(name.to_owned());
        }
    }
    if people.is_empty() {
        return Err(Error::other(
            format!("`{names}` names nobody"),
            "write names with commas between, or a file with one name a line",
        ));
    }
    Ok(people)
}

fn score(document: &document::Document, brief: &Brief, words: &BriefWords) -> Score {
    let mut told = brief.names_on_labels();
    told.extend(words.dictionary.iter().cloned());
    let passages = readability::passages(&document.blocks);
    readability::score(passages.iter().map(String::as_str), &told)
}

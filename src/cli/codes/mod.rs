//! `codes`: which codes, properties, limits and duties the rules in force give a waste.

mod accounts;
mod json;
mod text;

use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, ValueEnum};

use crate::document::waste::Phrases;
use crate::document::{self, Wording};
use crate::rules::Document;
use crate::waste::{self, Determination, Listed, RulePack, WasteDescription};

use super::workspace::{self, Given, Workspace};
use super::{Error, exit_code, rules};

/// Say which codes, limits and duties the rules give a waste. Never says that a drain is allowed.
#[derive(Args)]
pub struct Codes {
    /// The waste file: its stream, what was measured, who holds it.
    waste: PathBuf,
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// The day the rules must still be good for; today where left out.
    #[arg(long, value_name = "DATE")]
    on: Option<chrono::NaiveDate>,
    /// Language of the words; otherwise the workspace's. Rules stand in English.
    #[arg(long, value_name = "LANG")]
    language: Option<String>,
    /// Let an attention end with exit code 1 too.
    #[arg(long)]
    strict: bool,
}

#[derive(Clone, Copy, ValueEnum)]
enum Format {
    Text,
    Json,
}

impl Codes {
    /// Runs the command.
    ///
    /// # Errors
    /// When the waste file or the rules cannot be read.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, Some(&self.waste))?;
        let packs = &workspace.in_force.packs;
        rules::say_default(&workspace);
        let found = self.determine(packs, &workspace)?;
        let files = workspace.catalogue.files();
        let language = rules::language(&workspace, self.language.as_deref());
        let wording = Wording::of(&workspace.catalogue, &language)?;
        let house = workspace.house_of_waste(Document::Codes, std::iter::empty());
        let text = match self.format {
            Format::Json => {
                let mut json = json::object(&found, &wording, &workspace);
                if !house.is_empty() {
                    json["local_rules"] = serde_json::json!(house);
                }
                format!("{json:#}\n")
            }
            Format::Text => {
                let phrases = Phrases::load(files, &language)?;
                text::Told {
                    wording: &wording,
                    phrases: &phrases,
                    catalogue: &workspace.catalogue,
                }
                .all(
                    packs,
                    &found,
                    &document::house_text(files, &language, &house)?,
                )
            }
        };
        super::output::tolerate_closed_pipe(io::stdout().lock().write_all(text.as_bytes()))?;
        let findings = found.iter().flat_map(|one| &one.findings);
        let worst = findings.map(|finding| finding.severity).max();
        Ok(exit_code(worst, self.strict))
    }

    /// One determination a place.
    fn determine(
        &self,
        packs: &[RulePack],
        workspace: &Workspace,
    ) -> Result<Vec<Determination>, Error> {
        let file = workspace::open(&self.waste)?;
        let on = self.on.unwrap_or_else(super::today);
        let mut all = Vec::new();
        for pack in packs {
            let chemicals = Listed {
                chemicals: &workspace.catalogue,
                pack,
            };
            let mut waste: WasteDescription = waste::read(&file, &pack.streams, &chemicals)?;
            if workspace.folder.is_some() {
                waste.holder.get_or_insert(rules::holder(workspace));
            }
            waste.nation = waste.nation.or_else(|| rules::nation(workspace));
            let counted = accounts::from_ledger(&mut waste, pack, workspace, on)?;
            let mut found = waste::determine(&waste, pack);
            found.findings.extend(counted);
            found.findings.extend(pack.review_due(on));
            found.findings.extend(rules::past_review(workspace, on));
            found
                .findings
                .extend(pack.nation_missing(waste.nation.as_deref()));
            crate::finding::sort(&mut found.findings);
            all.push(found);
        }
        Ok(all)
    }
}

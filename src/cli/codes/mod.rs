//! `codes`: which codes, properties, limits and duties the rules in force give a waste.

mod accounts;
mod json;
mod text;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;

use crate::document::waste::{CodesTold, CodesView, Phrases};
use crate::document::{self, Wording};
use crate::rules::Document;
use crate::waste::{self, Determination, Listed, RulePack, WasteDescription};

use super::medium::{self, Medium};
use super::workspace::{self, Given, Workspace};
use super::{Error, exit_code, rules};

/// Say which codes, limits and duties the rules give a waste. Never says that a drain is allowed.
#[derive(Args)]
pub struct Codes {
    /// The waste file: its stream, what was measured, who holds it.
    waste: PathBuf,
    /// On the terminal, everything; a file and any `--format` hold everything as it is.
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    medium: Medium,
    /// The day the rules must still be good for; today where left out.
    #[arg(long, value_name = "DATE")]
    on: Option<chrono::NaiveDate>,
    /// Let an attention end with exit code 1 too.
    #[arg(long)]
    strict: bool,
}

impl Codes {
    /// Runs the command.
    ///
    /// # Errors
    /// When the waste file or the rules cannot be read.
    pub fn run(mut self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, Some(&self.waste))?;
        let packs = &workspace.in_force.packs;
        rules::say_default(&workspace);
        let (name, found) = self.determine(packs, &workspace)?;
        let files = workspace.catalogue.files();
        let language = self.medium.language(workspace.language());
        let wording = Wording::of(&workspace.catalogue, &language)?;
        let phrases = Phrases::load(files, &language)?;
        let house = workspace.house_of_waste(Document::Codes, std::iter::empty());
        let told = CodesTold {
            wording: &wording,
            phrases: &phrases,
            catalogue: &workspace.catalogue,
        };
        let view = CodesView::of(&name, packs, &found, told);
        let lines = document::house_text(files, &language, &house)?;
        self.medium = self.medium.with_house(house);
        let page = self.medium.page("codes", self.all);
        let bytes = if self.medium.is_text() && !self.medium.is_short(self.all) {
            text::all(&view, &found, &lines, told).into_bytes()
        } else {
            let json = || json::object(&found, &wording, &workspace);
            let catalogue = &workspace.catalogue;
            self.medium
                .bytes(catalogue, &language, &page, &view, json, None)?
        };
        medium::write(&self.medium, &bytes, &[&self.waste])?;
        let findings = found.iter().flat_map(|one| &one.findings);
        let worst = findings.map(|finding| finding.severity).max();
        Ok(exit_code(worst, self.strict))
    }

    /// What the waste is called, and one determination a place.
    fn determine(
        &self,
        packs: &[RulePack],
        workspace: &Workspace,
    ) -> Result<(String, Vec<Determination>), Error> {
        let file = workspace::open(&self.waste)?;
        let on = self.on.unwrap_or_else(super::today);
        let mut all = Vec::new();
        let stem = self.waste.file_stem().unwrap_or_default();
        let mut name = stem.to_string_lossy().into_owned();
        for pack in packs {
            let chemicals = Listed {
                chemicals: &workspace.catalogue,
                pack,
            };
            let mut waste: WasteDescription = waste::read(&file, &pack.streams, &chemicals)?;
            if !waste.name.is_empty() {
                name.clone_from(&waste.name);
            }
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
        Ok((name, all))
    }
}

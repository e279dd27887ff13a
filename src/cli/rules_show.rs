//! `rules show`: what is in force here, why, and what was refused.

use std::process::ExitCode;

use clap::{Args, Subcommand};
use serde_json::json;

use crate::air::Gases;
use crate::catalogue::Guidance;
use crate::document::Wording;
use crate::document::rules::RulesView;
use crate::rules::BuiltIn;

use super::medium::{self, Medium};
use super::rules::stated_holder;
use super::words::source;
use super::workspace::{Given, Workspace};
use super::{Error, report};

/// Show the rules that are in force here.
#[derive(Args)]
pub struct Rules {
    #[command(subcommand)]
    what: What,
}

#[derive(Subcommand)]
enum What {
    /// What is in force here and why: packs, local files, strictest values, what was refused.
    Show(Show),
}

#[derive(Args)]
struct Show {
    /// Every rule of the local files, the lists of who may hold what, and days by stream.
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    medium: Medium,
}

impl Rules {
    /// Runs the command. Refused rules end with exit code 2, after what is in force is shown.
    ///
    /// # Errors
    /// When a rule file cannot be read, or builds on itself.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        let What::Show(show) = self.what;
        let workspace = Workspace::open_as_it_is(given, None)?;
        let bytes = show.told(&workspace)?;
        medium::write(&show.medium, &bytes, &[])?;
        match workspace.in_force.refused.as_slice() {
            [] => Ok(ExitCode::SUCCESS),
            refused => {
                report::error(&Error::Mistakes(refused.to_vec()));
                Ok(ExitCode::from(2))
            }
        }
    }
}

impl Show {
    fn told(&self, workspace: &Workspace) -> Result<Vec<u8>, Error> {
        let files = workspace.catalogue.files();
        let language = self.medium.language(workspace.language());
        let wording = Wording::of(&workspace.catalogue, &language)?;
        let (gases, guidance) = (Gases::read(files)?, Guidance::load(files)?);
        let built_in = BuiltIn {
            catalogue: &workspace.catalogue,
            gases: &gases,
            guidance: &guidance,
            packs: &workspace.in_force.packs,
            assumed: workspace.assumed_rules,
            holder: stated_holder(workspace.place.as_ref()),
        };
        let words = |origin: &_| source(origin, &workspace.catalogue);
        let view = RulesView::of(&workspace.in_force, &built_in, self.all, &words, &wording);
        let json = || json!(view);
        self.medium.bytes(
            &workspace.catalogue,
            &language,
            "rules.md",
            &view,
            json,
            None,
        )
    }
}

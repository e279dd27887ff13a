//! `compare`: two recipes side by side, for a safer way first.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use clap::Args;

use crate::assessment::{RecipeAssessment, Tools};
use crate::catalogue::Statements;
use crate::document::Wording;
use crate::document::compare::Comparison;
use crate::document::sheet::Material;
use crate::rules::{Document, Subjects};
use crate::units::Temperature;

use super::Error;
use super::medium::{self, Medium};
use super::workspace::{Given, Workspace};

/// Set two recipes side by side: hazards, pH, powder and dust, waste, and what goes in.
#[derive(Args)]
pub struct Compare {
    /// One recipe: a file, or a name in the workspace's recipes.
    a: PathBuf,
    /// The other.
    b: PathBuf,
    /// On the terminal, everything; a file and any `--format` hold everything as it is.
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    medium: Medium,
}

impl Compare {
    /// Runs the command.
    ///
    /// # Errors
    /// When a recipe cannot be read, or the page cannot be written.
    pub fn run(mut self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, Some(&self.a))?;
        let (rules, chemistry) = (workspace.rules()?, workspace.chemistry()?);
        let (catalogue, files) = (&workspace.catalogue, workspace.catalogue.files());
        let tools = Tools {
            catalogue,
            rules,
            chemistry,
        };
        let (path_a, a) = assessed(&self.a, &workspace, &tools)?;
        let (path_b, b) = assessed(&self.b, &workspace, &tools)?;
        let jars = [&a, &b]
            .into_iter()
            .flat_map(|one| one.solution.additions());
        let chemicals: Vec<_> = jars.map(|(_, added)| Arc::clone(&added.jar)).collect();
        let subjects = Subjects {
            chemicals: &chemicals,
            streams: &[],
        };
        let house = workspace.in_force.lines(Document::Compare, subjects);
        self.medium = self.medium.with_house(house);
        let place = workspace
            .place
            .as_ref()
            .and_then(|place| place.language.as_ref());
        let language = self
            .medium
            .language(place.map(|written| written.value.as_str()));
        let statements = Statements::load(files, &language)?;
        let wording = Wording::of(&workspace.catalogue, &language)?;
        let material = Material {
            catalogue,
            rules,
            statements: &statements,
            wording: &wording,
            language: &language,
        };
        let comparison = Comparison::of(&a, &b, &material);
        let json = || comparison.json();
        let page = self.medium.page("compare", self.all);
        let bytes = self
            .medium
            .bytes(catalogue, &language, &page, &comparison, json, None)?;
        medium::write(&self.medium, &bytes, &[&path_a, &path_b])?;
        Ok(ExitCode::SUCCESS)
    }
}

fn assessed(
    named: &Path,
    workspace: &Workspace,
    tools: &Tools<'_>,
) -> Result<(PathBuf, RecipeAssessment), Error> {
    let (path, recipe) = workspace.recipe(named)?;
    let plan = workspace.plan_recipe(&recipe, None, tools)?;
    let assessment = RecipeAssessment::of(&plan, Temperature::ROOM, tools).ok_or_else(|| {
        Error::other(
            format!("`{}` makes nothing", recipe.title),
            "list what goes in under `add`",
        )
    })?;
    Ok((path, assessment))
}

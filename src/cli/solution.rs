//! `solution`: what a recipe's finished solution is.

use std::path::PathBuf;
use std::process::ExitCode;
use std::slice;

use clap::{Args, ValueEnum};

use crate::assessment::{RecipeAssessment, SessionAir, Tools};
use crate::catalogue::Statements;
use crate::document::Wording;
use crate::document::in_room::TrayInRoom;
use crate::document::sheet::Material;
use crate::document::solution::{Explained, SolutionSheet, solution_json};
use crate::rules::Document;
use crate::units::{RoomVolume, Temperature, Volume};

use super::medium::{self, Medium};
use super::workspace::{Given, Workspace};
use super::{Error, exit_code};

/// Compute what a recipe makes: composition, density, pH, heat, what dissolves, its label.
#[derive(Args)]
pub struct Solution {
    /// The recipe: a file, or a name in the workspace's recipes.
    recipe: PathBuf,
    /// The temperature the finished solution is asked about; room temperature where left out.
    #[arg(long, value_name = "20C", default_value = "20 °C")]
    at: Temperature,
    /// The room it stands open in; the workspace's where left out.
    #[arg(long, value_name = "30m3")]
    room: Option<RoomVolume>,
    /// How much is made; as written in the recipe where left out.
    #[arg(long, value_name = "2L")]
    volume: Option<Volume>,
    /// Tell how the figures came about: formula, inputs with their sources, result.
    #[arg(long, value_name = "FIGURE", num_args = 0..=1, default_missing_value = "all")]
    explain: Option<FigureName>,
    /// On the terminal, everything; a file and any `--format` hold everything as it is.
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    medium: Medium,
    /// Let an attention end with exit code 1 too.
    #[arg(long)]
    strict: bool,
}

#[derive(Clone, Copy, ValueEnum)]
enum FigureName {
    All,
    Volume,
    Density,
    Ph,
    Temperature,
    Solubility,
    Classification,
}

impl From<Option<FigureName>> for Explained {
    fn from(asked: Option<FigureName>) -> Self {
        Self::Only(match asked {
            None => return Self::Nothing,
            Some(FigureName::All) => return Self::All,
            Some(FigureName::Volume) => "volume",
            Some(FigureName::Density) => "density",
            Some(FigureName::Ph) => "ph",
            Some(FigureName::Temperature) => "temperature",
            Some(FigureName::Solubility) => "solubility",
            Some(FigureName::Classification) => "classification",
        })
    }
}

impl Solution {
    /// Runs the command.
    ///
    /// # Errors
    /// When the recipe cannot be read, or the page cannot be written.
    pub fn run(mut self, given: Given<'_>) -> Result<ExitCode, Error> {
        if !(0.0..=100.0).contains(&self.at.celsius()) {
            let message = format!("a bath of {} is not of liquid water", self.at);
            return Err(Error::other(message, "ask about 0 to 100 °C"));
        }
        let workspace = Workspace::open(given, Some(&self.recipe))?;
        let (path, recipe) = workspace.recipe(&self.recipe)?;
        let (catalogue, rules, chemistry) = (
            &workspace.catalogue,
            workspace.rules()?,
            workspace.chemistry()?,
        );
        let tools = Tools {
            catalogue,
            rules,
            chemistry,
        };
        let mut plan = workspace.plan_recipe(&recipe, self.volume, &tools)?;
        plan.setting.room = self.room.or(plan.setting.room);
        let house = workspace.house(Document::Solution, &plan);
        self.medium = self.medium.with_house(house);
        let Some(assessment) = RecipeAssessment::of(&plan, self.at, &tools) else {
            return Err(Error::other(
                "the recipe makes nothing",
                "list what goes in under `add`",
            ));
        };
        let language = self.medium.language(plan.setting.language.as_deref());
        let statements = Statements::load(catalogue.files(), &language)?;
        let wording = Wording::of(catalogue, &language)?;
        let material = Material {
            catalogue,
            rules,
            statements: &statements,
            wording: &wording,
            language: &language,
        };
        let room = plan.setting.room;
        let air = room.map(|_| SessionAir::of(&plan, slice::from_ref(&assessment.figures), &tools));
        let tray = room
            .zip(air.as_ref())
            .and_then(|(room, air)| TrayInRoom::of(air, room, &wording));
        let sheet = SolutionSheet::of(&assessment, tray, &material, self.explain.into());
        let json = || solution_json(&assessment, air.as_ref(), &wording, &statements);
        let page = self
            .medium
            .page("solution", self.all || self.explain.is_some());
        let bytes = self
            .medium
            .bytes(catalogue, &language, &page, &sheet, json, None)?;
        medium::write(&self.medium, &bytes, &[&path])?;
        Ok(exit_code(
            assessment
                .findings
                .iter()
                .map(|finding| finding.severity)
                .max(),
            self.strict,
        ))
    }
}

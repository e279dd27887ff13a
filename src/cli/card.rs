//! `card`: one chemical, everything known of it.

use std::process::ExitCode;
use std::sync::Arc;

use clap::Args;
use serde_json::json;

use crate::catalogue::{Catalogue, Chemical, Named, Statements};
use crate::document::sheet::Material;
use crate::document::{Card, Wording};
use crate::rules::{Document, Subjects};

use super::Error;
use super::medium::{self, Medium};
use super::workspace::{Given, Workspace};

/// Print the card of one chemical: hazards, limits, first aid, look-alikes, and where each datum is from.
#[derive(Args)]
pub struct CardOf {
    /// Its name, a synonym, its CAS number or its id.
    #[arg(required = true, value_name = "NAME")]
    name: Vec<String>,
    /// On the terminal, everything; a file and any `--format` hold everything as it is.
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    medium: Medium,
}

impl CardOf {
    /// Runs the command.
    ///
    /// # Errors
    /// When the name is not known or leaves open which jar is meant, or the card cannot be written.
    pub fn run(mut self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, None)?;
        let catalogue = &workspace.catalogue;
        let place = workspace.place.as_ref();
        let language = self
            .medium
            .language(place.and_then(|place| Some(place.language.as_ref()?.value.as_str())));
        let chemical = find(catalogue, &self.name.join(" "))?;
        let subjects = Subjects {
            chemicals: std::slice::from_ref(&chemical),
            streams: &[],
        };
        let house = workspace.in_force.lines(Document::Card, subjects);
        self.medium = self.medium.with_house(house);
        let material = Material {
            catalogue,
            rules: workspace.rules()?,
            statements: &Statements::load(catalogue.files(), &language)?,
            wording: &Wording::of(catalogue, &language)?,
            language: &language,
        };
        let card = Card::of(&chemical, &material)?;
        let page = self.medium.page("card", self.all);
        let bytes = self
            .medium
            .bytes(catalogue, &language, &page, &card, || json!(card), None)?;
        medium::write(&self.medium, &bytes, &[])?;
        Ok(ExitCode::SUCCESS)
    }
}

/// The entry of an exact id, or of a name that leads to one jar only.
fn find(catalogue: &Catalogue, name: &str) -> Result<Arc<Chemical>, Error> {
    let name = name.trim();
    if let Some(chemical) = catalogue.chemical(name) {
        return Ok(chemical);
    }
    match catalogue.named(name) {
        Some(Named::Entry(chemical)) => Ok(chemical),
        Some(Named::Bare(forms) | Named::Several(forms)) => Err(open(name, &forms)),
        None => {
            let help = match catalogue.nearest(name) {
                Some(near) => {
                    format!("did you mean `{near}`? `wetside catalogue list` lists them all")
                }
                None => "`wetside catalogue list` lists them all".to_owned(),
            };
            Err(Error::other(
                format!("`{name}` is not in the catalogue"),
                help,
            ))
        }
    }
}

fn open(name: &str, forms: &[Arc<Chemical>]) -> Error {
    let ids: Vec<String> = forms.iter().map(|form| format!("`{}`", form.id)).collect();
    Error::other(
        format!("`{name}` leaves open which jar is meant"),
        format!("read its label and ask for one of {}", ids.join(", ")),
    )
}

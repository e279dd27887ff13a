//! `classify`: what the law would call a mixture given by weight per cent.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;

use crate::assessment::{self, Rules};
use crate::catalogue::{Catalogue, Named, Spelling, Statements, fold};
use crate::classify::{self, Ingredient, Profile};
use crate::document::{self, Wording};
use crate::units::Percent;

use super::Error;
use super::medium::{self, Medium};
use super::workspace::{self, Given, Workspace};
use crate::rules::{Document, Subjects};

/// Classify a mixture given by weight per cent: classes with rule and reason, near misses, label elements.
#[derive(Args)]
pub struct Classify {
    /// The mixture file.
    mixture: PathBuf,
    /// On the terminal, everything; a file and any `--format` hold everything as it is.
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    medium: Medium,
}

impl Classify {
    /// Runs the command.
    ///
    /// # Errors
    /// When the mixture cannot be read, or the result cannot be written.
    pub fn run(mut self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given.and(&["ghs"]), Some(&self.mixture))?;
        let catalogue = &workspace.catalogue;
        let rules = Rules::load(
            catalogue.files(),
            profile(given.rules).unwrap_or(workspace.profile()),
        )?;
        let file = workspace::open(&self.mixture)?;
        let chemicals = |name: &str, percent| ingredient(name, percent, catalogue, &rules);
        let mixture = classify::read_mixture(&file, &rules.tables.classes, &chemicals)?;
        let result = classify::classify(&mixture, rules.profile, &rules.tables);
        let house = workspace
            .in_force
            .lines(Document::Classify, Subjects::default());
        self.medium = self.medium.with_house(house);
        let language = self.medium.language(workspace.language());
        let mut statements = Statements::load(catalogue.files(), &language)?;
        if rules.profile == Profile::Us {
            statements = statements.spelled(Spelling::of_the_us(catalogue.files())?);
        }
        let wording = Wording::of(catalogue, &language)?;
        let view = document::classification_view(&mixture.name, &result, &statements, &wording);
        let json = || document::classification_json(&result, &statements, &wording);
        let page = self.medium.page("classification", self.all);
        let bytes = self
            .medium
            .bytes(catalogue, &language, &page, &view, json, None)?;
        medium::write(&self.medium, &bytes, &[&self.mixture])?;
        Ok(ExitCode::SUCCESS)
    }
}

/// A share is of the substance itself, unless the name says how strong a solution is meant: a data
/// sheet's `formaldehyde 10 %` is not a tenth of formalin.
fn ingredient(
    name: &str,
    percent: Percent,
    catalogue: &Catalogue,
    rules: &Rules,
) -> Result<Ingredient, String> {
    let found = catalogue
        .named(name)
        .ok_or_else(|| unknown(name, catalogue))?;
    let chemical = match found {
        Named::Entry(chemical) => chemical,
        Named::Bare(forms) => forms
            .into_iter()
            .next()
            .ok_or_else(|| unknown(name, catalogue))?,
        Named::Several(forms) => {
            let names: Vec<&str> = forms.iter().map(|form| form.name.as_str()).collect();
            return Err(format!(
                "`{name}` leaves open which is meant: {}",
                names.join("; ")
            ));
        }
    };
    let figure = chemical
        .strength
        .as_ref()
        .map(|strength| strength.percent.to_string());
    let names_strength =
        fold(name) == fold(&chemical.name) || figure.is_some_and(|figure| has_word(name, &figure));
    if names_strength {
        return Ok(assessment::ingredient(&chemical, percent, catalogue, rules));
    }
    let root = catalogue
        .chemical(chemical.root())
        .filter(|_| chemical.strength.is_some());
    Ok(assessment::undiluted(
        &root.unwrap_or(chemical),
        percent,
        rules,
    ))
}

/// `28` stands in `acetic-acid-28` and in `acetic acid 28 %`, not in `7440-28-0`, a CAS number.
fn has_word(name: &str, figure: &str) -> bool {
    let starts_with_letter = name.starts_with(|c: char| c.is_alphabetic());
    starts_with_letter
        && name
            .split(|c: char| !c.is_ascii_digit() && c != '.')
            .any(|word| word == figure)
}

fn unknown(name: &str, catalogue: &Catalogue) -> String {
    match catalogue.nearest(name) {
        Some(near) => format!("`{name}` is not in the catalogue; did you mean `{near}`?"),
        None => format!("`{name}` is not in the catalogue"),
    }
}

/// The form of the system that is no country's.
fn profile(named: &[String]) -> Option<Profile> {
    let ghs = named.iter().any(|name| name.eq_ignore_ascii_case("ghs"));
    ghs.then_some(Profile::Ghs)
}

//! `label`: labels for bottles and waste containers.

mod fit;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, ValueEnum};
use serde_json::json;

use crate::assessment::Assessment;
use crate::document::Wording;
use crate::document::blocks::Facts;
use crate::document::label::{self, LabelRules, LabelWords};
use crate::plan::Setting;
use crate::render::label::{Sheet, TooLarge, tile};
use crate::render::{Paper, paint};
use crate::rules::Document;
use crate::units::Volume;

use super::medium::{self, Format, Length, Medium};
use super::workspace::{Given, Workspace};
use super::{Error, exit_code, manners};

/// Print labels for the bottles of a session or recipe, or for waste containers.
#[derive(Args)]
pub struct Label {
    /// The session or recipe file; with --waste also the name of a waste stream.
    what: PathBuf,
    /// The file to write; standard output where left out.
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// pdf, html, md, text or json; otherwise by the ending of the file, otherwise text.
    #[arg(long, value_enum)]
    format: Option<Format>,
    #[command(flatten)]
    length: Length,
    /// What one container holds; otherwise as the session says.
    #[arg(long, value_name = "VOLUME")]
    size: Option<Volume>,
    /// Languages, one or two: `de,it`; otherwise the workspace's.
    #[arg(long, value_name = "LANG", value_delimiter = ',')]
    language: Vec<String>,
    /// What the labels are printed on.
    #[arg(long, value_enum, default_value_t = PaperKind::A4)]
    paper: PaperKind,
    /// A larger label than the capacity asks for: its size in millimetres, or `fit` for the least that holds the text. Left
    /// out, a label that does not hold its text takes the next larger size and says so.
    #[arg(long, value_name = "WxH")]
    label: Option<String>,
    /// Two labels a bottle: what must be seen at once, and the precautions.
    #[arg(long)]
    second_label: bool,
    /// The working strength instead of the stock.
    #[arg(long)]
    working: bool,
    /// Labels for the waste containers instead of the bottles.
    #[arg(long)]
    waste: bool,
}

#[derive(Clone, Copy, ValueEnum)]
enum PaperKind {
    A4,
    Letter,
    /// One label a page, the page as large as the label.
    Single,
}

/// A waste container of which no size is said.
const JUG_LITRES: f64 = 5.0;

impl Label {
    /// Runs the command.
    ///
    /// # Errors
    /// When the file cannot be read, a label does not hold its text, or it cannot be written.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, Some(&self.what))?;
        let files = workspace.catalogue.files();
        let rules = LabelRules::load(files)?;
        let words = self.words(&workspace)?;
        let language = words
            .first()
            .map_or("en", |words| words.language.as_str())
            .to_owned();
        let wording = Wording::of(&workspace.catalogue, &language)?;
        let stream = self.stream(&workspace);
        let assessment = match stream {
            Some(_) => None,
            None => Some(workspace.assess_any(&self.what)?),
        };
        let labels = self.labels(&workspace, assessment.as_ref(), &rules, &words, &wording)?;
        if labels.is_empty() {
            return Err(Error::other(
                "there is nothing to label",
                "the recipes name no waste stream; write `becomes:` or a kind",
            ));
        }
        let bytes = self.bytes(
            &labels,
            &rules,
            assessment.as_ref(),
            &wording,
            &workspace,
            &language,
        )?;
        medium::write(
            &Medium::new(self.output.clone(), self.format),
            &bytes,
            &[&self.what],
        )?;
        Ok(exit_code(
            assessment.as_ref().and_then(Assessment::worst),
            false,
        ))
    }

    fn words(&self, workspace: &Workspace) -> Result<Vec<LabelWords>, Error> {
        let own = [workspace.language().unwrap_or("en").to_owned()];
        let asked: &[String] = if self.language.is_empty() {
            &own
        } else {
            &self.language
        };
        if asked.len() > 2 {
            return Err(Error::other(
                "a label has room for two languages at most",
                "name one or two: `--language de,it`",
            ));
        }
        let files = workspace.catalogue.files();
        let load = |language: &String| {
            LabelWords::load(files, language, workspace.profile()).map_err(|error| {
                let known = "labels are known in en, de, fr, it and es; add templates/LANG/label.yaml for another";
                if files.text(&format!("templates/{language}/label.yaml")).is_some() || language == "en" {
                    return error.into();
                }
                Error::other(format!("there are no label words in `{language}`"), known)
            })
        };
        asked.iter().map(load).collect()
    }

    fn stream<'w>(&self, workspace: &'w Workspace) -> Option<&'w crate::catalogue::Stream> {
        let name = self
            .what
            .to_str()
            .filter(|_| self.waste && !self.what.is_file())?;
        workspace.catalogue.stream(name)
    }

    fn labels(
        &self,
        workspace: &Workspace,
        assessment: Option<&Assessment>,
        rules: &LabelRules,
        words: &[LabelWords],
        wording: &Wording,
    ) -> Result<Vec<label::Label>, Error> {
        let jug = Volume::from_litres(JUG_LITRES)
            .map_err(|error| Error::other(error.to_string(), "name a size"))?;
        let jug = self.size.unwrap_or(jug);
        let catalogue = &workspace.catalogue;
        let local = &workspace.in_force;
        Ok(match (assessment, self.stream(workspace)) {
            (Some(assessment), _) if self.waste => {
                let mut labels =
                    label::of_session(assessment, catalogue, rules, words, wording, jug);
                label::add_house_to_waste(&mut labels, assessment, local, words);
                labels
            }
            (Some(assessment), _) => {
                let session = workspace.within(&self.what);
                let made = (assessment, session.as_str());
                let (working, size) = (self.working, self.size);
                let mut labels = label::bottles(made, rules, words, wording, working, size);
                label::add_house_to_bottles(&mut labels, assessment, local);
                labels
            }
            (None, Some(stream)) => {
                let place = (&setting(workspace), jug);
                let mut label = label::of_stream(stream, catalogue, rules, words, wording, place);
                label::add_house_to_stream(&mut label, &stream.id, &[], local, words);
                vec![label]
            }
            (None, None) => Vec::new(),
        })
    }

    fn bytes(
        &self,
        labels: &[label::Label],
        rules: &LabelRules,
        assessment: Option<&Assessment>,
        wording: &Wording,
        workspace: &Workspace,
        language: &str,
    ) -> Result<Vec<u8>, Error> {
        let medium = Medium::new(self.output.clone(), self.format);
        let files = workspace.catalogue.files();
        let date = assessment.and_then(|assessment| assessment.plan.date);
        let title =
            assessment.map_or_else(|| self.what.display().to_string(), |a| a.plan.title.clone());
        if medium.format() != Format::Pdf {
            let view = json!({"title": title, "labels": labels, "deference": wording.word("deference"), "language": language});
            let json = || {
                label::labels_json(
                    labels,
                    assessment,
                    &self.what.display().to_string(),
                    wording,
                )
            };
            let house = assessment.map_or_else(Vec::new, |assessment| {
                workspace.house(Document::Label, &assessment.plan)
            });
            let medium = medium.with_house(house);
            return medium.bytes(
                &workspace.catalogue,
                language,
                &self.length.page("label", &medium),
                &view,
                json,
                date,
            );
        }
        let sheet = match self.paper {
            PaperKind::A4 => Sheet::Tiled(Paper::A4),
            PaperKind::Letter => Sheet::Tiled(Paper::Letter),
            PaperKind::Single => Sheet::Single,
        };
        let asked = self.label.as_deref();
        let fitted = fit::panels(labels, rules, asked, self.second_label, sheet)?;
        for line in fitted.enlarged.iter().filter(|_| !manners::quiet()) {
            eprintln!("{line}");
        }
        let pages = tile(&fitted.panels, sheet).map_err(too_large)?;
        let facts = Facts {
            title,
            language: language.to_owned(),
            date: String::new(),
            deference: String::new(),
            page_count: String::new(),
        };
        paint::paint(
            &pages,
            &facts,
            &medium::pictograms(files)?,
            medium::written(date),
        )
        .map_err(|error| Error::other(error.to_string(), "this is a fault of the program"))
    }
}

fn too_large(error: TooLarge) -> Error {
    match error {
        TooLarge::Sheet => Error::other(
            "a label is larger than the sheet",
            "print it with `--paper single`",
        ),
        TooLarge::Mixed => Error::other(
            "these labels differ in size, and a page each would too",
            "print them on a sheet, or one size at a time with `--size` or `--label`",
        ),
    }
}

/// The place, as far as a waste label shows it.
fn setting(workspace: &Workspace) -> Setting {
    let place = workspace.place.clone().unwrap_or_default();
    Setting {
        name: place.name,
        responsible: place.responsible.name,
        phone: place.responsible.phone,
        rules: workspace.regions(),
        ..Setting::default()
    }
}

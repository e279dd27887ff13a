//! `sds add`: put a data sheet on file, whole or not at all.

use std::fs;
use std::path::{Path, PathBuf};

use clap::Args;
use serde_json::json;

use crate::catalogue::{Catalogue, Chemical, fold};
use crate::classify::Classes;
use crate::data_sheet::{DataSheet, Reader, one_chemical};
use crate::document::waste::Phrases;
use crate::source::SourceFile;

use super::super::init::Written;
use super::super::workspace::Workspace;
use super::super::{Error, on_file, output, today};
use super::propose;
use super::written::Yaml;
use super::{Answer, Format};

/// Put a supplier's data sheet on file, with what it says where that matters. What is recorded
/// takes the catalogue's place on every page. A newer revision takes the place of an older one,
/// which is kept.
#[derive(Args)]
pub struct Add {
    /// The chemical: id, any name, or CAS number; hydrate and strength named.
    #[arg(required_unless_present = "propose")]
    chemical: Option<String>,
    /// Who sold it.
    #[arg(long, required_unless_present = "propose")]
    supplier: Option<String>,
    /// The day the supplier revised it, as 2024-05-13.
    #[arg(long, value_name = "DATE", required_unless_present = "propose")]
    revised: Option<String>,
    /// Write nothing: read the text of a data sheet, and print what could be put on file, each value
    /// with its line, and the command that does it. Compare every line before you run it.
    #[arg(long, value_name = "TEXT|PDF", conflicts_with_all = ["chemical", "supplier", "revised", "file"])]
    propose: Option<PathBuf>,
    /// The document itself.
    #[arg(long, value_name = "PDF")]
    file: Option<PathBuf>,
    /// Copy the document into sds/; so it is done unless --reference is given.
    #[arg(long, requires = "file", conflicts_with = "reference")]
    copy: bool,
    /// Leave the document where it is, and only note the way to it.
    #[arg(long, requires = "file")]
    reference: bool,
    /// The strength it is for: `80 %`.
    #[arg(long, value_name = "PERCENT")]
    strength: Option<String>,
    /// The form it is for: powder, crystals, granules, flakes, lumps, liquid, solution.
    #[arg(long)]
    form: Option<String>,
    /// A hazard class of section 2, `Eye Dam. 1 H318`; once for each, or `none`.
    #[arg(long, value_name = "CLASS")]
    classification: Vec<String>,
    /// A supplemental statement, `EUH066`.
    #[arg(long, value_name = "CODE")]
    supplemental: Vec<String>,
    /// A specific concentration limit, `Skin Corr. 1B H314 >= 5`.
    #[arg(long, value_name = "LIMIT")]
    specific_limit: Vec<String>,
    /// A glove material for longer contact.
    #[arg(long, value_name = "MATERIAL")]
    glove: Vec<String>,
    /// A glove material that is enough for a splash.
    #[arg(long, value_name = "MATERIAL")]
    glove_splash: Vec<String>,
    /// A glove material that must not be used.
    #[arg(long, value_name = "MATERIAL")]
    glove_not: Vec<String>,
    /// First aid: eyes, skin, breathed or swallowed, and what to do: `eyes=Rinse for 15 minutes.`
    #[arg(long, value_name = "ROUTE=TEXT", value_parser = route_and_text)]
    first_aid: Vec<(String, String)>,
    /// A workplace limit, `OSHA PEL TWA 2 mg/m3`.
    #[arg(long, value_name = "LIMIT")]
    limit: Vec<String>,
    /// Density, `1.05 kg/L`.
    #[arg(long)]
    density: Option<String>,
    /// Flash point, `12 °C`.
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    flash_point: Option<String>,
    /// pH as it is sold: a figure or a range.
    #[arg(long)]
    ph: Option<String>,
    /// How it is kept.
    #[arg(long, value_name = "TEXT")]
    storage: Option<String>,
    /// Transport: `UN 1789, class 8, group II`, or `none`.
    #[arg(long)]
    transport: Option<String>,
    /// A remark for whoever opens the file.
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    /// Write over the file of the same chemical, supplier and day.
    #[arg(long)]
    replace: bool,
    /// How the answer is printed.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

/// The document as it will stand in the file.
struct Document {
    /// The way to it from sds/.
    path: String,
    sha256: String,
    /// What is to be copied, and where to; nothing where it stays or is there already.
    copy: Option<(Vec<u8>, PathBuf)>,
}

/// Bytes of the largest document that is put on file.
const LARGEST: u64 = 100_000_000;

impl Add {
    pub(super) fn answer(
        &self,
        workspace: &Workspace,
        folder: &Path,
        phrases: &Phrases,
    ) -> Result<Answer, Error> {
        if let Some(sheet) = &self.propose {
            return propose::answer(sheet, workspace, phrases);
        }
        let chemical = self.chemical(&workspace.catalogue)?;
        let sheets = folder.join(on_file::FOLDER);
        let known = self.known(&chemical, workspace);
        let same_day = known
            .iter()
            .find(|other| other.revised.to_string() == self.revised());
        if let Some(other) = same_day.filter(|_| !self.replace) {
            return Err(Error::other(
                format!(
                    "{} of {}, {}, is on file in {}",
                    other.chemical.name, other.supplier, other.revised, other.name
                ),
                "nothing was written; correct that file, or write over it with `--replace`",
            ));
        }
        let path = match same_day {
            Some(other) => folder.join(&other.name),
            None => self.free_name(&chemical, &sheets)?,
        };
        let document = self.document(&path, &sheets)?;
        let text = self.text(&chemical, document.as_ref());
        let name = format!("{}/{}", on_file::FOLDER, file_name(&path));
        let sheet = check(&text, &name, &workspace.catalogue)?;
        write(&path, &text, document.as_ref(), same_day.is_some())?;
        Ok(told(
            &sheet,
            &path,
            document.as_ref(),
            &known,
            same_day.is_some(),
            phrases,
        ))
    }

    fn chemical(&self, catalogue: &Catalogue) -> Result<std::sync::Arc<Chemical>, Error> {
        one_chemical(self.chemical.as_deref().unwrap_or_default(), catalogue)
            .map_err(|(message, help)| Error::other(message, help.join("; ")))
    }

    fn supplier(&self) -> &str {
        self.supplier.as_deref().unwrap_or_default().trim()
    }

    fn revised(&self) -> &str {
        self.revised.as_deref().unwrap_or_default().trim()
    }

    /// What is on file of the same chemical and supplier.
    fn known<'w>(&self, chemical: &Chemical, workspace: &'w Workspace) -> Vec<&'w DataSheet> {
        let mut known = workspace.sheets.all();
        known.retain(|other| {
            other.chemical.id == chemical.id && fold(&other.supplier) == fold(self.supplier())
        });
        known
    }

    /// Chemical and supplier, and the day where a file of that name is there already.
    fn free_name(&self, chemical: &Chemical, sheets: &Path) -> Result<PathBuf, Error> {
        let stem = format!("{}-{}", chemical.id, slug(self.supplier()));
        let names = [stem.clone(), format!("{stem}-{}", slug(self.revised()))];
        let mut paths = names.iter().map(|name| sheets.join(format!("{name}.yaml")));
        paths
            .find(|path| path.symlink_metadata().is_err())
            .ok_or_else(|| {
                Error::other(
                    format!(
                        "{} is there already",
                        sheets.join(format!("{stem}.yaml")).display()
                    ),
                    "nothing was written; move that file away",
                )
            })
    }

    fn document(&self, beside: &Path, sheets: &Path) -> Result<Option<Document>, Error> {
        let Some(file) = &self.file else {
            return Ok(None);
        };
        let wrong = |error| Error::read(file, error);
        let there = fs::metadata(file).map_err(wrong)?;
        let fault = match there.len() {
            _ if !there.is_file() => Some("is not a file"),
            0 => Some("is empty"),
            bytes if bytes > LARGEST => Some("holds more than 100 MB, far more than a data sheet"),
            _ => None,
        };
        if let Some(fault) = fault {
            let message = format!("{} {fault}", file.display());
            return Err(Error::other(
                message,
                "nothing was written; is this the file you meant?",
            ));
        }
        let sha256 = on_file::fingerprint(file).map_err(wrong)?;
        let place = fs::canonicalize(file).map_err(wrong)?;
        let home = fs::canonicalize(sheets).unwrap_or_else(|_| sheets.to_owned());
        let inside = place.strip_prefix(&home).ok().map(Path::to_owned);
        if self.reference || inside.is_some() {
            let path = inside.unwrap_or(place).display().to_string();
            return Ok(Some(Document {
                path,
                sha256,
                copy: None,
            }));
        }
        let ending = file
            .extension()
            .map_or_else(|| "pdf".to_owned(), |e| e.to_string_lossy().to_lowercase());
        let target = beside.with_extension(if ending == "yaml" { "txt" } else { &ending });
        let path = file_name(&target);
        match on_file::fingerprint(&target) {
            Ok(there) if there == sha256 => Ok(Some(Document {
                path,
                sha256,
                copy: None,
            })),
            Ok(_) => Err(Error::other(
                format!(
                    "{} is there already, and is another document",
                    target.display()
                ),
                "nothing was written; move it away, or leave yours where it is with `--reference`",
            )),
            Err(_) => {
                let bytes = fs::read(file).map_err(wrong)?;
                Ok(Some(Document {
                    path,
                    sha256,
                    copy: Some((bytes, target)),
                }))
            }
        }
    }

    fn text(&self, chemical: &Chemical, document: Option<&Document>) -> String {
        let mut yaml =
            Yaml::beginning_with("yaml-language-server: $schema=../schemas/data-sheet.json");
        yaml.line("chemical", Some(&chemical.id));
        yaml.line("supplier", Some(self.supplier()));
        yaml.line("revised", Some(self.revised()));
        yaml.line("added", Some(&today().to_string()));
        yaml.line("file", document.map(|document| document.path.as_str()));
        yaml.line("sha256", document.map(|document| document.sha256.as_str()));
        yaml.line("form", self.form.as_deref());
        yaml.line("strength", self.strength.as_deref());
        match self.classification.as_slice() {
            [one] if one == "none" => yaml.line("classification", Some(one)),
            classes => yaml.list("classification", classes),
        }
        yaml.list("supplemental", &self.supplemental);
        yaml.list("specific_limits", &self.specific_limit);
        let gloves = [
            ("splash", self.glove_splash.as_slice()),
            ("long", &self.glove),
            ("unsuitable", &self.glove_not),
        ];
        yaml.lists("gloves", &gloves);
        let said = self.first_aid.iter();
        yaml.texts(
            "first_aid",
            said.map(|(route, text)| (route.as_str(), text.as_str())),
        );
        yaml.list("limits", &self.limit);
        yaml.line("density", self.density.as_deref());
        yaml.line("flash_point", self.flash_point.as_deref());
        yaml.line("ph", self.ph.as_deref());
        yaml.line("storage", self.storage.as_deref());
        yaml.line("transport", self.transport.as_deref());
        yaml.line("note", self.note.as_deref());
        yaml.into_text()
    }
}

/// What would be written must be read: the reader's word on every mistake is the person's answer.
fn check(text: &str, name: &str, catalogue: &Catalogue) -> Result<DataSheet, Error> {
    let classes = Classes::read(catalogue.files())?;
    let reader = Reader {
        catalogue,
        classes: &classes,
        today: today(),
    };
    let file = SourceFile::new(format!("{name} (not written)"), text.as_bytes().to_vec())?;
    Ok(reader.read(&file, name)?)
}

fn write(
    path: &Path,
    text: &str,
    document: Option<&Document>,
    replaces: bool,
) -> Result<(), Error> {
    let mut done = Written::default();
    let copied = document.and_then(|document| document.copy.as_ref());
    let result = copied
        .map_or(Ok(()), |(bytes, target)| done.file(target, bytes))
        .and_then(|()| {
            if replaces {
                output::write(Some(path), text.as_bytes(), &[])
            } else {
                done.file(path, text.as_bytes())
            }
        });
    if result.is_err() {
        done.take_back();
    }
    result
}

fn told(
    sheet: &DataSheet,
    path: &Path,
    document: Option<&Document>,
    known: &[&DataSheet],
    replaced: bool,
    phrases: &Phrases,
) -> Answer {
    let facts = json!({"file": path.display().to_string(), "replaced": replaced});
    let mut lines = vec![phrases.say("written", &facts)];
    let copied = document.and_then(|document| document.copy.as_ref());
    lines.extend(copied.map(|(_, target)| target.display().to_string()));
    let others = || known.iter().filter(|other| other.revised != sheet.revised);
    let newer = others().find(|other| other.revised > sheet.revised);
    if let Some(newer) = newer {
        let facts = json!({"file": newer.name, "revised": newer.revised.to_string()});
        lines.push(phrases.say("is_newer", &facts));
    } else if let Some(form) = sheet.other_form() {
        let facts = json!({"form": phrases.known(&form.to_string()), "jar": sheet.chemical.name});
        lines.push(phrases.say("is_for_another", &facts));
    } else {
        lines.extend(others().map(|old| {
            let facts = json!({"file": old.name, "revised": old.revised.to_string()});
            phrases.say("takes_the_place", &facts)
        }));
        lines.push(phrases.say("in_force", &json!({"id": sheet.chemical.id})));
    }
    let json = json!({
        "file": path.display().to_string(),
        "chemical": sheet.chemical.id,
        "supplier": sheet.supplier,
        "revised": sheet.revised.to_string(),
        "document": document.map(|document| &document.path),
        "sha256": document.map(|document| &document.sha256),
        "in_force": newer.is_none() && sheet.other_form().is_none(),
        "written_over": replaced,
    });
    Answer {
        text: lines.join("\n") + "\n",
        json,
    }
}

fn file_name(path: &Path) -> String {
    path.file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned()
}

/// `Hollow Lane Chemicals` → `hollow-lane-chemicals`.
fn slug(text: &str) -> String {
    let words: Vec<String> = text
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    let slug: String = words.join("-").chars().take(40).collect();
    if slug.is_empty() {
        "supplier".to_owned()
    } else {
        slug
    }
}

fn route_and_text(text: &str) -> Result<(String, String), String> {
    let (route, text) = text
        .split_once('=')
        .ok_or("write the route, `=` and the text: `eyes=Rinse for 15 minutes.`")?;
    Ok((route.trim().to_owned(), text.trim().to_owned()))
}

//! The files of a workspace, and what the flow needs of them.

mod files;
mod plans;

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use crate::assessment::Rules;
use crate::catalogue::{Catalogue, DataError, DataFiles, Stream};
use crate::chemistry::Chemistry;
use crate::classify::{Classes, Profile};
use crate::data_sheet::DataSheets;
use crate::plan::Plan;
use crate::rules::{Document, HouseLine, InForce, Subjects};
use crate::session::Darkroom;

use self::files::{nearest_above, overlay};
use super::{Error, on_file, rules};

pub use self::files::{open, yaml_names};

/// What a workspace's place is called.
pub const PLACE: &str = "darkroom.yaml";

/// What the command line says of where we are.
#[derive(Clone, Copy)]
pub struct Given<'a> {
    /// The folder named.
    pub folder: Option<&'a Path>,
    /// The rules named.
    pub rules: &'a [String],
    /// Names among them that mean something to one command only.
    pub also: &'a [&'a str],
}

impl<'a> Given<'a> {
    /// The same, with names that only this command knows.
    pub const fn and(self, also: &'a [&'a str]) -> Self {
        Self { also, ..self }
    }

    /// The rules named that every command knows.
    fn named(self) -> Vec<String> {
        let names = self.rules.iter().map(|name| name.trim());
        names
            .filter(|name| !self.also.contains(&name.to_lowercase().as_str()))
            .map(str::to_owned)
            .collect()
    }
}

/// A workspace, or none.
pub struct Workspace {
    /// Its folder, where there is one.
    pub folder: Option<PathBuf>,
    /// The place, where it is described.
    pub place: Option<Darkroom>,
    /// The data sheets on file.
    pub sheets: DataSheets,
    /// The catalogue in force: overlaid, and what the data sheets say in the place of its own.
    pub catalogue: Catalogue,
    /// The rules in force.
    pub in_force: InForce,
    /// Whether nobody named any rules, so that the default holds.
    pub assumed_rules: bool,
    rules: OnceLock<Rules>,
    chemistry: OnceLock<Chemistry>,
}

impl Workspace {
    /// A file's path as the workspace sees it, so that it is the same from any folder.
    pub fn within(&self, file: &Path) -> String {
        let folder = self.folder.as_deref().unwrap_or(Path::new(""));
        let folder = if folder == Path::new("") {
            Path::new(".")
        } else {
            folder
        };
        let below = fs::canonicalize(file)
            .ok()
            .zip(fs::canonicalize(folder).ok())
            .and_then(|(file, folder)| Some(file.strip_prefix(folder).ok()?.to_owned()));
        below
            .unwrap_or_else(|| file.to_owned())
            .display()
            .to_string()
    }

    /// Opens the workspace named, or the nearest one above a file, or none.
    ///
    /// # Errors
    /// When a named folder is no workspace, or a file of it cannot be used.
    pub fn open(given: Given<'_>, near: Option<&Path>) -> Result<Self, Error> {
        Self::of_folder(Self::folder_of(given, near)?, given)
    }

    /// The same; rules that are refused stand beside what is in force.
    ///
    /// # Errors
    /// As [`Self::open`], but for refused rules.
    pub fn open_as_it_is(given: Given<'_>, near: Option<&Path>) -> Result<Self, Error> {
        Self::as_it_is(Self::folder_of(given, near)?, given)
    }

    /// Where the workspace lies: the folder named, or the nearest one above a file, or nowhere.
    ///
    /// # Errors
    /// When a named folder is no workspace.
    pub fn folder_of(given: Given<'_>, near: Option<&Path>) -> Result<Option<PathBuf>, Error> {
        match given.folder {
            Some(folder) if folder.join(PLACE).is_file() => Ok(Some(folder.to_owned())),
            Some(folder) => {
                let message = format!(
                    "{} is not a workspace: it holds no {PLACE}",
                    folder.display()
                );
                let help = format!("`wetside init {}` lays one down", folder.display());
                Err(Error::other(message, help))
            }
            None => Ok(nearest_above(near)),
        }
    }

    /// Opens the workspace of a folder, or none.
    ///
    /// # Errors
    /// When a file of it cannot be used.
    pub fn of_folder(folder: Option<PathBuf>, given: Given<'_>) -> Result<Self, Error> {
        let workspace = Self::as_it_is(folder, given)?;
        match workspace.in_force.refused.as_slice() {
            [] => Ok(workspace),
            refused => Err(Error::Mistakes(refused.to_vec())),
        }
    }

    fn as_it_is(folder: Option<PathBuf>, given: Given<'_>) -> Result<Self, Error> {
        let mut files = DataFiles::embedded();
        let mut place = None;
        if let Some(folder) = &folder {
            for kind in ["hazards", "templates"] {
                overlay(&mut files, folder, &folder.join(kind))?;
            }
            place = Some(Darkroom::read(&open(&folder.join(PLACE))?)?);
        }
        let mut catalogue = Catalogue::load(files)?;
        let mut sheets = DataSheets::default();
        if let Some(folder) = folder.as_ref().filter(|f| f.join(on_file::FOLDER).is_dir()) {
            let classes = Classes::read(catalogue.files())?;
            sheets = on_file::read(folder, &catalogue, &classes)?;
            catalogue = sheets.over(catalogue, &classes);
        }
        let here = rules::Here {
            folder: folder.as_deref(),
            place: place.as_ref(),
            named: &given.named(),
        };
        let found = here.find(&catalogue)?;
        found.in_force.limit(&mut catalogue);
        Ok(Self {
            folder,
            place,
            sheets,
            catalogue,
            in_force: found.in_force,
            assumed_rules: found.assumed,
            rules: OnceLock::new(),
            chemistry: OnceLock::new(),
        })
    }

    /// The regions whose rules are in force; none where nobody named any.
    pub fn regions(&self) -> Vec<String> {
        if self.assumed_rules {
            return Vec::new();
        }
        let packs = self.in_force.packs.iter();
        packs.map(|pack| pack.place.clone()).collect()
    }

    /// What the rule files say on a document about some chemicals, and the streams they become.
    pub fn house(&self, on: Document, plan: &Plan) -> Vec<HouseLine> {
        let streams = plan
            .solutions
            .iter()
            .filter_map(|solution| solution.stream.as_deref());
        let mut ids: Vec<&str> = streams.collect();
        ids.sort_unstable();
        ids.dedup();
        let streams: Vec<&Stream> = ids
            .iter()
            .filter_map(|id| self.catalogue.stream(id))
            .collect();
        let subjects = Subjects {
            chemicals: &plan.chemicals(),
            streams: &streams,
        };
        self.in_force.lines(on, subjects)
    }

    /// What the rule files say on a document about waste.
    pub fn house_of_waste<'s>(
        &self,
        on: Document,
        streams: impl Iterator<Item = &'s str>,
    ) -> Vec<HouseLine> {
        let streams: Vec<&Stream> = streams.filter_map(|id| self.catalogue.stream(id)).collect();
        let subjects = Subjects {
            chemicals: &[],
            streams: &streams,
        };
        self.in_force.lines(on, subjects)
    }

    /// What the rules in force say of the place.
    fn settle(&self, plan: &mut Plan) {
        self.in_force.settle(&mut plan.setting);
        plan.setting.rules = self.regions();
    }

    /// Whose form of the system labels follow: the US one only where US rules alone are in force.
    pub fn profile(&self) -> Profile {
        if self.regions() == ["us"] {
            Profile::Us
        } else {
            Profile::Eu
        }
    }

    /// The workspace's language.
    pub fn language(&self) -> Option<&str> {
        let written = self
            .place
            .as_ref()
            .and_then(|place| place.language.as_ref());
        written.map(|language| language.value.as_str())
    }

    /// The tables of classes and labels.
    ///
    /// # Errors
    /// When they cannot be used.
    pub fn rules(&self) -> Result<&Rules, Error> {
        loaded(&self.rules, || {
            let rules = Rules::load(self.catalogue.files(), self.profile())?;
            let rules = rules.heeding(&self.catalogue);
            Ok(rules.with_local(&self.in_force))
        })
    }

    /// What is known of dissolved matter.
    ///
    /// # Errors
    /// When the data cannot be used.
    pub fn chemistry(&self) -> Result<&Chemistry, Error> {
        loaded(&self.chemistry, || Chemistry::load(self.catalogue.files()))
    }
}

/// What is loaded when it is first asked for.
fn loaded<T>(cell: &OnceLock<T>, load: impl FnOnce() -> Result<T, DataError>) -> Result<&T, Error> {
    match cell.get() {
        Some(there) => Ok(there),
        None => {
            let fresh = load()?;
            Ok(cell.get_or_init(|| fresh))
        }
    }
}

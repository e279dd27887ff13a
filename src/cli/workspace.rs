//! The files of a workspace, and what the flow needs of them.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::assessment::{Assessment, Rules, Tools};
use crate::catalogue::{Catalogue, DataFiles};
use crate::chemistry::Chemistry;
use crate::classify::Profile;
use crate::finding::Subject;
use crate::plan::{self, Recipes};
use crate::session::{Darkroom, Session};
use crate::source::yaml::{self, Node, Value};
use crate::source::{Mistake, SourceFile};

use super::Error;

/// What a workspace's place is called.
pub const PLACE: &str = "darkroom.yaml";

/// A workspace, or none.
pub struct Workspace {
    /// Its folder, where there is one.
    pub folder: Option<PathBuf>,
    /// The place, where it is described.
    pub place: Option<Darkroom>,
    /// The catalogue, overlaid.
    pub catalogue: Catalogue,
}

impl Workspace {
    /// Opens the workspace named, or the nearest one above a file, or none.
    ///
    /// # Errors
    /// When a named folder is no workspace, or a file of it cannot be used.
    pub fn open(named: Option<&Path>, near: Option<&Path>) -> Result<Self, Error> {
        let folder = match named {
            Some(folder) if folder.join(PLACE).is_file() => Some(folder.to_owned()),
            Some(folder) => {
                let message = format!(
                    "{} is not a workspace: it holds no {PLACE}",
                    folder.display()
                );
                return Err(Error::other(
                    message,
                    format!("`wetside init {}` lays one down", folder.display()),
                ));
            }
            None => nearest_above(near),
        };
        let mut files = DataFiles::embedded();
        let mut place = None;
        if let Some(folder) = &folder {
            for kind in ["hazards", "templates"] {
                overlay(&mut files, folder, &folder.join(kind))?;
            }
            place = Some(Darkroom::read(&open(&folder.join(PLACE))?)?);
        }
        Ok(Self {
            folder,
            place,
            catalogue: Catalogue::load(files)?,
        })
    }

    /// Whose form of the system labels follow: the US one only where US rules alone are in force.
    pub fn profile(&self) -> Profile {
        let rules = self.place.iter().flat_map(|place| &place.rules);
        let mut names = rules.map(|rule| rule.value.as_str()).peekable();
        if names.peek().is_some() && names.all(|name| name == "us") {
            Profile::Us
        } else {
            Profile::Eu
        }
    }

    /// The workspace's language.
    pub fn language(&self) -> Option<&str> {
        let written = self.place.as_ref().and_then(|place| place.language.as_ref());
        written.map(|language| language.value.as_str())
    }

    /// The tables of classes and labels.
    ///
    /// # Errors
    /// When they cannot be used.
    pub fn rules(&self) -> Result<Rules, Error> {
        Ok(Rules::load(self.catalogue.files(), self.profile())?)
    }

    /// What is known of dissolved matter.
    ///
    /// # Errors
    /// When the data cannot be used.
    pub fn chemistry(&self) -> Result<Chemistry, Error> {
        Ok(Chemistry::load(self.catalogue.files())?)
    }

    /// Reads a session and its recipes, and assesses the plan.
    ///
    /// # Errors
    /// Everything in the files that stands in the way.
    pub fn assess(&self, session: &Path) -> Result<Assessment, Error> {
        self.assess_session(&Session::read(&open(session)?)?)
    }

    /// Assesses a session, or a recipe as if it were to be mixed alone; what a session should say
    /// of people and what they wear is then not asked for.
    ///
    /// # Errors
    /// Everything in the files that stands in the way.
    pub fn assess_any(&self, path: &Path) -> Result<Assessment, Error> {
        let file = open(path)?;
        if !is_recipe(&file) {
            return self.assess_session(&Session::read(&file)?);
        }
        let title = crate::session::Recipe::read(&file)?.title;
        let name = path.canonicalize().map_err(|error| Error::read(path, error))?;
        let alone = serde_json::json!({"title": title, "make": [{"recipe": name}]});
        let session = SourceFile::new(file.name.clone(), alone.to_string().into_bytes())?;
        let mut assessment = self.assess_session(&Session::read(&session)?)?;
        assessment.findings.retain(|finding| finding.subject != Subject::Session);
        Ok(assessment)
    }

    fn assess_session(&self, session: &Session) -> Result<Assessment, Error> {
        let recipes = self.recipes(session)?;
        let plan = plan::resolve(session, &recipes, self.place.as_ref(), &self.catalogue)?;
        let (rules, chemistry) = (self.rules()?, self.chemistry()?);
        Ok(Assessment::of(plan, &Tools { catalogue: &self.catalogue, rules: &rules, chemistry: &chemistry }))
    }

    fn recipes(&self, session: &Session) -> Result<Recipes, Error> {
        let mut recipes = Recipes::new();
        let mut mistakes: Vec<Mistake> = Vec::new();
        for make in &session.make {
            let name = &make.recipe.value;
            if recipes.contains_key(name) {
                continue;
            }
            let Some(path) = self.find_recipe(name, Path::new(&session.file.name)) else {
                mistakes.push(self.no_recipe(name, &make.recipe.place));
                continue;
            };
            match open(&path).map(|file| crate::session::Recipe::read(&file)) {
                Ok(Ok(recipe)) => drop(recipes.insert(name.clone(), recipe)),
                Ok(Err(found)) | Err(Error::Mistakes(found)) => mistakes.extend(found),
                Err(other) => return Err(other),
            }
        }
        if mistakes.is_empty() {
            Ok(recipes)
        } else {
            Err(mistakes.into())
        }
    }

    /// A recipe by path, or by name in `recipes/` of the workspace or beside the session.
    fn find_recipe(&self, name: &str, session: &Path) -> Option<PathBuf> {
        let beside = session.parent().unwrap_or(Path::new(""));
        let folders = self.folder.iter().map(|folder| folder.join("recipes"));
        let folders = folders.chain([
            beside.join("recipes"),
            beside.join("../recipes"),
            beside.to_owned(),
            PathBuf::new(),
        ]);
        let candidates =
            folders.flat_map(|folder| [folder.join(format!("{name}.yaml")), folder.join(name)]);
        candidates.into_iter().find(|path| path.is_file())
    }

    fn no_recipe(&self, name: &str, place: &crate::source::Place) -> Mistake {
        let folder = self.folder.as_ref().map(|folder| folder.join("recipes"));
        let known: Vec<String> = folder
            .iter()
            .flat_map(|folder| yaml_names(folder))
            .collect();
        let message = format!("there is no recipe `{name}`");
        let list = match known.as_slice() {
            [] => "recipes are looked for in `recipes/` of the workspace and beside the session"
                .to_owned(),
            names => format!("recipes here are {}", names.join(", ")),
        };
        match crate::source::nearest(name, known.iter().map(String::as_str)) {
            Some(near) => {
                Mistake::at(place.clone(), message, format!("did you mean `{near}`?")).or(list)
            }
            None => Mistake::at(place.clone(), message, list),
        }
    }
}

/// Reads a person's file.
///
/// # Errors
/// When it is not there, not readable, or not text.
pub fn open(path: &Path) -> Result<Arc<SourceFile>, Error> {
    let size = fs::metadata(path)
        .map_err(|error| Error::read(path, error))?
        .len();
    if size > SourceFile::MAX_BYTES as u64 * 100 {
        let message = format!("{} is {} MB", path.display(), size / 1_000_000);
        return Err(Error::other(
            message,
            "files here may be at most 1 MB; is this the file you meant?",
        ));
    }
    let bytes = fs::read(path).map_err(|error| Error::read(path, error))?;
    Ok(SourceFile::new(path.display().to_string(), bytes)?)
}

/// A recipe adds, a session makes.
fn is_recipe(file: &Arc<SourceFile>) -> bool {
    let has = |node: &Node, name: &str| {
        matches!(&node.value, Value::Map(pairs) if pairs.iter().any(|(key, _)| key.text() == Some(name)))
    };
    yaml::parse(file).is_ok_and(|node| has(&node, "add") && !has(&node, "make"))
}

fn nearest_above(near: Option<&Path>) -> Option<PathBuf> {
    let start = match near.and_then(Path::parent) {
        Some(parent) if parent != Path::new("") => fs::canonicalize(parent).ok()?,
        _ => std::env::current_dir().ok()?,
    };
    start
        .ancestors()
        .find(|folder| folder.join(PLACE).is_file())
        .map(|found| shorter(found, &start))
}

/// Relative to where we are, when it is below: messages are read by people.
fn shorter(found: &Path, start: &Path) -> PathBuf {
    let here = std::env::current_dir().unwrap_or_else(|_| start.to_owned());
    match found.strip_prefix(&here) {
        Ok(rest) if rest == Path::new("") => PathBuf::from("."),
        Ok(rest) => rest.to_owned(),
        Err(_) => found.to_owned(),
    }
}

fn overlay(files: &mut DataFiles, root: &Path, folder: &Path) -> Result<(), Error> {
    let Ok(entries) = fs::read_dir(folder) else {
        return Ok(());
    };
    let mut paths: Vec<PathBuf> = entries
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .collect();
    paths.sort();
    for path in paths {
        if path.is_dir() {
            overlay(files, root, &path)?;
            continue;
        }
        let text = fs::read_to_string(&path).map_err(|error| Error::read(&path, error))?;
        let name = path
            .strip_prefix(root)
            .unwrap_or(&path)
            .to_string_lossy()
            .replace('\\', "/");
        files.overlay(&name, &text)?;
    }
    Ok(())
}

fn yaml_names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> = entries
        .filter_map(|entry| {
            entry
                .file_name()
                .to_str()?
                .strip_suffix(".yaml")
                .map(str::to_owned)
        })
        .collect();
    names.sort();
    names
}

//! The files of a workspace, and what the flow needs of them.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use crate::assessment::{Assessment, Rules, Tools};
use crate::catalogue::{Catalogue, DataError, DataFiles, Stream};
use crate::chemistry::Chemistry;
use crate::classify::{Classes, Profile};
use crate::data_sheet::DataSheets;
use crate::plan::{self, Plan, Recipes};
use crate::rules::{Document, HouseLine, InForce, Subjects};
use crate::session::{Darkroom, Recipe, Session};
use crate::source::yaml::{self, Node, Value};
use crate::source::{Mistake, Mistakes, SourceFile};
use crate::units::{Temperature, Volume};

use super::{Error, on_file, rules};

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

    /// Reads a session and its recipes, and assesses the plan.
    ///
    /// # Errors
    /// Everything in the files that stands in the way.
    pub fn assess(&self, session: &Path) -> Result<Assessment, Error> {
        let file = open(session)?;
        self.assess_session(&file)
    }

    /// Plans a session, without assessing it.
    ///
    /// # Errors
    /// Everything in the files that stands in the way.
    pub fn plan_session(&self, path: &Path) -> Result<Plan, Error> {
        let mut mistakes = Mistakes::default();
        let plan = self.plan(Session::read(&open(path)?)?, &mut mistakes)?;
        Ok(mistakes.or_value(plan)?)
    }

    /// Assesses a session, or a recipe as if it were to be mixed alone.
    ///
    /// # Errors
    /// Everything in the files that stands in the way.
    pub fn assess_any(&self, path: &Path) -> Result<Assessment, Error> {
        let file = open(path)?;
        if !is_recipe(&file) {
            return self.assess_session(&file);
        }
        let (rules, chemistry) = (self.rules()?, self.chemistry()?);
        let tools = Tools {
            catalogue: &self.catalogue,
            rules,
            chemistry,
        };
        let plan = self.plan_recipe(&Recipe::read(&file)?, None, &tools)?;
        let mut assessment = Assessment::of(plan, &tools);
        // What a session should say of people and what they wear is not asked of a recipe.
        assessment
            .findings
            .retain(|finding| finding.subject != crate::finding::Subject::Session);
        Ok(assessment)
    }

    fn assess_session(&self, file: &Arc<SourceFile>) -> Result<Assessment, Error> {
        let (session, found) = Session::read_partly(file);
        let mut mistakes = Mistakes::default();
        mistakes.note_all(found);
        let plan = match session {
            Some(session) => self.plan(session, &mut mistakes)?,
            None => None,
        };
        let plan = mistakes.or_value(plan)?;
        let (rules, chemistry) = (self.rules()?, self.chemistry()?);
        let tools = Tools {
            catalogue: &self.catalogue,
            rules,
            chemistry,
        };
        Ok(Assessment::of(plan, &tools))
    }

    /// Whether a recipe goes by this path or name.
    pub fn knows_recipe(&self, name: &str) -> bool {
        self.find_recipe(name, Path::new("")).is_some()
    }

    /// Reads a recipe by path, or by its name in `recipes/`.
    ///
    /// # Errors
    /// When there is none, or it cannot be taken as it stands.
    pub fn recipe(&self, named: &Path) -> Result<(PathBuf, Recipe), Error> {
        let by_name = || {
            named
                .to_str()
                .and_then(|name| self.find_recipe(name, Path::new("")))
        };
        let found = if named.is_file() { None } else { by_name() };
        let path = found.unwrap_or_else(|| named.to_owned());
        let recipe = Recipe::read(&open(&path)?)?;
        Ok((path, recipe))
    }

    /// Reads a recipe that a file names: by path from there or from the workspace, or by name.
    ///
    /// # Errors
    /// As [`Self::recipe`].
    pub fn recipe_named_in(&self, file: &Path, name: &str) -> Result<Recipe, Error> {
        let of_workspace = self
            .folder
            .iter()
            .map(|folder| folder.join(name))
            .find(|path| path.is_file());
        let found = self.find_recipe(name, file).or(of_workspace);
        let path = found.unwrap_or_else(|| PathBuf::from(name));
        Ok(Recipe::read(&open(&path)?)?)
    }

    /// Plans a single recipe, as much of it as wanted. What a recipe makes follows from its
    /// density where it does not say.
    ///
    /// # Errors
    /// Everything in the recipe that stands in the way.
    pub fn plan_recipe(
        &self,
        recipe: &Recipe,
        wanted: Option<Volume>,
        tools: &Tools<'_>,
    ) -> Result<Plan, Error> {
        let plan = |factor| {
            let place = self.place.as_ref();
            let mut plan = plan::resolve_recipe(recipe, factor, place, &self.catalogue)?;
            self.settle(&mut plan);
            Ok::<Plan, Vec<Mistake>>(plan)
        };
        let as_written = plan(1.0)?;
        let Some(wanted) = wanted else {
            return Ok(as_written);
        };
        let stated = recipe
            .makes
            .as_ref()
            .or(recipe.top_up.as_ref())
            .map(|makes| makes.value.litres());
        let computed = || {
            let solution = as_written.solutions.first()?;
            let stock = tools.figures(solution, Temperature::ROOM).stock;
            Some(stock.chemistry.ok()?.composition.volume.value)
        };
        match stated.or_else(computed).filter(|litres| *litres > 0.0) {
            Some(litres) => Ok(plan(wanted.litres() / litres)?),
            None => Err(Error::other(
                format!(
                    "`{}` does not say what its amounts make, so it cannot be scaled",
                    recipe.title
                ),
                "add `makes: 1 L` to it, or leave `--volume` away",
            )),
        }
    }

    /// The plan, as far as it goes; every mistake in session and recipes is noted.
    fn plan(&self, mut session: Session, mistakes: &mut Mistakes) -> Result<Option<Plan>, Error> {
        let recipes = self.recipes(&session, mistakes)?;
        if !mistakes.is_empty() {
            // Recipes with holes cannot be scaled, but their names can be looked up.
            for make in &mut session.make {
                make.volume = None;
            }
        }
        let place = self.place.as_ref();
        match plan::resolve(&session, &recipes, place, &self.catalogue) {
            Ok(mut plan) => {
                plan.briefed = super::book::briefed(self)?;
                let jars = plan.chemicals();
                let roots: Vec<&str> = jars.iter().map(|jar| jar.root()).collect();
                plan.on_file = on_file::of(self, &roots);
                self.settle(&mut plan);
                Ok(Some(plan))
            }
            Err(found) => {
                mistakes.note_all(found);
                Ok(None)
            }
        }
    }

    fn recipes(&self, session: &Session, mistakes: &mut Mistakes) -> Result<Recipes, Error> {
        let mut recipes = Recipes::new();
        let mut tried: BTreeSet<&str> = BTreeSet::new();
        for make in &session.make {
            let name = &make.recipe.value;
            let Some(path) = self.find_recipe(name, Path::new(&session.file.name)) else {
                mistakes.note(self.no_recipe(name, &make.recipe.place));
                continue;
            };
            if !tried.insert(name) {
                continue;
            }
            match open(&path) {
                Ok(file) => {
                    let (recipe, found) = Recipe::read_partly(&file);
                    mistakes.note_all(found);
                    recipes.extend(recipe.map(|recipe| (name.clone(), recipe)));
                }
                Err(Error::Mistakes(found)) => mistakes.note_all(found),
                Err(other) => return Err(other),
            }
        }
        Ok(recipes)
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

/// Reads a person's file; of one far too large, only enough to say so.
///
/// # Errors
/// When it is not there, not readable, or not text.
pub fn open(path: &Path) -> Result<Arc<SourceFile>, Error> {
    let wrong = |error| Error::read(path, error);
    let file = File::open(path).map_err(wrong)?;
    let mut bytes = Vec::new();
    // A device or a pipe may never end.
    file.take(SourceFile::MAX_BYTES as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(wrong)?;
    Ok(SourceFile::new(path.display().to_string(), bytes)?)
}

/// A recipe adds, a session makes.
fn is_recipe(file: &Arc<SourceFile>) -> bool {
    let has = |node: &Node, name: &str| matches!(&node.value, Value::Map(pairs) if pairs.iter().any(|(key, _)| key.text() == Some(name)));
    yaml::parse(file).is_ok_and(|node| has(&node, "add") && !has(&node, "make"))
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
    let hidden = |path: &PathBuf| {
        path.file_name()
            .is_some_and(|name| name.to_string_lossy().starts_with('.'))
    };
    // What editors and systems leave behind is not the person's.
    for path in paths.into_iter().filter(|path| !hidden(path)) {
        if path.is_dir() {
            overlay(files, root, &path)?;
            continue;
        }
        let name = path
            .strip_prefix(root)
            .unwrap_or(&path)
            .to_string_lossy()
            .replace('\\', "/");
        files.overlay(&name, &open(&path)?)?;
    }
    Ok(())
}

/// The names of the YAML files of a folder, without their ending, in order.
pub fn yaml_names(folder: &Path) -> Vec<String> {
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

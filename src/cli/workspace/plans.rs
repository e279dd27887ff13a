//! Sessions and recipes of a workspace → plans, and what is to be said of them.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::assessment::{Assessment, Tools};
use crate::finding::Subject;
use crate::plan::{self, Plan, Recipes};
use crate::session::{Recipe, Session, is_recipe};
use crate::source::yaml;
use crate::source::{Mistake, Mistakes, Place, SourceFile, nearest};
use crate::units::{Temperature, Volume};

use super::super::{Error, book, on_file};
use super::Workspace;
use super::files::{open, yaml_names};

impl Workspace {
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
        if !yaml::parse(&file).is_ok_and(|node| is_recipe(&node)) {
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
            .retain(|finding| finding.subject != Subject::Session);
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
                plan.briefed = book::briefed(self)?;
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

    fn no_recipe(&self, name: &str, place: &Place) -> Mistake {
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
        match nearest(name, known.iter().map(String::as_str)) {
            Some(near) => {
                Mistake::at(place.clone(), message, format!("did you mean `{near}`?")).or(list)
            }
            None => Mistake::at(place.clone(), message, list),
        }
    }
}

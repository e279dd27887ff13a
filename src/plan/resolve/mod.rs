//! Session + recipes + place + catalogue → plan, or everything that stands in the way.

mod names;
mod setting;
mod steps;

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::catalogue::{Catalogue, Chemical};
use crate::session::{Darkroom, Make, Recipe, Session, Sheets, Written};
use crate::source::{Mistake, Mistakes};
use crate::units::{Dilution, Volume};

use crate::plan::{Plan, PlannedVessel, Processed, Solution};

use names::one_form;
use setting::setting;

/// The recipes a session names, by the name it uses.
pub type Recipes = BTreeMap<String, Recipe>;

/// Resolves a session.
///
/// # Errors
/// Every unknown name and impossible amount, each at its place.
pub fn resolve(
    session: &Session,
    recipes: &Recipes,
    darkroom: Option<&Darkroom>,
    catalogue: &Catalogue,
) -> Result<Plan, Vec<Mistake>> {
    within_a_day(session, recipes)?;
    planned(session, darkroom, catalogue, |resolver| {
        session
            .make
            .iter()
            .filter_map(|make| resolver.solution(make, recipes))
            .collect()
    })
}

/// More steps than this nobody does in a session; a file of some kilobytes could ask for ninety
/// thousand, each to be reckoned.
const MOST_STEPS: usize = 1000;

fn within_a_day(session: &Session, recipes: &Recipes) -> Result<(), Vec<Mistake>> {
    let steps = session
        .make
        .iter()
        .filter_map(|make| recipes.get(&make.recipe.value))
        .map(|recipe| recipe.add.len() + 1);
    let steps: usize = steps.sum();
    if steps <= MOST_STEPS {
        return Ok(());
    }
    let message =
        format!("this session has {steps} things to put in; more than {MOST_STEPS} are not taken");
    let help = "is this the file you meant? otherwise part it into sessions";
    Err(vec![Mistake::at(session.top(), message, help)])
}

fn planned<'c>(
    session: &Session,
    darkroom: Option<&Darkroom>,
    catalogue: &'c Catalogue,
    solutions: impl FnOnce(&mut Resolver<'c>) -> Vec<Solution>,
) -> Result<Plan, Vec<Mistake>> {
    let mut mistakes = Mistakes::default();
    let place = darkroom.cloned().unwrap_or_default();
    let jars = if session.jars.is_empty() {
        &place.jars
    } else {
        &session.jars
    };
    let jars: Vec<Arc<Chemical>> = jars
        .iter()
        .filter_map(|jar| one_form(jar, catalogue, &mut mistakes))
        .collect();
    let mut resolver = Resolver {
        catalogue,
        jars,
        mistakes,
    };

    let solutions = solutions(&mut resolver);
    let bench = session
        .bench
        .iter()
        .filter_map(|name| resolver.bench(name))
        .collect();
    let wear = session
        .wear
        .iter()
        .filter_map(|item| resolver.wear(item))
        .collect();
    let plan = Plan {
        title: session.title.clone(),
        date: session.date,
        people: session.people.clone(),
        briefed: None,
        on_file: None,
        solutions,
        processed: processed(session),
        bench,
        wear,
        setting: setting(session, &place),
        note: session.note.clone(),
        top: session.top(),
    };
    resolver.mistakes.or_value(Some(plan))
}

/// A plan that makes one recipe and nothing else, each of its amounts taken so many times.
///
/// # Errors
/// Every unknown name and impossible amount, each at its place.
pub fn resolve_recipe(
    recipe: &Recipe,
    factor: f64,
    darkroom: Option<&Darkroom>,
    catalogue: &Catalogue,
) -> Result<Plan, Vec<Mistake>> {
    let session = Session::without_recipes(&recipe.file, &recipe.title);
    planned(&session, darkroom, catalogue, |resolver| {
        resolver.of_recipe(recipe, factor).into_iter().collect()
    })
}

fn processed(session: &Session) -> Processed {
    let values = |written: &[Written<Sheets>]| written.iter().map(|w| w.value).collect();
    Processed {
        sheets: values(&session.sheets),
        plates: values(&session.plates),
        rolls: session.rolls.as_ref().map_or(0, |rolls| rolls.value.0),
    }
}

struct Resolver<'c> {
    catalogue: &'c Catalogue,
    jars: Vec<Arc<Chemical>>,
    mistakes: Mistakes,
}

impl Resolver<'_> {
    fn solution(&mut self, make: &Make, recipes: &Recipes) -> Option<Solution> {
        let recipe = recipes.get(&make.recipe.value)?;
        let factor = self.factor(make, recipe);
        let vessel = |written: &Option<Written<String>>| {
            written
                .as_ref()
                .map(|text| PlannedVessel::read(&text.value, self.catalogue))
        };
        let (vessel, storage) = (vessel(&make.vessel), vessel(&make.into));
        // Where it cannot be scaled its names are looked up all the same.
        let solution = self.of_recipe(recipe, factor.unwrap_or(1.0))?;
        factor?;
        Some(Solution {
            volume: make
                .volume
                .as_ref()
                .map_or(solution.volume, |wanted| wanted.value),
            vessel,
            storage,
            tray: make.tray.clone(),
            place: make.recipe.place.clone(),
            ..solution
        })
    }

    /// What a recipe makes when each of its amounts is taken so many times.
    fn of_recipe(&mut self, recipe: &Recipe, factor: f64) -> Option<Solution> {
        let kind = recipe.kind.as_ref().and_then(|kind| self.kind(kind));
        let stream = recipe
            .becomes
            .as_ref()
            .and_then(|stream| self.stream(stream));
        let steps = self.steps(recipe, factor)?;
        let stated = recipe.makes.as_ref().or(recipe.top_up.as_ref());
        let volume = match stated {
            Some(makes) => self.within(makes.value.scaled(factor), &makes.place)?,
            None => Volume::from_litres(steps.last()?.after.litres()).ok()?,
        };
        Some(Solution {
            title: recipe.title.clone(),
            stream: stream.or_else(|| kind.as_ref().and_then(|kind| kind.stream.clone())),
            kind,
            volume,
            steps,
            vessel: None,
            storage: None,
            tray: None,
            dilution: recipe
                .dilute
                .as_ref()
                .map_or(Dilution::STOCK, |dilute| dilute.value),
            keeps: recipe.keeps,
            processes: recipe.processes.as_ref().map(|area| area.value),
            note: recipe.note.clone(),
            place: recipe.top(),
        })
    }

    /// How many times the written recipe is made.
    fn factor(&mut self, make: &Make, recipe: &Recipe) -> Option<f64> {
        let Some(wanted) = &make.volume else {
            return Some(1.0);
        };
        let written = recipe.makes.as_ref().or(recipe.top_up.as_ref());
        match written {
            Some(makes) if makes.value.litres() > 0.0 => {
                Some(wanted.value.litres() / makes.value.litres())
            }
            Some(makes) => {
                self.mistakes.note(Mistake::at(
                    makes.place.clone(),
                    "a recipe that makes nothing cannot be scaled",
                    "write what the amounts make, like `makes: 1 L`",
                ));
                None
            }
            None => {
                let message = format!(
                    "`{}` does not say what its amounts make, so it cannot be scaled",
                    recipe.title
                );
                let help = format!(
                    "add `makes: 1 L` to {}, or leave `volume` out here",
                    recipe.file.name
                );
                self.mistakes
                    .note(Mistake::at(wanted.place.clone(), message, help));
                None
            }
        }
    }
}

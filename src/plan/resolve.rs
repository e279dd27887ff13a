//! Session + recipes + place + catalogue → plan, or everything that stands in the way.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::catalogue::{Catalogue, Chemical, Named};
use crate::session::{Addition, Air, Amount, Darkroom, Make, Recipe, Session, Sheets, Written};
use crate::source::{Mistake, Mistakes, Place};
use crate::units::{Density, Dilution, Mass, Volume};

use super::{
    Action, Added, Composition, Conversion, Plan, PlannedVessel, Processed, Setting, Solution, Step,
};

/// The recipes a session names, by the name it uses.
pub type Recipes = BTreeMap<String, Recipe>;

/// Millilitres that a gram of dissolved solid takes up. Apparent specific volumes of common salts
/// run from 0.1 to 0.7 mL/g (CRC Handbook, concentrative properties); the middle keeps the water
/// of a strong fixer within 5 %. Only used to say how much water a top-up takes.
const ML_PER_GRAM_DISSOLVED: f64 = 0.4;

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
    planned(session, darkroom, catalogue, |resolver| {
        session
            .make
            .iter()
            .filter_map(|make| resolver.solution(make, recipes))
            .collect()
    })
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

/// The place as it is on the day.
fn setting(session: &Session, place: &Darkroom) -> Setting {
    let usual = Setting::of_place(place);
    let today = with_air(&session.air);
    Setting {
        fresh_air: today.fresh_air.or(usual.fresh_air),
        fan: today.fan.or(usual.fan),
        blows_outdoors: today.blows_outdoors.or(usual.blows_outdoors),
        has_inlet: today.has_inlet.or(usual.has_inlet),
        window_open: today.window_open.or(usual.window_open),
        scale: session.scale.as_ref().map(|s| s.value).or(usual.scale),
        water: session.water.clone().or(usual.water),
        alone: session.alone.as_ref().map(|alone| alone.value),
        ..usual
    }
}

/// What is said of the air, and nothing else.
fn with_air(air: &Air) -> Setting {
    let says = |written: &Option<Written<String>>, word: &str| {
        written
            .as_ref()
            .map(|said| said.value.eq_ignore_ascii_case(word))
    };
    Setting {
        fresh_air: air.fresh_air.as_ref().map(|flow| flow.value),
        fan: air.fan.as_ref().map(|flow| flow.value),
        blows_outdoors: says(&air.blows, "outdoors"),
        has_inlet: says(&air.inlet, "open"),
        window_open: says(&air.window, "open"),
        ..Setting::default()
    }
}

impl Setting {
    /// The place as it is written; nobody is known to be alone in it.
    pub fn of_place(place: &Darkroom) -> Self {
        let text = |written: &Option<Written<String>>| written.as_ref().map(|w| w.value.clone());
        Self {
            name: place.name.clone(),
            responsible: place.responsible.name.clone(),
            phone: place.responsible.phone.clone(),
            rules: place.rules.iter().map(|rule| rule.value.clone()).collect(),
            room: place.room.as_ref().map(|room| room.value),
            scale: place.scale.as_ref().map(|scale| scale.value),
            water: place.water.clone(),
            eyewash: place.eyewash.clone(),
            spill_kit: place.spill_kit.clone(),
            way_out: place.way_out.clone(),
            emergency: place.emergency.clone(),
            poison: place.poison.clone(),
            numbers: Vec::new(),
            address: place.address.clone(),
            briefing_every: place.briefing_every.as_ref().map(|every| every.value),
            data_sheets_every: place.data_sheets_every.as_ref().map(|every| every.value),
            drain: text(&place.drain),
            holder: text(&place.holder),
            language: text(&place.language),
            ..with_air(&place.air)
        }
    }
}

/// A name that must lead to exactly one form, such as a jar on the shelf.
fn one_form(
    name: &Written<String>,
    catalogue: &Catalogue,
    mistakes: &mut Mistakes,
) -> Option<Arc<Chemical>> {
    match catalogue.named(&name.value) {
        Some(Named::Entry(chemical)) => Some(chemical),
        Some(Named::Bare(forms) | Named::Several(forms)) => {
            let message = format!("`{}` leaves open which of several is meant", name.value);
            mistakes.note(Mistake::at(
                name.place.clone(),
                message,
                format!("write one of {}", listed(&forms)),
            ));
            None
        }
        None => {
            mistakes.note(unknown(name, catalogue));
            None
        }
    }
}

fn unknown(name: &Written<String>, catalogue: &Catalogue) -> Mistake {
    let message = format!("`{}` is not in the catalogue", name.value);
    let list = "`wetside catalogue list` prints every chemical known; a workspace can add its own";
    match catalogue.nearest(&name.value) {
        Some(near) => Mistake::at(
            name.place.clone(),
            message,
            format!("did you mean `{near}`?"),
        )
        .or(list),
        None => Mistake::at(name.place.clone(), message, list),
    }
}

fn listed(forms: &[Arc<Chemical>]) -> String {
    let names: Vec<String> = forms
        .iter()
        .map(|form| format!("`{}`", form.name))
        .collect();
    names.join(", ")
}

struct Resolver<'c> {
    catalogue: &'c Catalogue,
    jars: Vec<Arc<Chemical>>,
    mistakes: Mistakes,
}

impl Resolver<'_> {
    fn bench(&mut self, name: &Written<String>) -> Option<Arc<Chemical>> {
        match self.catalogue.named(&name.value) {
            // Which hydrate stands there does not change what it must not meet.
            Some(Named::Bare(forms)) => forms.into_iter().next(),
            _ => one_form(name, self.catalogue, &mut self.mistakes),
        }
    }

    fn wear(&mut self, item: &Written<String>) -> Option<Written<String>> {
        if let Some(known) = self.catalogue.wear_item(&item.value) {
            return Some(Written {
                value: known.id.clone(),
                place: item.place.clone(),
            });
        }
        let message = format!(
            "`{}` is not something to wear that is known here",
            item.value
        );
        let known: Vec<&str> = self
            .catalogue
            .wear_items()
            .map(|item| item.title.as_str())
            .collect();
        self.mistakes.note(Mistake::at(
            item.place.clone(),
            message,
            format!("known are {}", known.join(", ")),
        ));
        None
    }

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

    fn kind(&mut self, written: &Written<String>) -> Option<crate::catalogue::Kind> {
        let found = self.catalogue.kind(&written.value).cloned();
        if found.is_none() {
            let known: Vec<&str> = self.catalogue.kinds().map(|kind| kind.title()).collect();
            let message = format!("`{}` is not a kind of solution known here", written.value);
            self.mistakes.note(nearest_of(written, message, &known));
        }
        found
    }

    fn stream(&mut self, written: &Written<String>) -> Option<String> {
        let found = self
            .catalogue
            .stream(&written.value)
            .map(|stream| stream.id.clone());
        if found.is_none() {
            let known: Vec<&str> = self
                .catalogue
                .streams()
                .map(|stream| stream.id.as_str())
                .collect();
            let message = format!("`{}` is not a waste stream known here", written.value);
            self.mistakes.note(nearest_of(written, message, &known));
        }
        found
    }

    fn steps(&mut self, recipe: &Recipe, factor: f64) -> Option<Vec<Step>> {
        let mut steps: Vec<Step> = Vec::new();
        let mut vessel = Composition::default();
        if let Some(start) = &recipe.start {
            let water = self.scaled(&start.water, factor)?;
            vessel.add_water(water_mass(water));
            if let Amount::Volume(volume) = water {
                vessel.volume = Some(volume);
            }
            let action = Action::Start {
                water,
                at: start.at.as_ref().map(|at| at.value),
            };
            steps.push(Step {
                number: 1,
                action,
                place: start.water.place.clone(),
                after: vessel.clone(),
                note: None,
            });
        }
        for addition in &recipe.add {
            let Some(added) = self.added(addition, factor) else {
                continue;
            };
            // Water may be written as an ingredient: it is the solvent all the same.
            if added.jar.id == "water" {
                vessel.add_water(added.mass);
            } else {
                vessel.add(&added.jar, added.mass);
            }
            let (number, place) = (steps.len() + 1, addition.chemical.place.clone());
            let action = Action::Add(Box::new(added));
            steps.push(Step {
                number,
                action,
                place,
                after: vessel.clone(),
                note: addition.note.clone(),
            });
        }
        if let Some(mark) = &recipe.top_up {
            let to = self.within(mark.value.scaled(factor), &mark.place)?;
            self.top_up(&mut vessel, to, &mark.place);
            let number = steps.len() + 1;
            steps.push(Step {
                number,
                action: Action::TopUp { to },
                place: mark.place.clone(),
                after: vessel,
                note: None,
            });
        }
        Some(steps)
    }

    fn top_up(&mut self, vessel: &mut Composition, to: Volume, place: &Place) {
        let dissolved: f64 = vessel.solutes.values().sum();
        let filled_ml = vessel.water_g + ML_PER_GRAM_DISSOLVED * dissolved;
        if vessel.water_g > to.millilitres() * 1.001 {
            let message =
                format!("the vessel already holds more than {to} of water before it is topped up");
            self.mistakes.note(Mistake::at(
                place.clone(),
                message,
                "start with less water, or top up to more",
            ));
        }
        if let Ok(water) = Mass::from_grams((to.millilitres() - filled_ml).max(0.0)) {
            vessel.add_water(water);
        }
        vessel.volume = Some(to);
    }

    fn added(&mut self, addition: &Addition, factor: f64) -> Option<Added> {
        let written = &addition.chemical;
        let (asked, open_forms) = match self.catalogue.named(&written.value) {
            Some(Named::Entry(chemical)) => (chemical, Vec::new()),
            Some(Named::Bare(forms)) => (forms.first().cloned()?, forms),
            Some(Named::Several(forms)) => {
                let message = format!("`{}` is the formula of several chemicals", written.value);
                self.mistakes.note(Mistake::at(
                    written.place.clone(),
                    message,
                    format!("write one of {}", listed(&forms)),
                ));
                return None;
            }
            None => {
                self.mistakes.note(unknown(written, self.catalogue));
                return None;
            }
        };
        let amount = self.scaled(&addition.amount, factor)?;
        let jar = self.jar_for(&asked);
        let (asked_mass, density_assumed) = mass_of(amount, &asked);
        let conversion = Conversion::between(self.catalogue, &asked, &jar, asked_mass);
        let jar = if conversion.is_some() {
            jar
        } else {
            Arc::clone(&asked)
        };
        let (amount, mass) = match &conversion {
            Some(conversion) => (Amount::Mass(conversion.weigh), conversion.weigh),
            None => (amount, asked_mass),
        };
        Some(Added {
            jar,
            asked,
            written: written.value.clone(),
            open_forms,
            amount,
            mass,
            density_assumed,
            conversion,
        })
    }

    /// The form on the shelf, when the shelf holds another form of what is asked and not that itself.
    fn jar_for(&self, asked: &Arc<Chemical>) -> Arc<Chemical> {
        let mut forms = self.jars.iter().filter(|jar| jar.root() == asked.root());
        match forms
            .clone()
            .find(|jar| jar.id == asked.id)
            .or_else(|| forms.next())
        {
            Some(jar) => Arc::clone(jar),
            None => Arc::clone(asked),
        }
    }

    fn scaled(&mut self, written: &Written<Amount>, factor: f64) -> Option<Amount> {
        let scaled = match written.value {
            Amount::Mass(mass) => mass.scaled(factor).map(Amount::Mass),
            Amount::Volume(volume) => volume.scaled(factor).map(Amount::Volume),
        };
        self.within(scaled, &written.place)
    }

    fn within<T>(
        &mut self,
        result: Result<T, crate::units::UnitError>,
        place: &Place,
    ) -> Option<T> {
        let help = "make less, or correct the recipe's amounts";
        self.mistakes
            .keep(result.map_err(|error| Mistake::at(place.clone(), error.to_string(), help)))
    }
}

fn nearest_of(written: &Written<String>, message: String, known: &[&str]) -> Mistake {
    let list = format!("known are {}", known.join(", "));
    match crate::source::nearest(&written.value, known.iter().copied()) {
        Some(near) => Mistake::at(
            written.place.clone(),
            message,
            format!("did you mean `{near}`?"),
        )
        .or(list),
        None => Mistake::at(written.place.clone(), message, list),
    }
}

/// The mass of an amount; `true` when water's density had to stand in for an unknown one.
fn mass_of(amount: Amount, chemical: &Chemical) -> (Mass, bool) {
    match amount {
        Amount::Mass(mass) => (mass, false),
        Amount::Volume(volume) => {
            let known = chemical
                .density
                .as_ref()
                .and_then(|d| Density::from_kg_per_l(d.kg_per_l).ok());
            (
                volume * known.unwrap_or(Density::WATER),
                known.is_none() && chemical.id != "water",
            )
        }
    }
}

fn water_mass(water: Amount) -> Mass {
    match water {
        Amount::Mass(mass) => mass,
        Amount::Volume(volume) => volume * Density::WATER,
    }
}

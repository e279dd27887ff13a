//! A session with every name resolved and every amount a quantity.
//!
//! If a [`Plan`] exists it is complete: no later room meets an unknown name, a missing unit or a
//! recipe that is not there. What a person left open (a hydrate, a strength) is resolved to the
//! root entry and remembered, so that the assessment can say so.

mod briefed;
mod composition;
mod conversion;
mod on_file;
mod resolve;
mod vessel;

pub use briefed::Briefed;
pub use composition::Composition;
pub use conversion::Conversion;
pub use on_file::{DocumentState, OnFile, SheetForm, SheetOnFile, Wanting};
pub use resolve::{Recipes, resolve, resolve_recipe};
pub use vessel::PlannedVessel;

use std::sync::Arc;

use chrono::NaiveDate;

use crate::catalogue::{Chemical, Kind};
use crate::session::{Amount, Keeps, Person, Sheets, Tray, Written};
use crate::source::Place;
use crate::units::{AirFlow, Area, Dilution, Duration, Mass, RoomVolume, Temperature, Volume};

/// What is going to be done.
#[derive(Debug, Clone)]
pub struct Plan {
    /// What the day is called.
    pub title: String,
    /// The day.
    pub date: Option<NaiveDate>,
    /// Who is there.
    pub people: Vec<Person>,
    /// Who was briefed on what; nothing where no ledger is kept.
    pub briefed: Option<Vec<Briefed>>,
    /// The data sheets on file; nothing where there is no workspace to keep them.
    pub on_file: Option<OnFile>,
    /// What is made, in order.
    pub solutions: Vec<Solution>,
    /// What goes through the baths.
    pub processed: Processed,
    /// What else stands on the bench.
    pub bench: Vec<Arc<Chemical>>,
    /// What is worn: items of the wear list.
    pub wear: Vec<Written<String>>,
    /// The place and its facts.
    pub setting: Setting,
    /// A remark.
    pub note: Option<String>,
    /// The first line of the session file, for findings about what is missing.
    pub top: Place,
}

/// What goes through the baths, as far as the session says.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Processed {
    /// Sheets.
    pub sheets: Vec<Sheets>,
    /// Plates, coated here.
    pub plates: Vec<Sheets>,
    /// Rolls of film.
    pub rolls: u32,
}

impl Processed {
    /// Whether the session says nothing of it.
    pub fn is_unstated(&self) -> bool {
        *self == Self::default()
    }
}

/// The room and what is known of it; what is `None` is unknown and counts as the worse case.
#[derive(Debug, Clone, Default)]
pub struct Setting {
    /// What the place is called.
    pub name: Option<String>,
    /// Who answers for it.
    pub responsible: Option<String>,
    /// Their number.
    pub phone: Option<String>,
    /// Whose rules apply: eu, uk, us or files.
    pub rules: Vec<String>,
    /// Room volume.
    pub room: Option<RoomVolume>,
    /// Fresh air as measured.
    pub fresh_air: Option<AirFlow>,
    /// Rated flow of the fan.
    pub fan: Option<AirFlow>,
    /// Whether the fan blows out of doors.
    pub blows_outdoors: Option<bool>,
    /// Whether air can come in where the fan takes it out.
    pub has_inlet: Option<bool>,
    /// Whether a window is open.
    pub window_open: Option<bool>,
    /// Readability of the scale.
    pub scale: Option<Mass>,
    /// The water used: distilled, deionised, tap …
    pub water: Option<Written<String>>,
    /// Whether the person is alone in the building.
    pub alone: Option<bool>,
    /// Where the eyewash is.
    pub eyewash: Option<String>,
    /// Where the spill kit is.
    pub spill_kit: Option<String>,
    /// Where the way out is.
    pub way_out: Option<String>,
    /// Emergency number.
    pub emergency: Option<String>,
    /// Poison advice.
    pub poison: Option<String>,
    /// Other numbers of the place, each with whose it is.
    pub numbers: Vec<String>,
    /// The address to say.
    pub address: Option<String>,
    /// How often people are briefed anew.
    pub briefing_every: Option<Duration>,
    /// How old a data sheet may be; the program's own word where the place has none.
    pub data_sheets_every: Option<Duration>,
    /// sewer, septic or none.
    pub drain: Option<String>,
    /// business, school or private.
    pub holder: Option<String>,
    /// Language of documents.
    pub language: Option<String>,
}

/// One solution that is made.
#[derive(Debug, Clone)]
pub struct Solution {
    /// Its title.
    pub title: String,
    /// The kind, when the recipe states one.
    pub kind: Option<Kind>,
    /// How much of the stock is made.
    pub volume: Volume,
    /// Steps in order.
    pub steps: Vec<Step>,
    /// The vessel it is mixed in.
    pub vessel: Option<PlannedVessel>,
    /// What it is stored in.
    pub storage: Option<PlannedVessel>,
    /// Where it stands while it is used, when the session says.
    pub tray: Option<Tray>,
    /// How it is diluted for use.
    pub dilution: Dilution,
    /// Keeping times.
    pub keeps: Keeps,
    /// Film or paper that a litre ready for use can process, when the recipe states it.
    pub processes: Option<Area>,
    /// The waste stream it becomes.
    pub stream: Option<String>,
    /// A remark.
    pub note: Option<String>,
    /// Where the session names it.
    pub place: Place,
}

/// One thing that is done.
#[derive(Debug, Clone)]
pub struct Step {
    /// From 1.
    pub number: usize,
    /// What.
    pub action: Action,
    /// Where the recipe says so.
    pub place: Place,
    /// What stands in the vessel afterwards.
    pub after: Composition,
    /// A remark.
    pub note: Option<String>,
}

/// What a step does.
#[derive(Debug, Clone)]
pub enum Action {
    /// Water at the beginning.
    Start {
        /// How much.
        water: Amount,
        /// How warm.
        at: Option<Temperature>,
    },
    /// A chemical goes in.
    Add(Box<Added>),
    /// Water up to a mark.
    TopUp {
        /// The mark.
        to: Volume,
    },
}

/// A chemical that goes in.
#[derive(Debug, Clone)]
pub struct Added {
    /// What stands in the jar.
    pub jar: Arc<Chemical>,
    /// What the recipe names.
    pub asked: Arc<Chemical>,
    /// The name as written.
    pub written: String,
    /// Whether the name left the hydrate or strength open, and the forms it could be.
    pub open_forms: Vec<Arc<Chemical>>,
    /// What is measured out of the jar.
    pub amount: Amount,
    /// Its mass.
    pub mass: Mass,
    /// Whether the mass was taken from a volume with water's density for want of its own.
    pub density_assumed: bool,
    /// The working, when jar and recipe differ.
    pub conversion: Option<Conversion>,
}

impl Solution {
    /// What it is made of when it is done.
    pub fn composition(&self) -> Composition {
        self.steps
            .last()
            .map(|step| step.after.clone())
            .unwrap_or_default()
    }

    /// The chemicals that go in, in order.
    pub fn additions(&self) -> impl Iterator<Item = (&Step, &Added)> {
        self.steps.iter().filter_map(|step| match &step.action {
            Action::Add(added) => Some((step, added.as_ref())),
            _ => None,
        })
    }

    /// Names, in a language, of what nobody has classified in it: whatever is reckoned of the rest,
    /// the whole may be worse.
    pub fn unclassified(&self, language: &str) -> Vec<&str> {
        let mut names = Vec::new();
        for (_, added) in self
            .additions()
            .filter(|(_, added)| added.jar.is_unclassified())
        {
            let name = added.jar.name_in(language);
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }

    /// Whether any of its chemicals is one of these entries or belongs to one of these groups.
    pub fn holds(&self, names: &[String]) -> bool {
        self.additions()
            .any(|(_, added)| names.iter().any(|name| added.jar.belongs_to(name)))
    }

    /// How warm the water is at the beginning, when stated.
    pub fn start_temperature(&self) -> Option<Temperature> {
        self.steps.iter().find_map(|step| match &step.action {
            Action::Start { at, .. } => *at,
            _ => None,
        })
    }
}

impl Setting {
    /// Whether fresh air is known to come in: measured, by a fan that blows out of doors and has
    /// an inlet, or by an open window.
    pub fn has_fresh_air(&self) -> bool {
        let flows = |flow: Option<AirFlow>| flow.is_some_and(|flow| flow.m3_per_h() > 0.0);
        let fan =
            flows(self.fan) && self.blows_outdoors == Some(true) && self.has_inlet == Some(true);
        flows(self.fresh_air) || fan || self.window_open == Some(true)
    }
}

impl Plan {
    /// Every chemical that is opened: once each, in order of first use.
    pub fn chemicals(&self) -> Vec<Arc<Chemical>> {
        let mut found: Vec<Arc<Chemical>> = Vec::new();
        for (_, added) in self.solutions.iter().flat_map(Solution::additions) {
            if !found.iter().any(|known| known.id == added.jar.id) {
                found.push(Arc::clone(&added.jar));
            }
        }
        found
    }
}

//! `log made`: every solution of a session into its bottle.

use std::collections::BTreeSet;
use std::path::PathBuf;

use clap::Args;

use crate::ledger::{Action, Amount, Content, Entry, Ledger, NewPlace, PlaceKind, Solution, Unit};
use crate::plan::{self, Plan};
use crate::units::Area;

use super::Common;
use crate::cli::workspace::Workspace;
use crate::cli::{Error, book, today};

/// The session that was done.
#[derive(Args)]
pub struct Made {
    /// The session file.
    pub session: PathBuf,
    /// The place it went into; otherwise a bottle named after each solution.
    #[arg(long)]
    into: Option<String>,
}

/// What a session made, ready to be booked.
pub struct MadeSession {
    plan: Plan,
    session: String,
    into: Option<String>,
}

impl Made {
    /// Reads the session and its recipes.
    ///
    /// # Errors
    /// Everything in the files that stands in the way.
    pub fn read(&self, workspace: &Workspace) -> Result<MadeSession, Error> {
        Ok(MadeSession {
            plan: workspace.assess(&self.session)?.plan,
            session: workspace.within(&self.session),
            into: self.into.clone(),
        })
    }
}

impl MadeSession {
    /// The session as the book names it.
    pub fn session(&self) -> &str {
        &self.session
    }

    /// The entries to book.
    ///
    /// # Errors
    /// When the book cannot be read, or the place named is not known.
    pub fn entries(
        &self,
        ledger: &Ledger,
        common: &Common,
        workspace: &Workspace,
    ) -> Result<Vec<Entry>, Error> {
        let mut bottles = Bottles::of(ledger)?;
        let mut entries = Vec::new();
        for solution in &self.plan.solutions {
            let amount = Amount::volume(solution.volume);
            let (into, new) = match &self.into {
                Some(name) => {
                    let known = book::place_named(name, &bottles.places);
                    (
                        known.ok_or_else(|| book::no_place(name, &bottles.places))?,
                        None,
                    )
                }
                None => bottles.one_for(ledger, solution)?,
            };
            let made = Action::Made {
                what: what(solution, workspace),
                amount,
                into: Some(into),
            };
            entries.extend(
                new.into_iter()
                    .chain([made])
                    .map(|action| self.entry(action, common)),
            );
        }
        Ok(entries)
    }

    /// On the day the session states, unless that is still to come.
    fn entry(&self, action: Action, common: &Common) -> Entry {
        let of_session = self.plan.date.filter(|day| *day <= today());
        Entry {
            day: common.on.or(of_session).unwrap_or_else(today),
            session: self.session.clone(),
            ..common.entry(action)
        }
    }
}

fn what(solution: &plan::Solution, workspace: &Workspace) -> Solution {
    let usual = solution
        .kind
        .as_ref()
        .and_then(|kind| kind.keeps.stock_days);
    let stated = solution.keeps.stock.map(|keeps| keeps.hours() / 24.0);
    let stream = solution
        .stream
        .as_deref()
        .and_then(|name| workspace.catalogue.stream(name));
    Solution {
        keeps_days: libm::floor(stated.or(usual).unwrap_or(0.0)) as i64,
        mm2_per_l: capacity(solution).map_or(0, |m2| libm::round(m2 * 1e6) as i64),
        ..Solution::new(
            &solution.title,
            stream.map_or("unknown", |stream| &stream.id),
        )
    }
}

/// Film or paper that a litre of the stock can process once it is diluted for use, m²: what the
/// recipe states, otherwise the cautious figure of its kind.
fn capacity(solution: &plan::Solution) -> Option<f64> {
    let kind = solution.kind.as_ref();
    let usual = kind.and_then(|kind| kind.processes.as_ref());
    let stated = solution.processes.map(Area::m2);
    let m2_per_l = stated.or(usual.map(|usual| usual.m2_per_l))?;
    Some(m2_per_l / solution.dilution.stock_share())
}

/// The bottles of the book, and those this session takes.
struct Bottles {
    places: Vec<NewPlace>,
    taken: BTreeSet<String>,
}

impl Bottles {
    fn of(ledger: &Ledger) -> Result<Self, Error> {
        Ok(Self {
            places: ledger.places()?,
            taken: BTreeSet::new(),
        })
    }

    /// An empty bottle named after a solution, or a new one: a fresh batch never goes onto an old.
    fn one_for(
        &mut self,
        ledger: &Ledger,
        solution: &plan::Solution,
    ) -> Result<(String, Option<Action>), Error> {
        let wanted = Amount::volume(solution.volume).count;
        for number in 1.. {
            let name = match number {
                1 => solution.title.clone(),
                number => format!("{} {number}", solution.title),
            };
            if self.taken.contains(&name) {
                continue;
            }
            let known = self.places.iter().find(|place| place.name == name);
            if let Some(place) = known {
                let contents = ledger.contents(&name)?.unwrap_or_default();
                if !fits(place, &contents, wanted) {
                    continue;
                }
                self.taken.insert(name.clone());
                return Ok((name, None));
            }
            self.taken.insert(name.clone());
            let total = solution
                .storage
                .as_ref()
                .and_then(plan::PlannedVessel::total);
            let bottle = NewPlace {
                name: name.clone(),
                kind: PlaceKind::Bottle,
                stream: None,
                unit: Unit::Microlitre,
                capacity: total.map(|total| Amount::volume(total).count),
            };
            return Ok((name, Some(Action::AddPlace(bottle))));
        }
        Err(Error::other(
            "there is no name left for a bottle",
            "name one with --into",
        ))
    }
}

fn fits(place: &NewPlace, contents: &[Content], wanted: i64) -> bool {
    let held: i64 = contents.iter().map(|part| part.amount).sum();
    let roomy = place.capacity.is_none_or(|capacity| wanted <= capacity);
    place.kind == PlaceKind::Bottle && place.unit == Unit::Microlitre && held == 0 && roomy
}

//! What the book comes to on a day.

use chrono::NaiveDate;

use crate::finding::Finding;
use crate::provenance::Origin;
use crate::waste::{Holder, RulePack};

use super::Ledger;
use super::amount::Unit;
use super::books::{Books, Names};
use super::error::LedgerError;
use super::silver::{SilverEstimate, SilverTable};
use super::store::Store;
use super::teller::Teller;

/// The rules and facts a tally is measured against.
pub struct TallyRules<'a> {
    /// The rules in force.
    pub pack: &'a RulePack,
    /// Who keeps the book.
    pub holder: Holder,
    /// The nation, where the rules differ.
    pub nation: Option<String>,
    /// Silver in film and paper.
    pub silver: &'a SilverTable,
}

/// One waste container.
#[derive(Debug, Clone, PartialEq)]
pub struct ContainerLine {
    /// Its name.
    pub name: String,
    /// The stream it collects.
    pub stream: String,
    /// What is counted.
    pub unit: Unit,
    /// What it holds, in litres or kilograms.
    pub held: f64,
    /// What it can hold, in litres or kilograms.
    pub capacity: Option<f64>,
    /// The day of the first drop since it was last empty.
    pub since: Option<NaiveDate>,
    /// Days from then to the day of the tally.
    pub days: Option<i64>,
    /// When it is full at the rate since its first drop.
    pub full_on: Option<NaiveDate>,
    /// The last day it may stay: the earliest of the deadlines.
    pub until: Option<NaiveDate>,
    /// Every limit of days in force, the earliest first.
    pub deadlines: Vec<Deadline>,
}

/// A limit of days on a container.
#[derive(Debug, Clone, PartialEq)]
pub struct Deadline {
    /// The last day.
    pub day: NaiveDate,
    /// What is limited.
    pub what: String,
    /// Whose rules say so.
    pub rules: String,
    /// Where they say so.
    pub origin: Origin,
}

/// One stream over the whole book, in litres or kilograms.
#[derive(Debug, Clone, PartialEq)]
pub struct StreamLine {
    /// The stream.
    pub stream: String,
    /// What is counted.
    pub unit: Unit,
    /// Mixed, or there when the book began.
    pub made: f64,
    /// Held in the room.
    pub held: f64,
    /// Handed to a collector.
    pub collected: f64,
    /// Spilled, evaporated and carried over.
    pub lost: f64,
    /// Nowhere to be found.
    pub unaccounted: f64,
}

/// A bottle or bath with a keeping time or a capacity.
#[derive(Debug, Clone, PartialEq)]
pub struct KeepingLine {
    /// The place.
    pub place: String,
    /// What is in it.
    pub what: String,
    /// The id on its label, where a session filled it.
    pub label: Option<String>,
    /// Since when.
    pub since: Option<NaiveDate>,
    /// The last day it keeps, where that is known.
    pub keeps_until: Option<NaiveDate>,
    /// Area processed since it was filled, m².
    pub area_m2: f64,
    /// Area it can process, m², where that is known.
    pub capacity_m2: Option<f64>,
}

/// The month's account against the generator limits.
#[derive(Debug, Clone, PartialEq)]
pub struct MonthLine {
    /// `2026-12`
    pub month: String,
    /// Waste made that is or may be hazardous, kg, at the heavier end of its density.
    pub kg: f64,
    /// The same of the whole year of that month, kg.
    pub year_kg: f64,
    /// Hazardous waste in all containers on the day, kg.
    pub held_kg: f64,
    /// The category it makes, where the rules know one.
    pub generator: Option<String>,
    /// The lowest limit in force, kg.
    pub limit_kg: Option<f64>,
    /// Every category in force, the one of the lowest limit first.
    pub categories: Vec<CategoryLine>,
}

/// The category that the month makes by the rules of one place.
#[derive(Debug, Clone, PartialEq)]
pub struct CategoryLine {
    /// Its name.
    pub generator: String,
    /// Its limit, kg a month.
    pub limit_kg: Option<f64>,
    /// Whose rules say so.
    pub rules: String,
    /// Where they say so.
    pub origin: Origin,
}

/// What the book comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Tally {
    /// The day.
    pub as_of: NaiveDate,
    /// Every waste container, in the order they came into use.
    pub containers: Vec<ContainerLine>,
    /// Every stream.
    pub streams: Vec<StreamLine>,
    /// The month.
    pub month: MonthLine,
    /// Volumes that are nowhere, L; below zero when more was found than booked.
    pub unaccounted_l: f64,
    /// Bottles and baths.
    pub keeping: Vec<KeepingLine>,
    /// Silver.
    pub silver: SilverEstimate,
    /// What there is to say.
    pub findings: Vec<Finding>,
}

impl Ledger {
    /// The tally of a day and of a month (`2026-12`).
    ///
    /// A day on or after the last entry is read from the kept balances; an earlier one is added
    /// up from the entries up to it, which takes longer in a long book.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn tally(
        &self,
        as_of: NaiveDate,
        month: &str,
        rules: &TallyRules,
    ) -> Result<Tally, LedgerError> {
        let view = self.connection.unchecked_transaction()?;
        let store = Store(&view);
        let names = Names::read(&store)?;
        let last_day: Option<String> =
            store
                .0
                .query_row("SELECT max(day) FROM entry", [], |row| row.get(0))?;
        let day = as_of.to_string();
        let books = if last_day.is_none_or(|last| last <= day) {
            Books::kept(&store)?
        } else {
            Books::added_up(&store, &names, Some(&day))?
        };
        let mut tally = Teller::new(as_of, books, names, rules).tally(month);
        let labelled = self.labelled()?;
        for line in &mut tally.keeping {
            line.label = labelled.get(&line.place).cloned();
        }
        Ok(tally)
    }
}

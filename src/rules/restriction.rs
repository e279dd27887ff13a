//! Who may hold a chemical: the lists of the law against the strength in the jar.

use chrono::NaiveDate;
use serde::Deserialize;

use crate::catalogue::{Catalogue, Chemical, DataError, DataFiles, Restriction, StrengthBasis};
use crate::provenance::Origin;
use crate::waste::Holder;

/// Where the lists stand.
const FILE: &str = "hazards/restrictions.yaml";

/// The lists, in the order of the file.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lists {
    lists: Vec<List>,
}

/// A list of chemicals that not everyone may get, hold or use.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct List {
    /// What rows of chemicals call it.
    pub id: String,
    /// Where it holds: eu, uk, us.
    pub region: String,
    /// The act, and the list's place in it.
    pub title: String,
    /// What it does.
    pub kind: Kind,
    /// What it says of a private person.
    pub says: String,
    /// What it asks of a school or business.
    pub others: String,
    /// Who decides.
    pub ask: String,
    /// The day it holds from, or was read as of.
    #[serde(deserialize_with = "crate::catalogue::day")]
    pub date: NaiveDate,
    /// Where it was read.
    pub from: Origin,
}

/// What a list does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A private person needs a licence, or cannot have one.
    Licence,
    /// Sold to professional users only.
    Professional,
    /// Nobody may use it without an authorisation.
    Authorisation,
    /// Suspicious deals and losses are reported.
    Report,
    /// Sellers keep records above a quantity.
    Records,
}

impl Lists {
    /// Reads the lists.
    ///
    /// # Errors
    /// When the file is missing or misshapen.
    pub fn read(files: &DataFiles) -> Result<Self, DataError> {
        files.read(FILE)
    }

    /// A list by id.
    pub fn find(&self, id: &str) -> Option<&List> {
        self.lists.iter().find(|list| list.id == id)
    }

    /// All of them.
    pub fn iter(&self) -> impl Iterator<Item = &List> {
        self.lists.iter()
    }

    /// Every list that a chemical names must be there.
    ///
    /// # Errors
    /// The first that is not.
    pub fn check(&self, catalogue: &Catalogue) -> Result<(), DataError> {
        for chemical in catalogue.chemicals() {
            let named = chemical
                .restrictions
                .iter()
                .filter_map(|row| row.list.as_ref());
            if let Some(id) = named.into_iter().find(|id| self.find(id).is_none()) {
                let path = format!("hazards/chemicals/{}.yaml", chemical.id);
                let message = format!("`{id}` is no list of {FILE}");
                return Err(catalogue.files().fault(&path, &message));
            }
        }
        Ok(())
    }
}

/// A row of the law that a jar falls under.
#[derive(Debug, Clone, PartialEq)]
pub struct Holding<'a> {
    /// The row.
    pub row: &'a Restriction,
    /// Its list, where it stands in one.
    pub list: Option<&'a List>,
    /// Percent by weight in the jar.
    pub held_percent: f64,
    /// Whether it stops this holder, as far as a list can say.
    pub stops: bool,
}

/// The rows a jar falls under in these regions. A holder nobody states counts as private.
pub fn restrictions<'a>(
    chemical: &'a Chemical,
    regions: &[String],
    holder: Option<Holder>,
    lists: &'a Lists,
) -> Vec<Holding<'a>> {
    let held_percent = held(chemical);
    let here = |row: &&Restriction| regions.is_empty() || regions.contains(&row.region);
    let holding = |row: &'a Restriction| {
        let list = row.list.as_deref().and_then(|id| lists.find(id));
        Holding {
            row,
            list,
            held_percent,
            stops: list.is_some_and(|list| stops(list.kind, holder)),
        }
    };
    chemical
        .restrictions
        .iter()
        .filter(here)
        .filter(|row| reaches(row, held_percent))
        .map(holding)
        .collect()
}

/// Percent by weight of the substance in the jar: a solid is all of it, and so is a liquid whose
/// strength is not stated.
fn held(chemical: &Chemical) -> f64 {
    let Some(strength) = &chemical.strength else {
        return 100.0;
    };
    match strength.basis {
        StrengthBasis::ByWeight => strength.percent,
        // Grams in 100 mL: lighter than water, a solution holds more by weight.
        StrengthBasis::WeightInVolume => {
            let density = chemical
                .density
                .as_ref()
                .map_or(1.0, |density| density.kg_per_l);
            (strength.percent / density).min(100.0)
        }
    }
}

/// The lists say `above`, some say `from`; a row without a limit holds at any strength.
fn reaches(row: &Restriction, percent: f64) -> bool {
    row.above_percent.is_none_or(|limit| percent > limit)
        && row.from_percent.is_none_or(|limit| percent >= limit)
        && row.at_most_percent.is_none_or(|limit| percent <= limit)
}

fn stops(kind: Kind, holder: Option<Holder>) -> bool {
    let private = matches!(holder, None | Some(Holder::Private));
    match kind {
        Kind::Licence | Kind::Professional => private,
        Kind::Authorisation => true,
        Kind::Report | Kind::Records => false,
    }
}

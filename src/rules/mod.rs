//! The rules of a place: the packs of the law, the local rule files over them, who may hold what.
//!
//! Local files add; they never replace. Of two values for one subject the stricter acts. A rule
//! that would loosen a built-in caution is refused with its file and line, unless it cites the
//! authority it goes by: then both stand on the page, and the stricter still acts.

mod chain;
mod concentration;
mod contradiction;
mod file;
mod house;
mod loosening;
mod parts;
mod read;
mod restriction;
mod strictest;
mod target;

pub use chain::{Named, in_order};
pub use concentration::Concentration;
pub use file::{
    Age, Authority, Days, Document, Drain, DrainIs, Emergency, Forbid, Label, LabelOn, Limit, Need,
    Records, Require, Retention, Rule, RuleFile, TextRule,
};
pub use house::{HouseLine, Subjects};
pub use loosening::Loosening;
pub use restriction::{Holding, Kind, List, Lists, restrictions};
pub use strictest::{Line, Value};
pub use target::{Meant, Target};

use std::sync::Arc;

use chrono::NaiveDate;

use crate::air::{Gases, Region};
use crate::catalogue::{Catalogue, DataError, Edition, Guidance};
use crate::finding::{Finding, Severity, Subject};
use crate::plan::Setting;
use crate::provenance::{Basis, Origin};
use crate::source::{Mistake, SourceFile};
use crate::units::Duration;
use crate::waste::{Holder, RulePack};

/// What is in force at a place.
#[derive(Debug, Clone, Default)]
pub struct InForce {
    /// The law's packs, the local days and drains laid over them.
    pub packs: Vec<RulePack>,
    /// The local files.
    pub files: Vec<RuleFile>,
    /// Local rules looser than a built-in caution, each with the authority it cites.
    pub loosened: Vec<Loosening>,
    /// What of the local files is not in force, and why.
    pub refused: Vec<Mistake>,
    /// Lists of who may hold what.
    pub lists: Lists,
    /// When the catalogue was looked at, and when it must be again.
    pub edition: Option<Edition>,
}

/// What local files are read against.
#[derive(Debug, Clone, Copy)]
pub struct BuiltIn<'a> {
    /// Chemicals, families, groups, streams, things to wear.
    pub catalogue: &'a Catalogue,
    /// Gases and their limits.
    pub gases: &'a Gases,
    /// Published advice on rooms.
    pub guidance: &'a Guidance,
    /// The law's packs.
    pub packs: &'a [RulePack],
    /// Whether nobody named them: then all regions' limits count.
    pub assumed: bool,
    /// Who holds the waste, where the place says.
    pub holder: Option<Holder>,
}

impl BuiltIn<'_> {
    /// The regions whose limits count.
    fn regions(&self) -> Vec<Region> {
        if self.assumed {
            return Vec::new();
        }
        let codes = self.packs.iter().map(|pack| pack.place.as_str());
        codes.filter_map(Region::from_code).collect()
    }
}

impl InForce {
    /// Reads local files against what is built in. Files that cannot be read at all stop here;
    /// what only loosens or contradicts is refused rule by rule and remembered.
    ///
    /// # Errors
    /// Every mistake in the files but what [`Self::refused`] keeps; or a data file that is unfit.
    pub fn of(files: &[Arc<SourceFile>], built_in: &BuiltIn<'_>) -> Result<Self, Refusal> {
        let lists = Lists::read(built_in.catalogue.files()).map_err(Refusal::Data)?;
        lists.check(built_in.catalogue).map_err(Refusal::Data)?;
        let mut mistakes = crate::source::Mistakes::default();
        let mut read = Vec::new();
        for file in files {
            match RuleFile::read(file, built_in) {
                Ok(rules) => read.push(rules),
                Err(found) => mistakes.note_all(found),
            }
        }
        if !mistakes.is_empty() {
            return Err(Refusal::Mistakes(mistakes.into_list()));
        }
        let mut in_force = Self {
            packs: built_in.packs.to_vec(),
            lists,
            edition: Some(built_in.catalogue.edition().clone()),
            ..Self::default()
        };
        for mut rules in read {
            in_force.refused.extend(contradiction::settle(&mut rules));
            let judged = loosening::settle(&mut rules, built_in);
            in_force.refused.extend(judged.refused);
            in_force.loosened.extend(judged.cited);
            in_force.files.push(rules);
        }
        in_force.lay_over();
        Ok(in_force)
    }

    /// Local days and drains become rules of every pack.
    fn lay_over(&mut self) {
        for pack in &mut self.packs {
            for rules in &self.files {
                let from = rules.origin();
                for days in &rules.days {
                    pack.add_days(&days.what.stream, days.what.at_most, &rules.title, &from);
                }
                for drain in &rules.drain {
                    let (effect, text) = drain.what.in_words();
                    let text = format!("{}: {text}.", rules.title);
                    pack.add_drain(&drain.what.stream, effect, text, &from);
                }
            }
        }
    }

    /// Puts the local exposure limits to the chemicals they are for.
    pub fn limit(&self, catalogue: &mut Catalogue) {
        for rules in &self.files {
            for limit in rules.limits.iter().map(|rule| &rule.what) {
                if let Some(root) = &limit.chemical {
                    catalogue.add_limit(root, &limit.of_chemical(&rules.title, &rules.origin()));
                }
            }
        }
    }

    /// What local rules say of a place: their numbers first, the shorter time between briefings.
    pub fn settle(&self, setting: &mut Setting) {
        let numbers = self
            .files
            .iter()
            .filter_map(|rules| rules.emergency.as_ref());
        for rule in numbers {
            let own = &rule.what;
            setting.emergency = both(&own.emergency, &setting.emergency);
            setting.poison = both(&own.poison, &setting.poison);
            let others = own
                .others
                .iter()
                .map(|(who, number)| format!("{who} {number}"));
            setting.numbers.extend(others);
        }
        let shorter = [setting.briefing_every, self.briefing_every()];
        setting.briefing_every = shorter
            .into_iter()
            .flatten()
            .min_by(|a, b| a.hours().total_cmp(&b.hours()));
    }

    /// How often people are briefed anew: the shortest time that a rule sets.
    pub fn briefing_every(&self) -> Option<Duration> {
        let set = self
            .files
            .iter()
            .filter_map(|rules| rules.briefing_every.as_ref());
        set.map(|rule| rule.what)
            .min_by(|a, b| a.hours().total_cmp(&b.hours()))
    }

    /// The exposure limits that local rules set, as limits of a gas.
    pub fn gas_limits(&self, gases: &Gases) -> Vec<(String, crate::air::Limit)> {
        let of = |rules: &RuleFile| -> Vec<(String, crate::air::Limit)> {
            let origin = rules.origin();
            let limits = rules.limits.iter().map(|rule| &rule.what);
            limits
                .filter_map(|limit| {
                    let gas = gases.find(limit.gas.as_deref()?)?;
                    Some((gas.id.clone(), limit.of_gas(gas, &rules.title, &origin)?))
                })
                .collect()
        };
        self.files.iter().flat_map(of).collect()
    }

    /// What is past the day it had to be looked at again, on a day.
    pub fn past_review(&self, day: NaiveDate) -> Vec<PastReview> {
        let packs = self.packs.iter().map(|pack| {
            let file = format!("hazards/rules/{}.yaml", pack.place);
            (
                pack.title.clone(),
                file,
                Some(pack.date),
                Some(pack.review_by),
                None,
            )
        });
        let catalogue = self.edition.iter().map(|edition| {
            let (date, by) = (edition.date, edition.review_by);
            (
                "catalogue".to_owned(),
                "hazards/edition.yaml".to_owned(),
                Some(date),
                Some(by),
                None,
            )
        });
        let files = self.files.iter().map(|rules| {
            let local = Some(rules.origin());
            (
                rules.title.clone(),
                rules.file.clone(),
                Some(rules.date),
                rules.review_by,
                local,
            )
        });
        packs
            .chain(catalogue)
            .chain(files)
            .filter(|(_, _, _, review_by, _)| review_by.is_some_and(|by| day > by))
            .filter_map(|(title, file, date, review_by, origin)| {
                Some(PastReview {
                    title,
                    file,
                    date: date?,
                    review_by: review_by?,
                    origin,
                })
            })
            .collect()
    }
}

/// Rules that should have been looked at again.
#[derive(Debug, Clone, PartialEq)]
pub struct PastReview {
    /// What they are called; `catalogue` for the catalogue.
    pub title: String,
    /// Where they stand.
    pub file: String,
    /// When they were looked at.
    pub date: NaiveDate,
    /// When they had to be looked at again.
    pub review_by: NaiveDate,
    /// Set for a local file.
    pub origin: Option<Origin>,
}

impl PastReview {
    /// An attention that says so.
    pub fn finding(&self) -> Finding {
        let finding = Finding::new("rules/past-review", Severity::Attention, Subject::Session)
            .fact("what", self.title.clone())
            .fact("date", self.date.to_string())
            .fact("review_by", self.review_by.to_string());
        match &self.origin {
            Some(origin) => finding.because(Basis::fact(&self.title, origin)),
            None => finding,
        }
    }
}

/// Why the rules of a place cannot be taken.
#[derive(Debug)]
pub enum Refusal {
    /// Mistakes in the person's files.
    Mistakes(Vec<Mistake>),
    /// A data file.
    Data(DataError),
}

/// Two numbers where two are stated: nobody in need chooses between files.
fn both(own: &Option<String>, other: &Option<String>) -> Option<String> {
    match (own, other) {
        (Some(own), Some(other)) if own != other => Some(format!("{own} / {other}")),
        (own, other) => own.clone().or_else(|| other.clone()),
    }
}

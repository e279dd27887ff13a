//! What could be recorded from the text of a data sheet: proposed, each with the line it was read
//! from, and never taken.
//!
//! Only what the sheet settles is proposed: the right section, one value, a unit. Everything else
//! that was met is handed on as a doubt, with its line, for a person to read. That a sheet says
//! *not classified* or *not regulated* is never proposed: it would be recorded as safe.

mod figures;
mod hazards;
mod identity;
mod sections;
mod terms;
mod transport;

use std::collections::BTreeSet;

use serde::Serialize;

use crate::catalogue::Catalogue;
use crate::classify::Classes;

use sections::Line;
pub use terms::Terms;

/// What a value is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Field {
    /// The jar, by id.
    Chemical,
    /// Who sold it.
    Supplier,
    /// The day of the last revision.
    Revised,
    /// A hazard class with its statement.
    Classification,
    /// An EUH statement.
    Supplemental,
    /// A workplace limit.
    Limit,
    /// Flash point.
    FlashPoint,
    /// pH of the goods.
    Ph,
    /// UN number, class and packing group.
    Transport,
}

impl Field {
    /// The option of `sds add` that takes it; the chemical has none.
    pub const fn option(self) -> Option<&'static str> {
        Some(match self {
            Self::Chemical => return None,
            Self::Supplier => "--supplier",
            Self::Revised => "--revised",
            Self::Classification => "--classification",
            Self::Supplemental => "--supplemental",
            Self::Limit => "--limit",
            Self::FlashPoint => "--flash-point",
            Self::Ph => "--ph",
            Self::Transport => "--transport",
        })
    }
}

/// A line of the sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Quoted {
    /// From 1.
    pub line: usize,
    /// What stands there.
    pub text: String,
}

/// A value, and where it was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Proposed {
    /// What it is of.
    pub field: Field,
    /// As `sds add` takes it.
    pub value: String,
    /// The lines it was read from.
    pub read: Vec<Quoted>,
}

/// Why a line is not taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "why", content = "which", rename_all = "snake_case")]
pub enum Why {
    /// The catalogue has no such name or number.
    NotInCatalogue,
    /// Several jars go by it.
    JarOpen(Vec<String>),
    /// Name and CAS number are of different jars.
    NameAndNumber,
    /// Day and month cannot be told apart.
    DateOpen,
    /// The statement has several classes, and none is named.
    ClassOpen(Vec<String>),
    /// A category without a class that is known.
    ClassUnread,
    /// The words of a statement, without its code or a class.
    StatementInWords(String),
    /// No such statement.
    StatementUnknown(String),
    /// The sheet says that it has no class.
    SaysUnclassified,
    /// The pH is of a solution made from it.
    PhOfDilution,
    /// Above, below, or no plain figure with its unit.
    NoPlainFigure,
    /// Averaging time missing, or several.
    LimitKindOpen,
    /// Nobody is named whose limit it is.
    LimitBodyOpen,
    /// The sheet says that it is no dangerous good.
    SaysUnregulated,
    /// Several lines say different things.
    Disagree,
}

/// A line to be read by a person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Doubt {
    /// The line.
    #[serde(flatten)]
    pub quoted: Quoted,
    /// Why it is not taken.
    #[serde(flatten)]
    pub why: Why,
}

impl Doubt {
    fn of(line: Line<'_>, why: Why) -> Self {
        let quoted = quoted(line);
        Self { quoted, why }
    }
}

fn quoted(line: Line<'_>) -> Quoted {
    Quoted {
        line: line.number,
        text: line.text.to_owned(),
    }
}

/// Everything that was found.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Proposal {
    /// What could be recorded, in the order of the fields.
    pub proposed: Vec<Proposed>,
    /// What a person has to read, in the order of the sheet.
    pub doubts: Vec<Doubt>,
    /// Statements whose class is not named: it follows from the statement alone.
    pub by_statement: Vec<String>,
    /// Whether something in section 2 is not settled. A list that lacks a class would take the place
    /// of one that has it.
    pub classes_open: bool,
    /// How many of the 16 headings were found.
    pub sections: usize,
}

impl Proposal {
    /// Reads the text of a sheet.
    pub fn of(text: &str, terms: &Terms, catalogue: &Catalogue, classes: &Classes) -> Self {
        let lines = sections::lines(text, terms);
        let found: BTreeSet<u8> = lines.iter().filter_map(|line| line.section).collect();
        let mut proposal = Self {
            sections: found.len(),
            ..Self::default()
        };
        identity::propose(&lines, terms, catalogue, &mut proposal);
        figures::revised(&lines, terms, &mut proposal);
        hazards::propose(&lines, terms, classes, &mut proposal);
        figures::limits(&lines, terms, &mut proposal);
        figures::flash_point(&lines, terms, &mut proposal);
        figures::ph(&lines, terms, &mut proposal);
        transport::propose(&lines, terms, &mut proposal);
        proposal.proposed.sort_by_key(|one| one.field);
        proposal.doubts.sort_by_key(|doubt| doubt.quoted.line);
        proposal
    }

    /// The value of a field that has one.
    pub fn value(&self, field: Field) -> Option<&str> {
        let found = self.proposed.iter().find(|one| one.field == field);
        found.map(|one| one.value.as_str())
    }

    fn add(&mut self, field: Field, value: String, lines: &[Line<'_>]) {
        let is_there = |one: &Proposed| one.field == field && one.value == value;
        if !self.proposed.iter().any(is_there) {
            self.proposed.push(Proposed {
                field,
                value,
                read: lines.iter().map(|line| quoted(*line)).collect(),
            });
        }
    }

    fn open_class(&mut self, line: Line<'_>, why: Why) {
        self.classes_open = true;
        self.doubts.push(Doubt::of(line, why));
    }

    /// Of a field that can have one value only, several are none.
    fn one_only(&mut self, field: Field) {
        let of = |one: &Proposed| one.field == field;
        if self.proposed.iter().filter(|one| of(one)).count() < 2 {
            return;
        }
        let (several, others) = self.proposed.drain(..).partition(of);
        self.proposed = others;
        let several: Vec<Proposed> = several;
        let read = several.into_iter().flat_map(|one| one.read);
        self.doubts.extend(read.map(|quoted| Doubt {
            quoted,
            why: Why::Disagree,
        }));
    }

    fn disagree<'t>(&mut self, lines: impl Iterator<Item = Line<'t>>) {
        self.doubts
            .extend(lines.map(|line| Doubt::of(line, Why::Disagree)));
    }
}

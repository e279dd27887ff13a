//! `log`: book what was made, poured, spilled, measured and collected.

mod command;
mod made;
mod tell;

use std::process::ExitCode;

use chrono::NaiveDate;
use clap::{Args, ValueEnum};

use crate::document::Wording;
use crate::ledger::{Action, Caller, Entry, Ledger, NothingKnown, Refusal};
use crate::waste::RulePack;

use super::workspace::{Given, Workspace};
use super::{Error, book};

use command::What;
use tell::Teller;
pub use tell::subject;

/// Book what was made, poured, spilled, measured or collected. Nothing is ever changed or deleted.
#[derive(Args)]
pub struct Log {
    #[command(subcommand)]
    what: What,
    #[command(flatten)]
    common: Common,
}

/// What every entry can say.
#[derive(Args)]
struct Common {
    /// The day it happened, as 2026-12-03; today where left out.
    #[arg(long, value_name = "DATE", global = true, value_parser = day)]
    on: Option<NaiveDate>,
    /// Who books it.
    #[arg(long, global = true)]
    who: Option<String>,
    /// Anything worth knowing.
    #[arg(long, global = true, default_value = "")]
    note: String,
    /// The session it belongs to.
    #[arg(
        long = "session",
        value_name = "SESSION",
        global = true,
        default_value = ""
    )]
    of_session: String,
    /// Book it all the same; what speaks against it stays attached to the entry.
    #[arg(long, global = true)]
    force: bool,
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = Format::Text, global = true)]
    format: Format,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    Text,
    Json,
}

/// A day as written.
pub fn day(text: &str) -> Result<NaiveDate, String> {
    NaiveDate::parse_from_str(text, "%Y-%m-%d").map_err(|_| "write it as 2026-12-03".to_owned())
}

impl Log {
    /// Runs the command.
    ///
    /// # Errors
    /// When the book cannot be used, or something named is not known.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, self.what.session())?;
        let wording = Wording::load(workspace.catalogue.files(), "en")?;
        let teller = Teller {
            wording: &wording,
            json: self.common.format == Format::Json,
        };
        if let What::List { last } = self.what {
            return teller.list(&book::open(&workspace)?, last);
        }
        // Checked before a book is laid down for them.
        let mut made = match &self.what {
            What::Made(made) => Some(made.read(&workspace)?),
            _ => None,
        };
        let mut ledger = book::open_or_create(&workspace)?;
        let entries = match made.take() {
            Some(plan) => match plan.entries(&ledger, &self.common, &workspace)? {
                Ok(entries) => entries,
                Err(finding) => return teller.refused(&[finding]),
            },
            None => {
                let actions = self.what.actions(&ledger, &workspace)?;
                actions
                    .into_iter()
                    .map(|action| self.common.entry(action))
                    .collect()
            }
        };
        self.common.book(&mut ledger, &entries, &workspace, &teller)
    }
}

impl Common {
    fn entry(&self, action: Action) -> Entry {
        Entry {
            day: self.on.unwrap_or_else(super::today),
            who: self.who(),
            note: self.note.clone(),
            session: self.of_session.clone(),
            action,
        }
    }

    /// The person named, or the one the system knows.
    fn who(&self) -> String {
        let of_system = || std::env::var("USER").unwrap_or_default();
        self.who.clone().unwrap_or_else(of_system)
    }

    fn book(
        &self,
        ledger: &mut Ledger,
        entries: &[Entry],
        workspace: &Workspace,
        teller: &Teller,
    ) -> Result<ExitCode, Error> {
        let streams = RulePack::load(workspace.catalogue.files(), "eu")?.streams;
        let caller = Caller {
            mixing: &book::meeting(workspace, &streams),
            force: self.force,
        };
        book_told(ledger, entries, &caller, teller)
    }
}

/// Books entries, all or none, and tells what was booked or why not.
fn book_told(
    ledger: &mut Ledger,
    entries: &[Entry],
    caller: &Caller,
    teller: &Teller,
) -> Result<ExitCode, Error> {
    match ledger.book_all(entries, caller) {
        Ok(booked) => teller.booked(ledger, &booked),
        Err(Refusal::Findings(findings)) => teller.refused(&findings),
        Err(Refusal::Nonsense(finding)) => teller.nonsense(*finding),
        Err(Refusal::Ledger(error)) => Err(error.into()),
    }
}

/// Books what moves no litres, for another command.
///
/// # Errors
/// When the book cannot be used.
pub fn record(workspace: &Workspace, entries: &[Entry], json: bool) -> Result<ExitCode, Error> {
    let wording = Wording::load(workspace.catalogue.files(), "en")?;
    let teller = Teller {
        wording: &wording,
        json,
    };
    let caller = Caller {
        mixing: &NothingKnown,
        force: false,
    };
    book_told(
        &mut book::open_or_create(workspace)?,
        entries,
        &caller,
        &teller,
    )
}

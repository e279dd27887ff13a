//! `log`: book what was made, poured, spilled, measured and collected.

mod actions;
mod command;
mod made;
mod tell;

use std::process::ExitCode;

use chrono::NaiveDate;
use clap::{Args, ValueEnum};

use crate::air::Gases;
use crate::assessment::Tools;
use crate::document::Wording;
use crate::ledger::{Action, Booked, Caller, Entry, GasTable, Ledger, NothingKnown, Refusal};
use crate::waste::RulePack;

use super::party::litre::litres;
use super::workspace::{Given, Workspace};
use super::{Error, book, meet, rules};

use command::What;
use tell::Teller;

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
        let language = rules::language(&workspace, None);
        let wording = Wording::of(&workspace.catalogue, &language)?;
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
        if let Some(made) = made.take() {
            let entries = made.entries(&ledger, &self.common, &workspace)?;
            return self
                .common
                .book(&workspace, &teller, &mut ledger, |ledger, caller| {
                    ledger.book_made(made.session(), &entries, caller)
                });
        }
        let actions = self.what.actions(&ledger, &workspace)?.into_iter();
        let entries: Vec<Entry> = actions.map(|action| self.common.entry(action)).collect();
        self.common
            .book(&workspace, &teller, &mut ledger, |ledger, caller| {
                ledger.book_all(&entries, caller)
            })
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
        // USERNAME is what Windows calls it.
        let of_system = || {
            let user = std::env::var("USER").or_else(|_| std::env::var("USERNAME"));
            user.unwrap_or_default()
        };
        self.who.clone().unwrap_or_else(of_system)
    }

    fn book(
        &self,
        workspace: &Workspace,
        teller: &Teller,
        ledger: &mut Ledger,
        booking: impl FnOnce(&mut Ledger, &Caller) -> Result<Vec<Booked>, Refusal>,
    ) -> Result<ExitCode, Error> {
        let streams = RulePack::load(workspace.catalogue.files(), "eu")?.streams;
        let (rules, chemistry) = (workspace.rules()?, workspace.chemistry()?);
        let gases = Gases::read(workspace.catalogue.files())?;
        let tools = Tools {
            catalogue: &workspace.catalogue,
            rules,
            chemistry,
        };
        let known = |names: &[&str]| litres(workspace, &tools, names.iter().copied());
        let (room, room_is_stated) = meet::room_of(workspace)?;
        let table = GasTable {
            chemistry,
            gases: &gases,
            litres: &known,
            room,
            room_is_stated,
        };
        let caller = Caller {
            mixing: &book::meeting(workspace, &streams, Some(table)),
            force: self.force,
        };
        let booked = booking(ledger, &caller);
        tell(ledger, booked, teller)
    }
}

/// Tells what was booked or why not.
fn tell(
    ledger: &Ledger,
    booked: Result<Vec<Booked>, Refusal>,
    teller: &Teller,
) -> Result<ExitCode, Error> {
    match booked {
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
    let language = rules::language(workspace, None);
    let wording = Wording::of(&workspace.catalogue, &language)?;
    let teller = Teller {
        wording: &wording,
        json,
    };
    let caller = Caller {
        mixing: &NothingKnown,
        force: false,
    };
    let mut ledger = book::open_or_create(workspace)?;
    let booked = ledger.book_all(entries, &caller);
    tell(&ledger, booked, &teller)
}

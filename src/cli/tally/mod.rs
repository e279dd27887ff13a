//! `tally`: what is held, since when, how full, and what there is to say.

mod csv;
mod text;

use std::process::ExitCode;

use chrono::NaiveDate;
use clap::Args;
use serde_json::Value;

use crate::document::waste::{MonthPicture, Phrases, TallyFacts, TallyView, Telling};
use crate::document::{self, Wording, finding_json};
use crate::ledger::{Ledger, SilverTable, Tally as Balances, TallyRules};
use crate::provenance::Origin;
use crate::rules::Document;
use crate::waste::RulePack;

use super::log::day;
use super::medium::{self, BookFormat, Medium};
use super::words::source;
use super::workspace::{Given, Workspace};
use super::{Error, book, exit_code, rules, today};

pub use csv::row;

/// Say what is held in which container, since when, how full, and what the month comes to.
#[derive(Args)]
pub struct Tally {
    /// The day, as 2026-12-03; today where left out.
    #[arg(long, value_name = "DATE", value_parser = day)]
    on: Option<NaiveDate>,
    /// The month that is held against the generator limits, as 2026-12; otherwise that of the day.
    #[arg(long, value_name = "YYYY-MM", value_parser = month)]
    month: Option<String>,
    /// On the terminal, everything; a file and any `--format` hold everything as it is.
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    medium: Medium<BookFormat>,
}

fn month(text: &str) -> Result<String, String> {
    let whole = NaiveDate::parse_from_str(&format!("{text}-01"), "%Y-%m-%d");
    let good = text.len() == 7 && whole.is_ok();
    good.then(|| text.to_owned())
        .ok_or_else(|| "write it as 2026-12".to_owned())
}

impl Tally {
    /// Runs the command.
    ///
    /// # Errors
    /// When the book cannot be read, or the page not written.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, None)?;
        let ledger = book::open(&workspace)?;
        let packs = &workspace.in_force.packs;
        let on = self.on.unwrap_or_else(today);
        let month = self
            .month
            .clone()
            .unwrap_or_else(|| on.format("%Y-%m").to_string());
        let balances = strictest(&ledger, packs, &workspace, (on, &month))?;
        let bytes = self.bytes(&balances, &ledger, packs, &workspace)?;
        medium::write(&self.medium, &bytes, &[&book::path(&workspace)?])?;
        let findings = balances.findings.iter();
        let worst = findings.map(|finding| finding.severity).max();
        Ok(exit_code(worst, false))
    }

    fn bytes(
        &self,
        balances: &Balances,
        ledger: &Ledger,
        packs: &[RulePack],
        workspace: &Workspace,
    ) -> Result<Vec<u8>, Error> {
        let files = workspace.catalogue.files();
        let language = self.medium.language(workspace.language());
        let wording = Wording::of(&workspace.catalogue, &language)?;
        let phrases = Phrases::load(files, &language)?;
        let months = ledger.month_volumes()?;
        let telling = Telling {
            catalogue: &workspace.catalogue,
            wording: &wording,
            phrases: &phrases,
            packs,
            place: &place_name(workspace),
        };
        let facts = TallyFacts {
            tally: balances,
            months: &months,
        };
        let view = TallyView::of(facts, telling);
        let streams = balances.streams.iter().map(|line| line.stream.as_str());
        let house = workspace.house_of_waste(Document::Tally, streams);
        let Some(medium) = self.medium.of_page() else {
            return Ok(csv::containers(balances).into_bytes());
        };
        if medium.is_json() {
            let mut json = json(balances, &wording, workspace);
            if !house.is_empty() {
                json["local_rules"] = serde_json::json!(house);
            }
            return Ok(format!("{json:#}\n").into_bytes());
        }
        if medium.is_text() {
            let house = document::house_text(files, &language, &house)?;
            let tell = if medium.is_short(self.all) {
                text::short
            } else {
                text::tally
            };
            return Ok(tell(&view, balances, &house, telling).into_bytes());
        }
        let medium = medium.with_house(house);
        let written = Some(balances.as_of);
        let view = if medium.draws() {
            view.with_pictures(MonthPicture::of(&months, telling))
        } else {
            view
        };
        medium.bytes_with(
            &view.drawings(),
            &workspace.catalogue,
            &language,
            "waste-tally.md",
            &view,
            || Value::Null,
            written,
        )
    }
}

/// The tally by the rules in force; where several are, the strictest counts and all are named.
pub fn strictest(
    ledger: &Ledger,
    packs: &[RulePack],
    workspace: &Workspace,
    (on, month): (NaiveDate, &str),
) -> Result<Balances, Error> {
    let silver = SilverTable::load(workspace.catalogue.files())?;
    let mut all: Option<Balances> = None;
    for pack in packs {
        let rules = TallyRules {
            pack,
            holder: rules::holder(workspace),
            nation: rules::nation(workspace),
            silver: &silver,
        };
        let one = ledger.tally(on, month, &rules)?;
        all = Some(match all {
            None => one,
            Some(before) => before.and(one),
        });
    }
    let mut all =
        all.ok_or_else(|| Error::other("no rules are in force", "name some with --rules"))?;
    all.findings.extend(rules::past_review(workspace, on));
    let nation = rules::nation(workspace);
    for pack in packs {
        all.findings.extend(pack.review_due(on));
        all.findings.extend(pack.nation_missing(nation.as_deref()));
    }
    crate::finding::sort(&mut all.findings);
    Ok(all)
}

fn json(balances: &Balances, wording: &Wording, workspace: &Workspace) -> Value {
    let words = |origin: &Origin| source(origin, &workspace.catalogue);
    let mut json = balances.to_json(&|finding| finding_json(finding, wording), &words);
    json["deference"] = wording.word("deference").into();
    json
}

/// What the place is called.
pub fn place_name(workspace: &Workspace) -> String {
    let name = workspace
        .place
        .as_ref()
        .and_then(|place| place.name.clone());
    name.unwrap_or_else(|| "this workspace".to_owned())
}

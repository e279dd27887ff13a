//! `report`: what an inspector or the collector asks for, over a span of days.

mod csv;
mod period;

use std::process::ExitCode;

use clap::Args;
use serde_json::json;

use crate::document::Wording;
use crate::document::waste::{MonthPicture, Phrases, ReportFacts, ReportView, Telling};
use crate::ledger::{Ledger, Record};
use crate::rules::Document;
use crate::waste::RulePack;

use super::medium::{self, BookFormat, Medium};
use super::tally::{place_name, strictest};
use super::workspace::{Given, Workspace};
use super::{Error, book, rules};

use period::{Period, period};

/// Print what an inspector or the collector asks for: amounts, containers, receipts, corrections.
#[derive(Args)]
pub struct Report {
    /// 2026, 2026-12, 2026-Q4, or 2026-10-01..2026-12-31.
    #[arg(value_parser = period)]
    period: Period,
    /// On the terminal, everything; a file and any `--format` hold everything as it is.
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    medium: Medium<BookFormat>,
}

impl Report {
    /// Runs the command.
    ///
    /// # Errors
    /// When the book cannot be read, or the report not written.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, None)?;
        let ledger = book::open(&workspace)?;
        let packs = &workspace.in_force.packs;
        let records = ledger.entries(self.period.from, self.period.to)?;
        let bytes = match self.medium.of_page() {
            None => csv::entries(&records).into_bytes(),
            Some(medium) => self.page(medium, &ledger, &records, packs, &workspace)?,
        };
        medium::write(&self.medium, &bytes, &[&book::path(&workspace)?])?;
        Ok(ExitCode::SUCCESS)
    }

    fn page(
        &self,
        medium: Medium,
        ledger: &Ledger,
        records: &[Record],
        packs: &[RulePack],
        workspace: &Workspace,
    ) -> Result<Vec<u8>, Error> {
        let files = workspace.catalogue.files();
        let language = self.medium.language(workspace.language());
        let wording = Wording::of(&workspace.catalogue, &language)?;
        let phrases = Phrases::load(files, &language)?;
        let telling = Telling {
            catalogue: &workspace.catalogue,
            wording: &wording,
            phrases: &phrases,
            packs,
            place: &place_name(workspace),
        };
        let view = self.view(
            ledger,
            records,
            workspace,
            telling,
            medium.draws() && !medium.is_json(),
        )?;
        let streams = view.streams.iter().map(String::as_str);
        let house = workspace.house_of_waste(Document::Report, streams);
        let medium = medium.with_house(house);
        let written = Some(self.period.to);
        medium.bytes_with(
            &view.drawings(),
            &workspace.catalogue,
            &language,
            &medium.page("waste-report", self.all),
            &view,
            || json!(view),
            written,
        )
    }

    fn view(
        &self,
        ledger: &Ledger,
        records: &[Record],
        workspace: &Workspace,
        telling: Telling,
        draws: bool,
    ) -> Result<ReportView, Error> {
        let Period { from, to } = self.period;
        let month = to.format("%Y-%m").to_string();
        let tally = strictest(ledger, telling.packs, workspace, (to, &month))?;
        let months = from.format("%Y-%m").to_string()..=month;
        let mut volumes = ledger.month_volumes()?;
        volumes.retain(|line| months.contains(&line.month));
        let days = from.to_string()..=to.to_string();
        let mut trainings = ledger.trainings()?;
        trainings.retain(|training| days.contains(&training.day));
        let corrections = ledger.corrections(records)?;
        let facts = ReportFacts {
            from,
            to,
            records,
            corrections: &corrections,
            months: &volumes,
            trainings,
            tally: &tally,
            last: ledger.last()?,
            holder: rules::holder(workspace),
            nation: rules::nation(workspace),
        };
        let view = ReportView::of(facts, telling);
        Ok(if draws {
            view.with_pictures(MonthPicture::of(&volumes, telling))
        } else {
            view
        })
    }
}

//! `report`: what an inspector or the collector asks for, over a span of days.

mod csv;
mod period;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, ValueEnum};
use serde_json::json;

use crate::document::Wording;
use crate::document::waste::{MonthPicture, Phrases, ReportFacts, ReportView, Telling};
use crate::ledger::{Ledger, Record};
use crate::rules::Document;
use crate::waste::RulePack;

use super::medium::{self, Medium, PaperSize};
use super::tally::{place_name, strictest};
use super::workspace::{Given, Workspace};
use super::{Error, book, output, rules};

use period::{Period, period};

/// Print what an inspector or the collector asks for: amounts, containers, receipts, corrections.
#[derive(Args)]
pub struct Report {
    /// 2026, 2026-12, 2026-Q4, or 2026-10-01..2026-12-31.
    #[arg(value_parser = period)]
    period: Period,
    /// The file to write; standard output where left out.
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// How it is printed; otherwise by the ending of the file, otherwise text.
    #[arg(long, value_enum)]
    format: Option<Format>,
    /// Paper of the PDF.
    #[arg(long, value_enum, default_value_t = PaperSize::A4)]
    paper: PaperSize,
    /// Language of the page; otherwise the workspace's.
    #[arg(long, value_name = "LANG")]
    language: Option<String>,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    Text,
    Json,
    Csv,
    Pdf,
    Html,
    Md,
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
        let bytes = match self.medium_format() {
            None => csv::entries(&records).into_bytes(),
            Some(format) => self.page(format, &ledger, &records, packs, &workspace)?,
        };
        output::write(self.output.as_deref(), &bytes, &[&book::path(&workspace)?])?;
        Ok(ExitCode::SUCCESS)
    }

    /// The medium; none for CSV, which has no page.
    fn medium_format(&self) -> Option<medium::Format> {
        let ending = self.output.as_deref().and_then(Path::extension);
        let by_ending = ending.and_then(|ending| Format::from_str(ending.to_str()?, true).ok());
        Some(match self.format.or(by_ending).unwrap_or(Format::Text) {
            Format::Csv => return None,
            Format::Pdf => medium::Format::Pdf,
            Format::Html => medium::Format::Html,
            Format::Md => medium::Format::Md,
            Format::Json => medium::Format::Json,
            Format::Text => medium::Format::Text,
        })
    }

    fn page(
        &self,
        format: medium::Format,
        ledger: &Ledger,
        records: &[Record],
        packs: &[RulePack],
        workspace: &Workspace,
    ) -> Result<Vec<u8>, Error> {
        let files = workspace.catalogue.files();
        let language = rules::language(workspace, self.language.as_deref());
        let wording = Wording::of(&workspace.catalogue, &language)?;
        let phrases = Phrases::load(files, &language)?;
        let telling = Telling {
            catalogue: &workspace.catalogue,
            wording: &wording,
            phrases: &phrases,
            packs,
            place: &place_name(workspace),
        };
        let draws = matches!(format, medium::Format::Pdf | medium::Format::Html);
        let view = self.view(ledger, records, workspace, telling, draws)?;
        let streams = view.streams.iter().map(String::as_str);
        let house = workspace.house_of_waste(Document::Report, streams);
        let medium = Medium::chosen(self.output.clone(), format, self.paper).with_house(house);
        let written = Some(self.period.to);
        medium.bytes_with(
            &view.drawings(),
            &workspace.catalogue,
            &language,
            "waste-report.md",
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

//! `report`: what an inspector or the collector asks for, over a span of days.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use chrono::{Days, Months, NaiveDate};
use clap::{Args, ValueEnum};
use serde::Serialize;
use serde_json::{Value, json};

use crate::document::Wording;
use crate::ledger::{Amount, Ledger, Record, Training};
use crate::rules::Document;
use crate::waste::{self, RulePack, WasteDescription};

use super::log::subject;
use super::medium::{self, Medium};
use super::tally::{MonthView, month_views, place_name, row, strictest};
use super::workspace::{Given, Workspace};
use super::{Error, book, output, rules};

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

/// A span of days, both ends included.
#[derive(Clone, Copy)]
struct Period {
    from: NaiveDate,
    to: NaiveDate,
}

fn period(text: &str) -> Result<Period, String> {
    let wrong = || "write it as 2026, 2026-12, 2026-Q4 or 2026-10-01..2026-12-31".to_owned();
    let day = |text: &str| NaiveDate::parse_from_str(text, "%Y-%m-%d").map_err(|_| wrong());
    if let Some((from, to)) = text.split_once("..") {
        let (from, to) = (day(from)?, day(to)?);
        return if from <= to {
            Ok(Period { from, to })
        } else {
            Err("it ends before it begins".into())
        };
    }
    let (year, rest) = text.split_once('-').unwrap_or((text, ""));
    let (month, months) = match rest {
        "" => (1, 12),
        "Q1" => (1, 3),
        "Q2" => (4, 3),
        "Q3" => (7, 3),
        "Q4" => (10, 3),
        month => (month.parse().map_err(|_| wrong())?, 1),
    };
    let from = NaiveDate::from_ymd_opt(year.parse().map_err(|_| wrong())?, month, 1);
    let from = from.ok_or_else(wrong)?;
    let next = from.checked_add_months(Months::new(months));
    let to = next
        .and_then(|next| next.checked_sub_days(Days::new(1)))
        .ok_or_else(wrong)?;
    Ok(Period { from, to })
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
        let bytes = match self.format() {
            Format::Csv => csv(&records).into_bytes(),
            format => {
                let view = self.view(&ledger, &records, packs, &workspace)?;
                let format = match format {
                    Format::Pdf => medium::Format::Pdf,
                    Format::Html => medium::Format::Html,
                    Format::Md => medium::Format::Md,
                    Format::Json => medium::Format::Json,
                    _ => medium::Format::Text,
                };
                let streams = view.streams.iter().map(String::as_str);
                let house = workspace.house_of_waste(Document::Report, streams);
                let medium = Medium::chosen(self.output.clone(), format).with_house(house);
                let json = || json!(view);
                let files = workspace.catalogue.files();
                medium.bytes(
                    files,
                    "en",
                    "waste-report.md",
                    &view,
                    json,
                    Some(self.period.to),
                )?
            }
        };
        output::write(self.output.as_deref(), &bytes, &[&book::path(&workspace)?])?;
        Ok(ExitCode::SUCCESS)
    }

    fn format(&self) -> Format {
        let ending = self.output.as_deref().and_then(Path::extension);
        let by_ending = ending.and_then(|ending| Format::from_str(ending.to_str()?, true).ok());
        self.format.or(by_ending).unwrap_or(Format::Text)
    }

    fn view(
        &self,
        ledger: &Ledger,
        records: &[Record],
        packs: &[RulePack],
        workspace: &Workspace,
    ) -> Result<View, Error> {
        let Period { from, to } = self.period;
        let wording = Wording::load(workspace.catalogue.files(), "en")?;
        let month = to.format("%Y-%m").to_string();
        let tally = strictest(ledger, packs, workspace, (to, &month))?;
        let within = |month: &str| {
            (from.format("%Y-%m").to_string().as_str()..=to.format("%Y-%m").to_string().as_str())
                .contains(&month)
        };
        let mut months = ledger.month_volumes()?;
        months.retain(|line| within(&line.month));
        let mut trainings = ledger.trainings()?;
        let days = from.to_string()..=to.to_string();
        trainings.retain(|training| days.contains(&training.day));
        let last = ledger.last()?;
        let kind = |kinds: &[&str]| -> Vec<EntryView> {
            let of_kind = records
                .iter()
                .filter(|one| kinds.contains(&one.kind.as_str()));
            of_kind.map(EntryView::of).collect()
        };
        Ok(View {
            place: place_name(workspace),
            from: from.to_string(),
            to: to.to_string(),
            months: month_views(&months),
            containers: tally
                .containers
                .iter()
                .map(|line| ContainerView::of(line, packs, workspace))
                .collect(),
            collections: kind(&["collected"]),
            spills: kind(&["spill"]),
            counts: kind(&["count"]),
            corrections: corrections(ledger, records)?,
            trainings: trainings.into_iter().map(TrainingView::of).collect(),
            streams: tally
                .streams
                .iter()
                .map(|line| line.stream.clone())
                .collect(),
            number_of_entries: last.entries,
            last_hash: last.last_hash,
            rules: packs.iter().map(|pack| pack.title.clone()).collect(),
            deference: wording.word("deference").to_owned(),
        })
    }
}

#[derive(Serialize)]
struct View {
    place: String,
    from: String,
    to: String,
    months: Vec<MonthView>,
    containers: Vec<ContainerView>,
    collections: Vec<EntryView>,
    spills: Vec<EntryView>,
    counts: Vec<EntryView>,
    /// Each taken-back entry, then the entry that takes it back or corrects it.
    corrections: Vec<EntryView>,
    trainings: Vec<TrainingView>,
    /// Streams of the containers.
    #[serde(skip)]
    streams: Vec<String>,
    number_of_entries: i64,
    last_hash: String,
    rules: Vec<String>,
    deference: String,
}

#[derive(Serialize)]
struct ContainerView {
    name: String,
    stream: String,
    codes: Vec<String>,
    held: String,
    since: String,
    until: String,
}

impl ContainerView {
    fn of(line: &crate::ledger::ContainerLine, packs: &[RulePack], workspace: &Workspace) -> Self {
        let waste = WasteDescription {
            stream: line.stream.clone(),
            holder: Some(rules::holder(workspace)),
            since: line.since,
            ..WasteDescription::default()
        };
        let found = packs.iter().map(|pack| waste::determine(&waste, pack));
        let codes: BTreeSet<String> = found
            .flat_map(|one| {
                let marked = |lines: Vec<waste::CodeLine>, mark: &'static str| {
                    lines
                        .into_iter()
                        .map(move |line| format!("{}{mark}", line.code))
                };
                let given = marked(one.codes, "");
                let possible = marked(one.possible, " (possible)");
                // An empty cell would read as no code.
                let asked = marked(one.candidates, " (ask the collector)");
                given.chain(possible).chain(asked).collect::<Vec<_>>()
            })
            .collect();
        let (unit, held) = (line.unit, line.held);
        let unit = if unit == crate::ledger::Unit::Microlitre {
            "L"
        } else {
            "kg"
        };
        Self {
            name: line.name.clone(),
            stream: line.stream.clone(),
            codes: codes.into_iter().collect(),
            held: format!("{} {unit}", crate::units::significant(held, 4)),
            since: line.since.map_or_else(String::new, |day| day.to_string()),
            until: line.until.map_or_else(String::new, |day| day.to_string()),
        }
    }
}

#[derive(Serialize)]
struct EntryView {
    number: i64,
    day: String,
    kind: String,
    what: String,
    amount: String,
    from: String,
    to: String,
    who: String,
    note: String,
    receipt: String,
    carrier: String,
}

impl EntryView {
    fn of(record: &Record) -> Self {
        let details: Value = serde_json::from_str(&record.details).unwrap_or(Value::Null);
        let detail = |name: &str| details[name].as_str().unwrap_or_default().to_owned();
        let names: BTreeSet<&str> = record
            .lines
            .iter()
            .map(|line| line.what.name.as_str())
            .collect();
        let first = record.lines.first();
        let amount = first.map_or_else(String::new, |first| {
            let count = record.lines.iter().map(|line| line.amount).sum();
            Amount {
                unit: first.unit,
                count,
            }
            .to_string()
        });
        let kind = match record.reverses {
            Some(number) => format!("{} of {number}", record.kind),
            None => record.kind.clone(),
        };
        let names = names.into_iter().collect::<Vec<_>>().join(", ");
        let nothing_moves = record.lines.is_empty();
        Self {
            number: record.number,
            day: record.day.clone(),
            kind,
            what: if nothing_moves {
                subject(record)
            } else {
                names
            },
            amount,
            from: first.map_or_else(String::new, |line| line.from.clone()),
            to: first.map_or_else(String::new, |line| line.to.clone()),
            who: record.who.clone(),
            note: record.note.clone(),
            receipt: detail("receipt"),
            carrier: detail("carrier"),
        }
    }
}

#[derive(Serialize)]
struct TrainingView {
    entry: i64,
    day: String,
    person: String,
    by: String,
    chemicals: Vec<String>,
    undone: bool,
}

impl TrainingView {
    fn of(training: Training) -> Self {
        Self {
            entry: training.entry,
            day: training.day,
            person: training.person,
            by: training.by,
            chemicals: training.chemicals,
            undone: training.undone,
        }
    }
}

fn corrects(record: &Record) -> bool {
    let details: Value = serde_json::from_str(&record.details).unwrap_or(Value::Null);
    details["corrects"].is_i64()
}

/// Every part of a correction: what was taken back, what took it back, what was booked instead.
fn corrections(ledger: &Ledger, records: &[Record]) -> Result<Vec<EntryView>, Error> {
    let mut views = Vec::new();
    for record in records {
        if let Some(number) = record.reverses {
            views.extend(ledger.entry(number)?.iter().map(EntryView::of));
        }
        if record.reverses.is_some() || corrects(record) {
            views.push(EntryView::of(record));
        }
    }
    Ok(views)
}

/// Every movement of the span, one a line.
fn csv(records: &[Record]) -> String {
    let head = "entry,day,kind,reverses,what,stream,amount,unit,from,to,who,note,session,receipt,carrier,hash\r\n";
    let mut out = head.to_owned();
    for record in records {
        let details: Value = serde_json::from_str(&record.details).unwrap_or(Value::Null);
        let detail = |name: &str| details[name].as_str().unwrap_or_default().to_owned();
        let mut line = |what: [String; 6]| {
            let [name, stream, amount, unit, from, to] = what;
            let reverses = record
                .reverses
                .map_or_else(String::new, |number| number.to_string());
            out.push_str(&row(&[
                record.number.to_string(),
                record.day.clone(),
                record.kind.clone(),
                reverses,
                name,
                stream,
                amount,
                unit,
                from,
                to,
                record.who.clone(),
                record.note.clone(),
                record.session.clone(),
                detail("receipt"),
                detail("carrier"),
                record.hash.clone(),
            ]));
        };
        for moved in &record.lines {
            let unit = if moved.unit == crate::ledger::Unit::Microlitre {
                "L"
            } else {
                "kg"
            };
            line([
                moved.what.name.clone(),
                moved.what.stream.clone(),
                moved.unit.in_litres_or_kilograms(moved.amount).to_string(),
                unit.to_owned(),
                moved.from.clone(),
                moved.to.clone(),
            ]);
        }
        if record.lines.is_empty() {
            line(Default::default());
        }
    }
    out
}

//! `tally`: what is held, since when, how full, and what there is to say.

use std::io;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use chrono::NaiveDate;
use clap::{Args, ValueEnum};
use serde::Serialize;
use serde_json::Value;

use crate::document::{self, Told, Wording, finding_json};
use crate::ledger::{
    ContainerLine, Ledger, MonthVolume, SilverTable, StreamLine, Tally as Balances, TallyRules,
    Unit,
};
use crate::provenance::Origin;
use crate::rules::{Document, HouseLine};
use crate::units::significant;
use crate::waste::RulePack;

use super::log::day;
use super::medium::{self, Medium};
use super::report::{self, Colours};
use super::words::{hanging, source};
use super::workspace::{Given, Workspace};
use super::{Error, book, exit_code, rules, today};

/// Say what is held in which container, since when, how full, and what the month comes to.
#[derive(Args)]
pub struct Tally {
    /// The day, as 2026-12-03; today where left out.
    #[arg(long, value_name = "DATE", value_parser = day)]
    on: Option<NaiveDate>,
    /// The month that is held against the generator limits, as 2026-12; otherwise that of the day.
    #[arg(long, value_name = "YYYY-MM", value_parser = month)]
    month: Option<String>,
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
        let wording = Wording::load(workspace.catalogue.files(), "en")?;
        let streams = balances.streams.iter().map(|line| line.stream.as_str());
        let house = workspace.house_of_waste(Document::Tally, streams);
        let bytes = match self.format() {
            Format::Json => {
                let mut json = json(&balances, &wording, &workspace);
                if !house.is_empty() {
                    json["local_rules"] = serde_json::json!(house);
                }
                format!("{json:#}\n").into_bytes()
            }
            Format::Csv => csv(&balances).into_bytes(),
            Format::Text => {
                let house = document::house_text(workspace.catalogue.files(), "en", &house)?;
                text(&balances, &house, &wording, &workspace).into_bytes()
            }
            page => {
                let view = View::of(&balances, &ledger.month_volumes()?, &wording, &workspace);
                self.page(page, &view, house, on, &workspace)?
            }
        };
        super::output::write(self.output.as_deref(), &bytes, &[&book::path(&workspace)?])?;
        let worst = balances
            .findings
            .iter()
            .map(|finding| finding.severity)
            .max();
        Ok(exit_code(worst, false))
    }

    fn format(&self) -> Format {
        let ending = self.output.as_deref().and_then(Path::extension);
        let by_ending = ending.and_then(|ending| Format::from_str(ending.to_str()?, true).ok());
        self.format.or(by_ending).unwrap_or(Format::Text)
    }

    fn page(
        &self,
        format: Format,
        view: &View,
        house: Vec<HouseLine>,
        on: NaiveDate,
        workspace: &Workspace,
    ) -> Result<Vec<u8>, Error> {
        let format = match format {
            Format::Pdf => medium::Format::Pdf,
            Format::Html => medium::Format::Html,
            _ => medium::Format::Md,
        };
        let medium = Medium::chosen(self.output.clone(), format).with_house(house);
        let files = workspace.catalogue.files();
        medium.bytes(
            files,
            "en",
            "waste-tally.md",
            view,
            || Value::Null,
            Some(on),
        )
    }
}

/// The tally by the rules in force; where several are, the earliest day and the lowest limit of a
/// container or month count, and every finding is kept once.
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
            nation: None,
            silver: &silver,
        };
        let mut one = ledger.tally(on, month, &rules)?;
        one.findings.extend(pack.review_due(on));
        one.findings.extend(rules::past_review(workspace, on));
        all = Some(match all {
            None => one,
            Some(before) => stricter(before, one),
        });
    }
    let mut all =
        all.ok_or_else(|| Error::other("no rules are in force", "name some with --rules"))?;
    crate::finding::sort(&mut all.findings);
    Ok(all)
}

fn stricter(mut all: Balances, one: Balances) -> Balances {
    for (line, other) in all.containers.iter_mut().zip(one.containers) {
        line.until = [line.until, other.until].into_iter().flatten().min();
    }
    all.month.kg = all.month.kg.max(one.month.kg);
    if all.month.generator.is_none() {
        all.month.generator = one.month.generator;
        all.month.limit_kg = one.month.limit_kg;
    }
    for finding in one.findings {
        if !all.findings.contains(&finding) {
            all.findings.push(finding);
        }
    }
    all
}

fn json(balances: &Balances, wording: &Wording, workspace: &Workspace) -> Value {
    let words = |origin: &Origin| source(origin, &workspace.catalogue);
    let mut json = balances.to_json(&|finding| finding_json(finding, wording), &words);
    json["deference"] = wording.word("deference").into();
    json
}

/// A field that holds a comma or a quote stands in quotes (RFC 4180); one that a spreadsheet would
/// take for a formula is made text.
pub fn field(text: &str) -> String {
    let text = match text.chars().next() {
        Some('=' | '+' | '-' | '@') if text.parse::<f64>().is_err() => format!("'{text}"),
        _ => text.to_owned(),
    };
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
}

/// Fields as one line of a CSV file.
pub fn row(fields: &[String]) -> String {
    let fields: Vec<String> = fields.iter().map(|text| field(text)).collect();
    fields.join(",") + "\r\n"
}

fn or_empty(value: Option<impl ToString>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

fn csv(balances: &Balances) -> String {
    let head = "container,stream,unit,held,capacity,since,days,full_on,until\r\n";
    let line = |line: &ContainerLine| {
        row(&[
            line.name.clone(),
            line.stream.clone(),
            unit(line.unit).to_owned(),
            line.held.to_string(),
            or_empty(line.capacity),
            or_empty(line.since),
            or_empty(line.days),
            or_empty(line.full_on),
            or_empty(line.until),
        ])
    };
    head.to_owned() + &balances.containers.iter().map(line).collect::<String>()
}

fn unit(unit: Unit) -> &'static str {
    match unit {
        Unit::Microlitre => "L",
        Unit::Nanogram => "kg",
    }
}

/// A bar of so many characters, filled in proportion.
fn bar(share: f64, width: usize) -> String {
    let filled = libm::round(share.clamp(0.0, 1.0) * width as f64) as usize;
    format!("{}{}", "█".repeat(filled), "░".repeat(width - filled))
}

fn text(balances: &Balances, house: &[String], wording: &Wording, workspace: &Workspace) -> String {
    let mut out = format!("Waste held on {}\n", wording.date(balances.as_of));
    for line in &balances.containers {
        out.push_str(&container(line, workspace));
    }
    if balances.containers.is_empty() {
        out.push_str("no container is in the book: `wetside log add-container --help`\n");
    }
    let month = &balances.month;
    out.push_str(&format!(
        "\nMonth {}: {}\n",
        month.month,
        month_words(balances)
    ));
    if !balances.streams.is_empty() {
        out.push_str(&format!(
            "\n{:<26}{:>9}{:>9}{:>11}{:>8}{:>9}\n",
            "by stream", "made", "held", "collected", "lost", "nowhere"
        ));
    }
    for line in &balances.streams {
        let amount = |value: f64| significant(value, 4);
        out.push_str(&format!(
            "{:<26}{:>9}{:>9}{:>11}{:>8}{:>9}\n",
            format!("{} ({})", line.stream, unit(line.unit)),
            amount(line.made),
            amount(line.held),
            amount(line.collected),
            amount(line.lost),
            amount(line.unaccounted),
        ));
    }
    for line in &balances.keeping {
        let words = keeping(line);
        out.push_str(&format!(
            "{}\n",
            hanging(&format!("  {}", line.place), &words, 28)
        ));
    }
    if let Some(words) = silver(balances) {
        out.push_str(&format!("\n{}\n", report::wrap(&words, 79).join("\n")));
    }
    let colours = Colours::for_stream(&io::stdout());
    for finding in &balances.findings {
        out.push('\n');
        out.push_str(&report::finding(
            finding,
            &wording.tell(finding),
            colours,
            79,
        ));
    }
    out.push_str(&report::section(house, 79));
    out.push_str(&format!(
        "\n{}\n",
        report::wrap(wording.word("deference"), 79).join("\n")
    ));
    out
}

fn container(line: &ContainerLine, workspace: &Workspace) -> String {
    let unit = unit(line.unit);
    let held = significant(line.held, 4);
    let level = match line.capacity {
        Some(capacity) => {
            let bar = bar(line.held / capacity, 20);
            format!("{bar} {held} of {} {unit}", significant(capacity, 4))
        }
        None => format!("{held} {unit}, capacity not known"),
    };
    let title = workspace.catalogue.stream(&line.stream);
    let title = title.map_or(line.stream.as_str(), |stream| stream.title.as_str());
    let mut out = format!("{}\n", hanging(&format!("  {}", line.name), &level, 28));
    let mut facts = vec![title.to_owned()];
    if let (Some(since), Some(days)) = (line.since, line.days) {
        facts.push(format!("{days} days since {since}"));
    }
    facts.extend(line.full_on.map(|full| format!("full about {full}")));
    facts.extend(line.until.map(|until| format!("must leave by {until}")));
    out.push_str(&format!("{}\n", hanging("", &facts.join("; "), 28)));
    out
}

fn month_words(balances: &Balances) -> String {
    let month = &balances.month;
    let mut words = format!(
        "{} kg of waste that is or may be hazardous",
        significant(month.kg, 3)
    );
    if let Some(generator) = &month.generator {
        words.push_str(&format!(", {generator}"));
    }
    if let Some(limit) = month.limit_kg {
        words.push_str(&format!(" (limit {limit} kg)"));
    }
    words
}

fn keeping(line: &crate::ledger::KeepingLine) -> String {
    let mut facts = vec![line.what.clone()];
    facts.extend(line.since.map(|since| format!("since {since}")));
    facts.extend(line.keeps_until.map(|until| format!("keeps until {until}")));
    if line.area_m2 > 0.0 || line.capacity_m2.is_some() {
        let area = significant(line.area_m2, 3);
        let of = line
            .capacity_m2
            .map(|of| format!(" of {}", significant(of, 3)));
        facts.push(format!("{area}{} m² processed", of.unwrap_or_default()));
    }
    facts.join("; ")
}

/// The silver estimate and what it means; a span, never a figure to rely on.
fn silver(balances: &Balances) -> Option<String> {
    let (low, high) = balances.silver.held_g;
    let (by_low, by_high) = balances.silver.by_area_g;
    if high <= 0.0 && by_high <= 0.0 {
        return None;
    }
    let span =
        |low: f64, high: f64| format!("{} to {} g", significant(low, 2), significant(high, 2));
    let mut words = "Silver:".to_owned();
    if high > 0.0 {
        words.push_str(&format!(
            " perhaps {} held, by what such baths usually hold.",
            span(low, high)
        ));
    }
    if by_high > 0.0 {
        words.push_str(&format!(
            " Perhaps {} given off by the film and paper processed.",
            span(by_low, by_high)
        ));
    }
    words.push_str(
        " An estimate: only a test says. In the US 5.0 mg/L in the extraction test makes it hazardous waste; ask a silver recoverer whether so much is worth fetching.",
    );
    Some(words)
}

/// A tally as the page template takes it.
#[derive(Serialize)]
struct View {
    place: String,
    date: String,
    containers: Vec<ContainerView>,
    streams: Vec<StreamView>,
    months: Vec<MonthView>,
    month: String,
    month_words: String,
    keeping: Vec<KeepingView>,
    silver: String,
    findings: Vec<Told>,
    deference: String,
}

#[derive(Serialize)]
struct ContainerView {
    name: String,
    stream: String,
    bar: String,
    level: String,
    since: String,
    days: String,
    full_on: String,
    until: String,
}

#[derive(Serialize)]
struct StreamView {
    stream: String,
    made: String,
    held: String,
    collected: String,
    lost: String,
    unaccounted: String,
}

/// One stream in one month, with a bar against the largest.
#[derive(Serialize)]
pub struct MonthView {
    month: String,
    stream: String,
    amount: String,
    bar: String,
}

#[derive(Serialize)]
struct KeepingView {
    place: String,
    words: String,
}

impl View {
    fn of(
        balances: &Balances,
        months: &[MonthVolume],
        wording: &Wording,
        workspace: &Workspace,
    ) -> Self {
        Self {
            place: place_name(workspace),
            date: wording.date(balances.as_of),
            containers: balances.containers.iter().map(container_view).collect(),
            streams: balances.streams.iter().map(stream_view).collect(),
            months: month_views(months),
            month: balances.month.month.clone(),
            month_words: month_words(balances),
            keeping: balances
                .keeping
                .iter()
                .map(|line| KeepingView {
                    place: line.place.clone(),
                    words: keeping(line),
                })
                .collect(),
            silver: silver(balances).unwrap_or_default(),
            findings: balances
                .findings
                .iter()
                .map(|finding| wording.tell(finding))
                .collect(),
            deference: wording.word("deference").to_owned(),
        }
    }
}

/// What the place is called.
pub fn place_name(workspace: &Workspace) -> String {
    let name = workspace
        .place
        .as_ref()
        .and_then(|place| place.name.clone());
    name.unwrap_or_else(|| "this workspace".to_owned())
}

fn container_view(line: &ContainerLine) -> ContainerView {
    let (unit, held) = (unit(line.unit), significant(line.held, 4));
    ContainerView {
        name: line.name.clone(),
        stream: line.stream.clone(),
        bar: line
            .capacity
            .map_or_else(String::new, |capacity| bar(line.held / capacity, 10)),
        level: match line.capacity {
            Some(capacity) => format!("{held} of {} {unit}", significant(capacity, 4)),
            None => format!("{held} {unit}"),
        },
        since: or_empty(line.since),
        days: or_empty(line.days),
        full_on: or_empty(line.full_on),
        until: or_empty(line.until),
    }
}

fn stream_view(line: &StreamLine) -> StreamView {
    let amount = |value: f64| format!("{} {}", significant(value, 4), unit(line.unit));
    StreamView {
        stream: line.stream.clone(),
        made: amount(line.made),
        held: amount(line.held),
        collected: amount(line.collected),
        lost: amount(line.lost),
        unaccounted: amount(line.unaccounted),
    }
}

/// Volumes by month as bars.
pub fn month_views(months: &[MonthVolume]) -> Vec<MonthView> {
    let value = |line: &MonthVolume| line.unit.in_litres_or_kilograms(line.amount);
    let most = months.iter().map(value).fold(0.0, f64::max);
    let view = |line: &MonthVolume| MonthView {
        month: line.month.clone(),
        stream: line.stream.clone(),
        amount: format!("{} {}", significant(value(line), 4), unit(line.unit)),
        bar: if most > 0.0 {
            bar(value(line) / most, 16)
        } else {
            String::new()
        },
    };
    months.iter().map(view).collect()
}

//! What an inspector or the collector asks for, told.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use serde::Serialize;
use serde_json::{Value, json};

use crate::ledger::{ContainerLine, MonthVolume, Record, Tally, Training, Verified};
use crate::provenance::Origin;
use crate::units::significant;
use crate::waste::{self, CodeLine, Determination, Holder, WasteDescription};

use super::months::{MonthPicture, MonthView, months};
use super::{Telling, or_empty, unit_name};

/// What is told.
pub struct ReportFacts<'a> {
    /// The first day.
    pub from: NaiveDate,
    /// The last day.
    pub to: NaiveDate,
    /// Every entry of the span.
    pub records: &'a [Record],
    /// Entries taken back in the span and what took them back or replaced them.
    pub corrections: &'a [Record],
    /// What came into the containers in the span.
    pub months: &'a [MonthVolume],
    /// Who was briefed in the span.
    pub trainings: Vec<Training>,
    /// The balances of the last day.
    pub tally: &'a Tally,
    /// Number of entries, and the hash of the last.
    pub last: Verified,
    /// Who hands over the waste.
    pub holder: Holder,
    /// The nation, where the rules differ.
    pub nation: Option<String>,
}

/// A report as the page template takes it.
#[derive(Serialize)]
pub struct ReportView {
    place: String,
    from: String,
    to: String,
    months: Vec<MonthView>,
    /// The same drawn; empty where the medium does not draw.
    pictures: Vec<MonthPicture>,
    containers: Vec<ContainerView>,
    collections: Vec<EntryView>,
    spills: Vec<EntryView>,
    counts: Vec<EntryView>,
    /// Each taken-back entry, then the entry that takes it back or corrects it.
    corrections: Vec<EntryView>,
    trainings: Vec<TrainingView>,
    /// Streams of the containers.
    #[serde(skip)]
    pub streams: Vec<String>,
    number_of_entries: i64,
    last_hash: String,
    rules: Vec<String>,
    sources: Vec<String>,
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

#[derive(Serialize)]
struct TrainingView {
    entry: i64,
    day: String,
    person: String,
    by: String,
    chemicals: Vec<String>,
    undone: bool,
}

impl ReportView {
    /// The same with its months drawn.
    #[must_use]
    pub fn with_pictures(self, pictures: Vec<MonthPicture>) -> Self {
        Self { pictures, ..self }
    }

    /// Its pictures, name and SVG.
    pub fn drawings(&self) -> Vec<(String, String)> {
        MonthPicture::drawings(&self.pictures)
    }

    /// A report in words.
    pub fn of(facts: ReportFacts, telling: Telling) -> Self {
        let kind = |kind: &str| -> Vec<EntryView> {
            let of_kind = facts.records.iter().filter(|one| one.kind == kind);
            of_kind.map(|record| entry(record, telling)).collect()
        };
        let mut origins: Vec<Origin> = Vec::new();
        let containers = facts.tally.containers.iter();
        let containers = containers
            .map(|line| container(line, &facts, telling, &mut origins))
            .collect();
        Self {
            place: telling.place.to_owned(),
            from: facts.from.to_string(),
            to: facts.to.to_string(),
            months: months(facts.months, telling),
            pictures: Vec::new(),
            containers,
            collections: kind("collected"),
            spills: kind("spill"),
            counts: kind("count"),
            corrections: facts
                .corrections
                .iter()
                .map(|record| entry(record, telling))
                .collect(),
            number_of_entries: facts.last.entries,
            last_hash: facts.last.last_hash,
            trainings: facts.trainings.into_iter().map(training).collect(),
            streams: facts
                .tally
                .streams
                .iter()
                .map(|line| line.stream.clone())
                .collect(),
            rules: telling.rules(),
            sources: telling.sources(&origins),
            deference: telling.wording.word("deference").to_owned(),
        }
    }
}

fn container(
    line: &ContainerLine,
    facts: &ReportFacts,
    telling: Telling,
    origins: &mut Vec<Origin>,
) -> ContainerView {
    let waste = WasteDescription {
        stream: line.stream.clone(),
        holder: Some(facts.holder),
        nation: facts.nation.clone(),
        since: line.since,
        made_this_month_kg: Some(facts.tally.month.kg),
        held_kg: Some(facts.tally.month.held_kg),
        ..WasteDescription::default()
    };
    let mut all = BTreeSet::new();
    for pack in telling.packs {
        all.extend(codes(waste::determine(&waste, pack), telling, origins));
    }
    origins.extend(
        line.deadlines
            .iter()
            .map(|deadline| deadline.origin.clone()),
    );
    ContainerView {
        name: line.name.clone(),
        stream: telling.stream(&line.stream),
        codes: all.into_iter().collect(),
        held: format!("{} {}", significant(line.held, 4), unit_name(line.unit)),
        since: or_empty(line.since),
        until: or_empty(line.until),
    }
}

/// Codes given, possible, and those to ask about: an empty cell would read as no code.
fn codes(found: Determination, telling: Telling, origins: &mut Vec<Origin>) -> Vec<String> {
    let mut all = Vec::new();
    let mut take = |lines: Vec<CodeLine>, phrase: Option<&str>| {
        for line in lines {
            let code = json!({"code": line.code});
            all.push(phrase.map_or(line.code, |phrase| telling.phrases.say(phrase, &code)));
            origins.push(line.origin);
        }
    };
    take(found.codes, None);
    take(found.possible, Some("possible_code"));
    take(found.candidates, Some("candidate_code"));
    all
}

fn entry(record: &Record, telling: Telling) -> EntryView {
    let details: Value = serde_json::from_str(&record.details).unwrap_or(Value::Null);
    let detail = |name: &str| details[name].as_str().unwrap_or_default().to_owned();
    let lines = record.lines.iter();
    let names: BTreeSet<&str> = lines.map(|line| line.what.name.as_str()).collect();
    let movement = record.movement();
    let kind = telling
        .phrases
        .word(&format!("kind_{}", record.kind.replace(' ', "_")));
    let kind = match record.reverses {
        Some(number) => {
            let facts = json!({"kind": kind, "number": number});
            telling.phrases.say("reversal", &facts)
        }
        None => kind,
    };
    EntryView {
        number: record.number,
        day: record.day.clone(),
        kind,
        what: match movement {
            Some(_) => names.into_iter().collect::<Vec<_>>().join(", "),
            None => telling.phrases.known(&record.subject()),
        },
        amount: movement.map_or_else(String::new, |(_, amount)| amount.to_string()),
        from: movement.map_or_else(String::new, |(line, _)| telling.phrases.account(&line.from)),
        to: movement.map_or_else(String::new, |(line, _)| telling.phrases.account(&line.to)),
        who: record.who.clone(),
        note: record.note.clone(),
        receipt: detail("receipt"),
        carrier: detail("carrier"),
    }
}

fn training(training: Training) -> TrainingView {
    TrainingView {
        entry: training.entry,
        day: training.day,
        person: training.person,
        by: training.by,
        chemicals: training.chemicals,
        undone: training.undone,
    }
}

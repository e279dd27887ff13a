//! The tally of a day, told.

use serde::Serialize;
use serde_json::json;

use crate::document::Told;
use crate::ledger::{ContainerLine, KeepingLine, MonthVolume, StreamLine, Tally};
use crate::provenance::{Basis, Origin};
use crate::units::significant;

use super::months::{MonthPicture, MonthView, months};
use super::{Telling, bar, or_empty, unit_name};

/// What is told.
#[derive(Clone, Copy)]
pub struct TallyFacts<'a> {
    /// The balances.
    pub tally: &'a Tally,
    /// What came into the containers, month by month.
    pub months: &'a [MonthVolume],
}

/// A tally as page and terminal take it.
#[derive(Serialize)]
pub struct TallyView {
    place: String,
    date: String,
    /// The heading.
    pub title: String,
    deference: String,
    /// The containers.
    pub containers: Vec<ContainerView>,
    /// The streams.
    pub streams: Vec<StreamView>,
    months: Vec<MonthView>,
    /// The same drawn; empty where the medium does not draw.
    pictures: Vec<MonthPicture>,
    /// The month against its limits, a sentence.
    pub month_words: String,
    /// Bottles and baths: place, and what there is to know of it.
    pub keeping: Vec<(String, String)>,
    /// The silver estimate; empty where there is none.
    pub silver: String,
    findings: Vec<Told>,
    rules: Vec<String>,
    sources: Vec<String>,
}

/// One container.
#[derive(Serialize)]
pub struct ContainerView {
    /// Its name.
    pub name: String,
    /// Its stream's title.
    pub stream: String,
    /// How full, from 0 to 1.
    #[serde(skip)]
    pub share: Option<f64>,
    bar: String,
    /// What it holds of what it can hold.
    pub level: String,
    since: String,
    days: String,
    full_on: String,
    /// The day it must have left by.
    pub until: String,
    /// Since when, full when, must leave when: one phrase each.
    pub facts: Vec<String>,
}

/// One stream.
#[derive(Serialize)]
pub struct StreamView {
    /// Its title.
    pub stream: String,
    /// Its unit.
    pub unit: &'static str,
    /// Mixed, or there at the start.
    pub made: String,
    /// In the room.
    pub held: String,
    /// With a collector.
    pub collected: String,
    /// Spilled, evaporated, carried over.
    pub lost: String,
    /// Nowhere.
    pub unaccounted: String,
}

impl StreamView {
    /// Whether some of it is nowhere.
    pub fn is_amiss(&self) -> bool {
        self.unaccounted != "0"
    }
}

impl TallyView {
    /// The same with its months drawn.
    #[must_use]
    pub fn with_pictures(self, pictures: Vec<MonthPicture>) -> Self {
        Self { pictures, ..self }
    }

    /// Its pictures, name and SVG.
    pub fn drawings(&self) -> Vec<(String, String)> {
        MonthPicture::drawings(&self.pictures)
    }

    /// A tally in words.
    pub fn of(facts: TallyFacts, telling: Telling) -> Self {
        let tally = facts.tally;
        let date = telling.wording.date(tally.as_of);
        let containers = tally.containers.iter();
        let keeping = tally.keeping.iter();
        let findings = tally.findings.iter();
        Self {
            place: telling.place.to_owned(),
            title: telling.phrases.say("tally_title", &json!({"date": date})),
            date,
            deference: telling.wording.word("deference").to_owned(),
            containers: containers.map(|line| container(line, telling)).collect(),
            streams: tally
                .streams
                .iter()
                .map(|line| stream(line, telling))
                .collect(),
            months: months(facts.months, telling),
            pictures: Vec::new(),
            month_words: month_words(tally, telling),
            keeping: keeping
                .map(|line| (line.place.clone(), bath(line, telling)))
                .collect(),
            silver: silver(tally, telling).unwrap_or_default(),
            findings: findings
                .map(|finding| telling.wording.tell(finding))
                .collect(),
            rules: telling.rules(),
            sources: telling.sources(origins(tally)),
        }
    }
}

/// Everything the tally rests on: limits, categories, silver, findings.
fn origins(tally: &Tally) -> Vec<&Origin> {
    let deadlines = tally.containers.iter().flat_map(|line| &line.deadlines);
    let deadlines = deadlines.map(|deadline| &deadline.origin);
    let categories = tally.month.categories.iter().map(|line| &line.origin);
    let findings = tally.findings.iter().flat_map(|finding| &finding.basis);
    let silver = tally.silver.origins.iter();
    deadlines
        .chain(categories)
        .chain(silver.filter(|_| tally.silver.any()))
        .chain(findings.flat_map(Basis::origins))
        .collect()
}

fn container(line: &ContainerLine, telling: Telling) -> ContainerView {
    let phrases = telling.phrases;
    let level = json!({"held": significant(line.held, 4), "unit": unit_name(line.unit),
                       "capacity": line.capacity.map(|capacity| significant(capacity, 4))});
    let mut facts = vec![telling.stream(&line.stream)];
    if let (Some(since), Some(days)) = (line.since, line.days) {
        facts.push(phrases.say("since", &json!({"days": days, "since": since.to_string()})));
    }
    let full = line.full_on.map(|day| json!({"day": day.to_string()}));
    facts.extend(full.map(|full| phrases.say("full_on", &full)));
    let deadlines = line.deadlines.iter().map(|deadline| {
        json!({"day": deadline.day.to_string(), "rules": deadline.rules, "what": deadline.what})
    });
    let deadlines: Vec<_> = deadlines.collect();
    if !deadlines.is_empty() {
        facts.push(phrases.say("must_leave", &json!({"deadlines": deadlines})));
    }
    let share = line.capacity.map(|capacity| line.held / capacity);
    ContainerView {
        name: line.name.clone(),
        stream: telling.stream(&line.stream),
        share,
        bar: share.map_or_else(String::new, |share| bar(share, 10)),
        level: phrases.say("level", &level),
        since: or_empty(line.since),
        days: or_empty(line.days),
        full_on: or_empty(line.full_on),
        until: or_empty(line.until),
        facts,
    }
}

fn stream(line: &StreamLine, telling: Telling) -> StreamView {
    let amount = |value: f64| significant(value, 4);
    StreamView {
        stream: telling.stream(&line.stream),
        unit: unit_name(line.unit),
        made: amount(line.made),
        held: amount(line.held),
        collected: amount(line.collected),
        lost: amount(line.lost),
        unaccounted: amount(line.unaccounted),
    }
}

fn month_words(tally: &Tally, telling: Telling) -> String {
    let month = &tally.month;
    let categories: Vec<_> = month
        .categories
        .iter()
        .map(|line| json!({"generator": line.generator, "limit_kg": line.limit_kg.map(|limit| limit.to_string()), "rules": line.rules}))
        .collect();
    let facts =
        json!({"month": month.month, "kg": significant(month.kg, 3), "categories": categories});
    telling.phrases.say("month", &facts)
}

fn bath(line: &KeepingLine, telling: Telling) -> String {
    let facts = json!({
        "what": line.what,
        "since": line.since.map(|day| day.to_string()),
        "label": line.label,
        "keeps_until": line.keeps_until.map(|day| day.to_string()),
        "area": (line.area_m2 > 0.0 || line.capacity_m2.is_some()).then(|| significant(line.area_m2, 3)),
        "capacity": line.capacity_m2.map(|of| significant(of, 3)),
    });
    telling.phrases.say("bath", &facts)
}

/// The silver estimate and what it means; a span, never a figure to rely on.
fn silver(tally: &Tally, telling: Telling) -> Option<String> {
    let span = |(low, high): (f64, f64)| {
        (high > 0.0).then(|| json!({"low": significant(low, 2), "high": significant(high, 2)}))
    };
    let silver = &tally.silver;
    let facts = json!({"held": span(silver.held_g), "by_area": span(silver.by_area_g)});
    silver.any().then(|| telling.phrases.say("silver", &facts))
}

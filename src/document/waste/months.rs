//! Volumes by month: rows with a bar of characters, and a picture where the medium draws.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::json;

use crate::ledger::{MonthVolume, Unit};
use crate::picture;
use crate::units::significant;

use super::stacks::{ON_PAGE, Stacks};
use super::{Telling, bar, unit_name};

/// One stream in one month, with a bar against the largest.
#[derive(Serialize)]
pub(super) struct MonthView {
    month: String,
    stream: String,
    amount: String,
    bar: String,
}

/// Volumes by month as bars of characters.
pub(super) fn months(months: &[MonthVolume], telling: Telling) -> Vec<MonthView> {
    let most = months.iter().map(value).fold(0.0, f64::max);
    let view = |line: &MonthVolume| MonthView {
        month: line.month.clone(),
        stream: telling.stream(&line.stream),
        amount: format!("{} {}", significant(value(line), 4), unit_name(line.unit)),
        bar: if most > 0.0 {
            bar(value(line) / most, 16)
        } else {
            String::new()
        },
    };
    months.iter().map(view).collect()
}

fn value(line: &MonthVolume) -> f64 {
    line.unit.in_litres_or_kilograms(line.amount)
}

/// Volumes by month, drawn: one picture a unit.
#[derive(Serialize)]
pub struct MonthPicture {
    name: String,
    size: String,
    /// What it shows, for who listens.
    words: String,
    /// That it shows the latest months only, where there are more.
    cut: Option<String>,
    #[serde(skip)]
    svg: String,
}

impl MonthPicture {
    /// One picture for litres and one for kilograms, of those there are.
    pub fn of(months: &[MonthVolume], telling: Telling) -> Vec<Self> {
        let units = [Unit::Microlitre, Unit::Nanogram];
        let of_unit = units.map(|unit| (unit, stacks(months, unit, telling)));
        of_unit
            .into_iter()
            .filter(|(_, stacks)| !stacks.months.is_empty())
            .map(|(unit, stacks)| Self {
                name: format!("months-{}", unit_name(unit)),
                size: format!("{} x {} mm", ON_PAGE.width_mm, ON_PAGE.height_mm),
                words: words(&stacks, telling),
                cut: cut(months, unit, &stacks, telling),
                svg: picture::svg(&in_language(stacks.picture(ON_PAGE), telling)),
            })
            .collect()
    }

    /// Name and SVG of each.
    pub fn drawings(pictures: &[Self]) -> Vec<(String, String)> {
        let drawing = |one: &Self| (one.name.clone(), one.svg.clone());
        pictures.iter().map(drawing).collect()
    }
}

/// Its figures as the language writes them.
fn in_language(mut picture: picture::Picture, telling: Telling) -> picture::Picture {
    for label in &mut picture.labels {
        label.text = telling.wording.figures(&label.text);
    }
    picture
}

/// Says that months before the first that is drawn are left out.
fn cut(months: &[MonthVolume], unit: Unit, stacks: &Stacks, telling: Telling) -> Option<String> {
    let (first, _) = stacks.months.first()?;
    let mut of_unit = months
        .iter()
        .filter(|line| line.unit == unit && line.amount > 0);
    let earlier = of_unit.any(|line| line.month < *first);
    let facts = json!({"first": first, "months": stacks.months.len()});
    earlier.then(|| telling.phrases.say("months_cut", &facts))
}

/// More streams than this cannot be told apart by their greys: the smallest are drawn together.
const MOST_STREAMS: usize = 5;
/// More months than this are too narrow to read: the latest are drawn, the table has all.
const MOST_MONTHS: usize = 36;

fn stacks(months: &[MonthVolume], unit: Unit, telling: Telling) -> Stacks {
    let lines = months
        .iter()
        .filter(|line| line.unit == unit && line.amount > 0);
    let lines: Vec<&MonthVolume> = lines.collect();
    let span = span(&lines);
    let shown = lines.iter().filter(|line| span.contains(&line.month));
    let mut totals: BTreeMap<&str, f64> = BTreeMap::new();
    for line in shown {
        *totals.entry(line.stream.as_str()).or_default() += value(line);
    }
    let mut streams: Vec<(&str, f64)> = totals.into_iter().collect();
    streams.sort_by(|a, b| b.1.total_cmp(&a.1));
    let alone = if streams.len() > MOST_STREAMS {
        MOST_STREAMS - 1
    } else {
        streams.len()
    };
    let (named, together) = streams.split_at(alone);
    let amounts = |month: &String| {
        let amount = |of: &[(&str, f64)]| -> f64 {
            let of_month = lines.iter().filter(|line| line.month == *month);
            let of_stream = of_month.filter(|line| of.iter().any(|(id, _)| *id == line.stream));
            of_stream.map(|line| value(line)).sum()
        };
        let mut amounts: Vec<f64> = named.iter().map(|one| amount(&[*one])).collect();
        amounts.extend((!together.is_empty()).then(|| amount(together)));
        amounts
    };
    let mut names: Vec<String> = named.iter().map(|(id, _)| telling.stream(id)).collect();
    names.extend((!together.is_empty()).then(|| telling.phrases.word("other_streams")));
    Stacks {
        unit: unit_name(unit),
        names,
        months: span
            .iter()
            .map(|month| (month.clone(), amounts(month)))
            .collect(),
    }
}

/// Every month from the first to the last, those between them without an entry too.
fn span(lines: &[&MonthVolume]) -> Vec<String> {
    let numbers = lines.iter().filter_map(|line| number(&line.month));
    let (Some(first), Some(last)) = (numbers.clone().min(), numbers.max()) else {
        return Vec::new();
    };
    let first = first.max(last.saturating_sub(MOST_MONTHS - 1));
    let name = |number: usize| format!("{:04}-{:02}", number / 12, number % 12 + 1);
    (first..=last).map(name).collect()
}

/// The months since the year 0.
fn number(month: &str) -> Option<usize> {
    let (year, month) = month.split_once('-')?;
    let month = month.parse::<usize>().ok()?.checked_sub(1)?;
    Some(year.parse::<usize>().ok()? * 12 + month)
}

fn words(stacks: &Stacks, telling: Telling) -> String {
    let total = |amounts: &[f64]| amounts.iter().sum::<f64>();
    let with_entries = stacks
        .months
        .iter()
        .filter(|(_, amounts)| total(amounts) > 0.0);
    let months: Vec<_> = with_entries
        .map(|(month, amounts)| json!({"month": month, "total": significant(total(amounts), 4)}))
        .collect();
    let facts = json!({"unit": stacks.unit, "months": months, "streams": stacks.names});
    telling.phrases.say("month_picture", &facts)
}

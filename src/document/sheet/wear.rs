//! The wear table.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::assessment::{Assessment, Need, StepWear};
use crate::catalogue::{Catalogue, Part};

use super::mark;

/// One step of the wear table.
#[derive(Debug, Serialize)]
pub struct WearRow {
    step: String,
    title: String,
    eyes: Vec<Cell>,
    hands: Vec<Cell>,
    body: Vec<Cell>,
    breathing: Vec<Cell>,
}

/// One thing asked for: what to put on, and the words that go with it.
#[derive(Debug, Serialize)]
struct Cell {
    /// The item; none where nothing is worn and the words stand alone.
    item: Option<String>,
    text: String,
    mark: &'static str,
    chemicals: Vec<String>,
    worn: bool,
}

/// What is worn all day, and what single steps ask for besides.
#[derive(Debug, Serialize)]
pub struct WearSummary {
    all_day: Vec<String>,
    extra: Vec<Extra>,
}

#[derive(Debug, Serialize)]
struct Extra {
    title: String,
    items: Vec<String>,
}

/// All day: what at least half of the steps ask for. Besides: what is left of each step.
pub(super) fn summary(assessment: &Assessment, catalogue: &Catalogue) -> WearSummary {
    let title = |id: &String| catalogue.wear_item(id).map(|item| item.title.clone());
    let asked: Vec<(&str, BTreeSet<(Part, String)>)> = assessment
        .wear
        .iter()
        .map(|step| {
            let items = step
                .needs
                .iter()
                .flat_map(|(part, needs)| enough(needs).into_iter().map(|id| (*part, id)));
            let items = items.filter_map(|(part, id)| Some((part, title(id)?)));
            (step.title.as_str(), items.collect())
        })
        .collect();
    let steps_with = |item: &(Part, String)| {
        asked
            .iter()
            .filter(|(_, items)| items.contains(item))
            .count()
    };
    let every: BTreeSet<&(Part, String)> = asked.iter().flat_map(|(_, items)| items).collect();
    let all_day: Vec<&(Part, String)> = every
        .into_iter()
        .filter(|item| 2 * steps_with(item) >= asked.len())
        .collect();
    let extra = asked.iter().map(|(title, items)| Extra {
        title: (*title).to_owned(),
        items: items
            .iter()
            .filter(|item| !all_day.contains(item))
            .map(|(_, item)| item.clone())
            .collect(),
    });
    WearSummary {
        extra: extra.filter(|extra| !extra.items.is_empty()).collect(),
        all_day: all_day.into_iter().map(|(_, item)| item.clone()).collect(),
    }
}

/// The first item that is enough for every need of a part, or else the first of each need.
fn enough(needs: &[Need]) -> Vec<&String> {
    let asking: Vec<&Need> = needs.iter().filter(|need| !need.items.is_empty()).collect();
    let Some(first) = asking.first() else {
        return Vec::new();
    };
    let for_all = first
        .items
        .iter()
        .find(|id| asking.iter().all(|need| need.items.contains(id)));
    match for_all {
        Some(id) => vec![id],
        None => asking
            .iter()
            .filter_map(|need| need.items.first())
            .collect(),
    }
}

/// The table, one row a step.
pub(super) fn rows(assessment: &Assessment, catalogue: &Catalogue) -> Vec<WearRow> {
    assessment
        .wear
        .iter()
        .map(|step| row(step, catalogue))
        .collect()
}

fn row(step: &StepWear, catalogue: &Catalogue) -> WearRow {
    let cells = |parts: &[Part]| -> Vec<Cell> {
        let mut cells: Vec<Cell> = Vec::new();
        for need in parts
            .iter()
            .filter_map(|part| step.needs.get(part))
            .flatten()
        {
            let item = need
                .items
                .first()
                .and_then(|id| catalogue.wear_item(id))
                .map(|item| item.title.clone());
            if !cells
                .iter()
                .any(|known| known.text == need.text || item.is_some() && known.item == item)
            {
                cells.push(Cell {
                    item,
                    text: need.text.clone(),
                    mark: mark(&need.origin),
                    chemicals: need.chemicals.clone(),
                    worn: need.met,
                });
            }
        }
        cells
    };
    WearRow {
        step: step.step.clone(),
        title: step.title.clone(),
        eyes: cells(&[Part::Eyes, Part::Face]),
        hands: cells(&[Part::Hands]),
        body: cells(&[Part::Body, Part::Feet]),
        breathing: cells(&[Part::Breathing]),
    }
}

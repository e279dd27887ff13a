//! The wear table.

use serde::Serialize;

use crate::assessment::{Assessment, StepWear};
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

/// The table; steps that ask for the same are one row.
pub(super) fn rows(assessment: &Assessment, catalogue: &Catalogue) -> Vec<WearRow> {
    assessment.wear.iter().map(|step| row(step, catalogue)).collect()
}

fn row(step: &StepWear, catalogue: &Catalogue) -> WearRow {
    let cells = |parts: &[Part]| -> Vec<Cell> {
        let mut cells: Vec<Cell> = Vec::new();
        for need in parts.iter().filter_map(|part| step.needs.get(part)).flatten() {
            let item = need.items.first().and_then(|id| catalogue.wear_item(id)).map(|item| item.title.clone());
            if !cells.iter().any(|known| known.text == need.text || item.is_some() && known.item == item) {
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

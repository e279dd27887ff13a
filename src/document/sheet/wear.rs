//! The wear table.

use serde::Serialize;

use crate::assessment::{Assessment, StepWear};
use crate::catalogue::Part;

use super::{Line, line};

/// One step of the wear table.
#[derive(Debug, Serialize)]
pub struct WearRow {
    step: String,
    title: String,
    eyes: Vec<Line>,
    hands: Vec<Line>,
    body: Vec<Line>,
    breathing: Vec<Line>,
}

pub(super) fn rows(assessment: &Assessment) -> Vec<WearRow> {
    assessment.wear.iter().map(row).collect()
}

fn row(step: &StepWear) -> WearRow {
    let cell = |parts: &[Part]| -> Vec<Line> {
        let mut lines: Vec<Line> = Vec::new();
        for need in parts.iter().filter_map(|part| step.needs.get(part)).flatten() {
            if !lines.iter().any(|known| known.text == need.text) {
                lines.push(line(&need.text, &need.origin));
            }
        }
        lines
    };
    WearRow {
        step: step.step.clone(),
        title: step.title.clone(),
        eyes: cell(&[Part::Eyes, Part::Face]),
        hands: cell(&[Part::Hands]),
        body: cell(&[Part::Body, Part::Feet]),
        breathing: cell(&[Part::Breathing]),
    }
}

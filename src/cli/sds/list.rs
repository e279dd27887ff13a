//! `sds list`: what is on file.

use std::path::Path;

use chrono::NaiveDate;
use clap::Args;
use serde_json::{Value, json};

use crate::data_sheet::DataSheet;
use crate::document::waste::Phrases;
use crate::plan::SheetOnFile;

use super::super::report::wrap;
use super::super::workspace::Workspace;
use super::super::{on_file, today};
use super::{Answer, Format};

/// List the data sheets on file; older revisions with --all.
#[derive(Args)]
pub struct List {
    /// Revisions too that a newer one has taken the place of.
    #[arg(long)]
    all: bool,
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

/// One line of the list.
struct Row {
    sheet: SheetOnFile,
    age_days: i64,
    superseded: bool,
}

impl List {
    pub(super) fn answer(&self, workspace: &Workspace, folder: &Path, phrases: &Phrases) -> Answer {
        let row = |sheet: &DataSheet| Row {
            sheet: on_file::facts(sheet, folder),
            age_days: (today() - sheet.revised).num_days(),
            superseded: workspace.sheets.is_superseded(sheet),
        };
        let all = workspace.sheets.all().into_iter().map(row);
        let rows: Vec<Row> = all.filter(|row| self.all || !row.superseded).collect();
        Answer {
            text: told(&rows, phrases),
            json: json!({"data_sheets": rows.iter().map(entry).collect::<Vec<_>>()}),
        }
    }
}

fn told(rows: &[Row], phrases: &Phrases) -> String {
    if rows.is_empty() {
        return wrap(&phrases.word("no_sheets"), 79).join("\n") + "\n";
    }
    let head = ["chemical", "supplier", "revised", "age", "document"];
    let head = head.map(|name| phrases.word(&format!("head_{name}")));
    let lines = rows.iter().map(|row| {
        let sheet = &row.sheet;
        let document = sheet.document.as_str().replace(' ', "_");
        let facts = json!({
            "document": phrases.word(&format!("document_{document}")),
            "replaced": row.superseded,
            "form": sheet.other_form.as_ref().map(|form| phrases.known(&form.to_string())),
        });
        let state = phrases.say("sheet_state", &facts);
        [
            sheet.chemical.clone(),
            sheet.supplier.clone(),
            sheet.revised.to_string(),
            age(row.age_days, phrases),
            state,
        ]
    });
    table(std::iter::once(head).chain(lines).collect())
}

/// Columns as wide as their widest entry. The widest gives way until all fit 79, down to its longest
/// word.
pub(super) fn table<const N: usize>(lines: Vec<[String; N]>) -> String {
    const ROOM: usize = 79;
    let length = |text: &str| text.chars().count();
    let (mut widths, mut least) = ([0; N], [0; N]);
    for line in &lines {
        for ((width, least), cell) in widths.iter_mut().zip(&mut least).zip(line) {
            *width = (*width).max(length(cell));
            *least = cell.split(' ').map(length).fold(*least, usize::max);
        }
    }
    let total = |widths: &[usize; N]| widths.iter().map(|width| width + 2).sum::<usize>();
    while total(&widths) > ROOM + 2 {
        let giving = widths.iter_mut().zip(least);
        let giving = giving.filter(|(width, least)| **width > *least);
        match giving.map(|(width, _)| width).max() {
            Some(widest) => *widest -= 1,
            None => break,
        }
    }
    lines.iter().map(|line| row(line, widths)).collect()
}

/// One row, on as many lines as its longest cell needs.
fn row<const N: usize>(cells: &[String; N], widths: [usize; N]) -> String {
    let wrapped: Vec<Vec<String>> = cells
        .iter()
        .zip(widths)
        .map(|(cell, width)| wrap(cell, width))
        .collect();
    let height = wrapped.iter().map(Vec::len).max().unwrap_or(0);
    let line = |at: usize| {
        let cells = wrapped.iter().zip(widths).map(|(cell, width)| {
            let text = cell.get(at).map_or("", String::as_str);
            format!("{text:width$}  ")
        });
        cells.collect::<String>().trim_end().to_owned() + "\n"
    };
    (0..height).map(line).collect()
}

/// `2 years 3 months`, `5 months`, `12 days`.
pub(super) fn age(days: i64, phrases: &Phrases) -> String {
    // Calendar months are 30.4 days on average; a list needs no more.
    let months = days * 12 / 365;
    let facts = json!({"years": months / 12, "months": months % 12, "days": days});
    phrases.say("age", &facts)
}

fn entry(row: &Row) -> Value {
    let sheet = &row.sheet;
    json!({
        "chemical": sheet.chemical,
        "name": sheet.name,
        "supplier": sheet.supplier,
        "revised": day(sheet.revised),
        "age_days": row.age_days,
        "file": sheet.file,
        "document": sheet.document.as_str(),
        "for_other_form": sheet.other_form.as_ref().map(ToString::to_string),
        "in_force": !row.superseded && sheet.other_form.is_none(),
    })
}

pub(super) fn day(day: NaiveDate) -> String {
    day.to_string()
}

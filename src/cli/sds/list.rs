//! `sds list`: what is on file.

use std::path::Path;

use chrono::NaiveDate;
use clap::Args;
use serde_json::{Value, json};

use crate::data_sheet::DataSheet;
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
    pub(super) fn answer(&self, workspace: &Workspace, folder: &Path) -> Answer {
        let row = |sheet: &DataSheet| Row {
            sheet: on_file::facts(sheet, folder),
            age_days: (today() - sheet.revised).num_days(),
            superseded: workspace.sheets.is_superseded(sheet),
        };
        let all = workspace.sheets.all().into_iter().map(row);
        let rows: Vec<Row> = all.filter(|row| self.all || !row.superseded).collect();
        Answer {
            text: told(&rows),
            json: json!({"data_sheets": rows.iter().map(entry).collect::<Vec<_>>()}),
        }
    }
}

fn told(rows: &[Row]) -> String {
    if rows.is_empty() {
        return "no data sheet is on file; `wetside sds add --help` tells how to put one there\n"
            .to_owned();
    }
    let head = ["chemical", "supplier", "revised", "age", "document"].map(str::to_owned);
    let lines = rows.iter().map(|row| {
        let sheet = &row.sheet;
        let state = match (row.superseded, &sheet.other_form) {
            (true, _) => format!("{}; replaced by a newer one", sheet.document.as_str()),
            (false, Some(form)) => format!("{}; for {form}", sheet.document.as_str()),
            (false, None) => sheet.document.as_str().to_owned(),
        };
        [
            sheet.chemical.clone(),
            sheet.supplier.clone(),
            sheet.revised.to_string(),
            age(row.age_days),
            state,
        ]
    });
    table(std::iter::once(head).chain(lines).collect())
}

/// Columns as wide as their widest entry.
pub(super) fn table<const N: usize>(lines: Vec<[String; N]>) -> String {
    let mut widths = [0; N];
    for line in &lines {
        for (width, cell) in widths.iter_mut().zip(line) {
            *width = (*width).max(cell.chars().count());
        }
    }
    // The last column has what room is left, and as many lines as it needs.
    let before: usize = widths.iter().take(N - 1).map(|width| width + 2).sum();
    let room = 79_usize.saturating_sub(before).max(12);
    let rest = format!("\n{}", " ".repeat(before));
    let mut text = String::new();
    for line in &lines {
        let Some((last, others)) = line.split_last() else {
            continue;
        };
        let padded = others.iter().zip(widths);
        let padded: String = padded
            .map(|(cell, width)| format!("{cell:width$}  "))
            .collect();
        text.push_str(format!("{padded}{}", wrap(last, room).join(&rest)).trim_end());
        text.push('\n');
    }
    text
}

/// `2 years 3 months`, `5 months`, `12 days`.
pub(super) fn age(days: i64) -> String {
    let plural = |count: i64, unit: &str| match count {
        1 => format!("1 {unit}"),
        _ => format!("{count} {unit}s"),
    };
    // Calendar months are 30.4 days on average; a list needs no more.
    let months = days * 12 / 365;
    match (months / 12, months % 12) {
        (0, 0) => plural(days, "day"),
        (0, months) => plural(months, "month"),
        (years, 0) => plural(years, "year"),
        (years, months) => format!("{} {}", plural(years, "year"), plural(months, "month")),
    }
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

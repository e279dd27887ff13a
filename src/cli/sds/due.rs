//! `sds due`: which data sheets to ask for, of everything the recipes and sessions here use.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use chrono::NaiveDate;
use clap::Args;
use serde_json::{Value, json};

use crate::catalogue::Chemical;
use crate::plan::{self, OnFile, Plan, Wanting};

use super::super::log::day;
use super::super::workspace::{Workspace, yaml_names};
use super::super::{Error, on_file, today};
use super::list::table;
use super::{Answer, Format};

/// List what is wanting: chemicals of the recipes and sessions here without a data sheet, with an
/// old one, one for another form, or one whose document is missing or changed.
#[derive(Args)]
pub struct Due {
    /// The day that counts, as 2026-12-03; today where left out.
    #[arg(long, value_name = "DATE", value_parser = day)]
    on: Option<NaiveDate>,
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

/// A chemical and where it is used.
struct Used {
    chemical: Arc<Chemical>,
    by: BTreeSet<String>,
}

/// One thing to ask for.
struct Row {
    chemical: String,
    wanting: &'static str,
    told: String,
    used_by: Vec<String>,
}

impl Due {
    pub(super) fn answer(&self, workspace: &Workspace, folder: &Path) -> Result<Answer, Error> {
        let (used, unread) = used(workspace, folder);
        let roots: Vec<&str> = used.values().map(|used| used.chemical.root()).collect();
        let place = workspace.place.as_ref();
        let own = place.and_then(|place| place.data_sheets_every.as_ref());
        let every = own.map(|every| every.value).or_else(OnFile::usual_age);
        let on = self.on.unwrap_or_else(today);
        let mut rows = Vec::new();
        if let Some((on_file, every)) = on_file::of(workspace, &roots).zip(every) {
            for used in used.values() {
                let wanting = on_file.wanting(&used.chemical, every, on);
                rows.extend(
                    wanting
                        .iter()
                        .map(|wanting| row(used, *wanting, &every.to_string())),
                );
            }
        }
        Ok(Answer {
            text: told(&rows, used.len(), &unread),
            json: json!({
                "day": on.to_string(),
                "due": rows.iter().map(entry).collect::<Vec<_>>(),
                "not_read": unread,
            }),
        })
    }
}

/// Everything that is opened by a recipe or session here, water aside; and the files that could
/// not be read.
fn used(workspace: &Workspace, folder: &Path) -> (BTreeMap<String, Used>, Vec<String>) {
    let (mut used, mut unread) = (BTreeMap::<String, Used>::new(), Vec::new());
    for kind in ["recipes", "sessions"] {
        for name in yaml_names(&folder.join(kind)) {
            let shown = format!("{kind}/{name}.yaml");
            let path = folder.join(kind).join(format!("{name}.yaml"));
            let planned = if kind == "recipes" {
                plan_of_recipe(workspace, &path)
            } else {
                workspace.plan_session(&path)
            };
            let Ok(plan) = planned else {
                unread.push(shown);
                continue;
            };
            for chemical in plan.chemicals().into_iter().filter(|c| c.id != "water") {
                let entry = used.entry(chemical.id.clone()).or_insert_with(|| Used {
                    chemical,
                    by: BTreeSet::new(),
                });
                entry.by.insert(name.clone());
            }
        }
    }
    (used, unread)
}

fn plan_of_recipe(workspace: &Workspace, path: &Path) -> Result<Plan, Error> {
    let (_, recipe) = workspace.recipe(path)?;
    let place = workspace.place.as_ref();
    Ok(plan::resolve_recipe(
        &recipe,
        1.0,
        place,
        &workspace.catalogue,
    )?)
}

fn row(used: &Used, wanting: Wanting<'_>, every: &str) -> Row {
    let (word, told) = match wanting {
        Wanting::Sheet => ("none on file", "none on file".to_owned()),
        Wanting::Form(sheet) => {
            let form = sheet
                .other_form
                .as_ref()
                .map_or_else(|| sheet.name.clone(), ToString::to_string);
            (
                "other form",
                format!("only for {form} ({})", sheet.supplier),
            )
        }
        Wanting::Newer(sheet) => (
            "old",
            format!(
                "of {} ({}), more than {every} old",
                sheet.revised, sheet.supplier
            ),
        ),
        Wanting::Document(sheet, path) => (
            "document missing",
            format!("{path} is missing ({})", sheet.supplier),
        ),
        Wanting::Fingerprint(sheet, path) => (
            "document changed",
            format!("{path} has changed ({})", sheet.supplier),
        ),
    };
    Row {
        chemical: used.chemical.id.clone(),
        wanting: word,
        told,
        used_by: used.by.iter().cloned().collect(),
    }
}

fn told(rows: &[Row], used: usize, unread: &[String]) -> String {
    let mut text = if rows.is_empty() {
        let plural = if used == 1 { "" } else { "s" };
        format!("nothing is due for the {used} chemical{plural} used here\n")
    } else {
        let head = ["chemical", "data sheet", "used by"].map(str::to_owned);
        let lines = rows.iter().map(|row| {
            [
                row.chemical.clone(),
                row.told.clone(),
                row.used_by.join(", "),
            ]
        });
        table(std::iter::once(head).chain(lines).collect())
    };
    for file in unread {
        text.push_str(&format!(
            "not looked at: {file} has mistakes; `wetside check` names them\n"
        ));
    }
    text
}

fn entry(row: &Row) -> Value {
    json!({
        "chemical": row.chemical,
        "wanting": row.wanting,
        "told": row.told,
        "used_by": row.used_by,
    })
}

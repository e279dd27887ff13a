//! `sds due`: which data sheets to ask for, of everything the recipes and sessions here use.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use chrono::NaiveDate;
use clap::Args;
use serde_json::{Value, json};

use crate::catalogue::Chemical;
use crate::document::waste::Phrases;
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
    pub(super) fn answer(
        &self,
        workspace: &Workspace,
        folder: &Path,
        phrases: &Phrases,
    ) -> Result<Answer, Error> {
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
                        .map(|wanting| row(used, *wanting, &every.to_string(), phrases)),
                );
            }
        }
        Ok(Answer {
            text: told(&rows, used.len(), &unread, phrases),
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

fn row(used: &Used, wanting: Wanting<'_>, every: &str, phrases: &Phrases) -> Row {
    let (word, facts) = match wanting {
        Wanting::Sheet => ("none on file", json!({})),
        Wanting::Form(sheet) => {
            let form = sheet.other_form.as_ref().map(ToString::to_string);
            let form = phrases.known(&form.unwrap_or_else(|| sheet.name.clone()));
            (
                "other form",
                json!({"form": form, "supplier": sheet.supplier}),
            )
        }
        Wanting::Newer(sheet) => {
            let revised = sheet.revised.to_string();
            let facts = json!({"revised": revised, "supplier": sheet.supplier, "every": phrases.known(every)});
            ("old", facts)
        }
        Wanting::Document(sheet, path) => {
            let facts = json!({"path": path, "supplier": sheet.supplier});
            ("document missing", facts)
        }
        Wanting::Fingerprint(sheet, path) => {
            let facts = json!({"path": path, "supplier": sheet.supplier});
            ("document changed", facts)
        }
    };
    Row {
        chemical: used.chemical.id.clone(),
        wanting: word,
        told: phrases.say(&format!("due_{}", word.replace(' ', "_")), &facts),
        used_by: used.by.iter().cloned().collect(),
    }
}

fn told(rows: &[Row], used: usize, unread: &[String], phrases: &Phrases) -> String {
    let mut text = if rows.is_empty() {
        phrases.say("nothing_due", &json!({"used": used})) + "\n"
    } else {
        let head = ["chemical", "data_sheet", "used_by"];
        let head = head.map(|name| phrases.word(&format!("head_{name}")));
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
        text.push_str(&phrases.say("not_looked_at", &json!({"file": file})));
        text.push('\n');
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

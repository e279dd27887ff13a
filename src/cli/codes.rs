//! `codes`: which codes, properties, limits and duties the rules in force give a waste.

use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, ValueEnum};
use serde_json::{Value, json};

use crate::document::{self, Wording, finding_json};
use crate::finding::Severity;
use crate::provenance::Origin;
use crate::rules::Document;
use crate::waste::{self, Determination, RulePack, WasteDescription};

use super::report::{self, Colours};
use super::words::{hanging, short_source, source};
use super::workspace::{self, Given, Workspace};
use super::{Error, exit_code, rules};

/// Say which codes, limits and duties the rules give a waste. Never says that a drain is allowed.
#[derive(Args)]
pub struct Codes {
    /// The waste file: its stream, what was measured, who holds it.
    waste: PathBuf,
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// The day the rules must still be good for; today where left out.
    #[arg(long, value_name = "DATE")]
    on: Option<chrono::NaiveDate>,
    /// Let an attention end with exit code 1 too.
    #[arg(long)]
    strict: bool,
}

#[derive(Clone, Copy, ValueEnum)]
enum Format {
    Text,
    Json,
}

impl Codes {
    /// Runs the command.
    ///
    /// # Errors
    /// When the waste file or the rules cannot be read.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, Some(&self.waste))?;
        let packs = &workspace.in_force.packs;
        rules::say_default(&workspace);
        let found = self.determine(packs, &workspace)?;
        let wording = Wording::load(workspace.catalogue.files(), "en")?;
        let house = workspace.house_of_waste(Document::Codes, std::iter::empty());
        let text = match self.format {
            Format::Json => {
                let mut json = to_json(&found, &wording, &workspace);
                if !house.is_empty() {
                    json["local_rules"] = json!(house);
                }
                format!("{json:#}\n")
            }
            Format::Text => {
                let house = document::house_text(workspace.catalogue.files(), "en", &house)?;
                to_text(packs, &found, &house, &wording, &workspace)
            }
        };
        super::output::tolerate_closed_pipe(io::stdout().lock().write_all(text.as_bytes()))?;
        let findings = found.iter().flat_map(|one| &one.findings);
        let worst = findings.map(|finding| finding.severity).max();
        Ok(exit_code(worst, self.strict))
    }

    /// One determination a place.
    fn determine(
        &self,
        packs: &[RulePack],
        workspace: &Workspace,
    ) -> Result<Vec<Determination>, Error> {
        let file = workspace::open(&self.waste)?;
        let on = self.on.unwrap_or_else(super::today);
        let mut all = Vec::new();
        for pack in packs {
            let mut waste: WasteDescription =
                waste::read(&file, &pack.streams, &workspace.catalogue)?;
            if workspace.folder.is_some() {
                waste.holder.get_or_insert(rules::holder(workspace));
            }
            let mut found = waste::determine(&waste, pack);
            found.findings.extend(pack.review_due(on));
            found.findings.extend(rules::past_review(workspace, on));
            crate::finding::sort(&mut found.findings);
            all.push(found);
        }
        Ok(all)
    }
}

/// The contract's object; with several places their lists stand one after the other, every line
/// naming its place.
fn to_json(found: &[Determination], wording: &Wording, workspace: &Workspace) -> Value {
    let each: Vec<Value> = found
        .iter()
        .map(|one| {
            waste::to_json(one, &|finding| finding_json(finding, wording), &|origin| {
                source(origin, &workspace.catalogue)
            })
        })
        .collect();
    let mut merged = match each.as_slice() {
        [only] => only.clone(),
        several => merge(several),
    };
    merged["deference"] = wording.word("deference").into();
    merged
}

fn merge(each: &[Value]) -> Value {
    let mut merged = each.first().cloned().unwrap_or(Value::Null);
    for list in [
        "codes",
        "candidates",
        "possible",
        "properties",
        "limits",
        "duties",
        "findings",
    ] {
        let lines = each.iter().flat_map(|one| {
            let lines = one[list].as_array().cloned().unwrap_or_default();
            lines.into_iter().map(|mut line| {
                line["rules"] = one["rules"].clone();
                line
            })
        });
        merged[list] = lines.collect();
    }
    merged["rules"] = each.iter().map(|one| one["rules"].clone()).collect();
    merged["hazardous"] = each
        .iter()
        .any(|one| one["hazardous"] == json!(true))
        .into();
    // Only one country knows generator categories so far.
    let generator = each.iter().find(|one| !one["generator"].is_null());
    if let Some(one) = generator {
        merged["generator"] = one["generator"].clone();
        merged["generator_source"] = one["generator_source"].clone();
    }
    merged
}

fn to_text(
    packs: &[RulePack],
    found: &[Determination],
    house: &[String],
    wording: &Wording,
    workspace: &Workspace,
) -> String {
    let mut text = String::new();
    for (pack, one) in packs.iter().zip(found) {
        let verdict = if one.hazardous {
            "hazardous waste"
        } else {
            "not shown to be hazardous waste by what is stated"
        };
        text.push_str(&format!("{}: {verdict}\n", pack.title));
        for line in lines(one, workspace) {
            text.push_str(&format!("{line}\n"));
        }
        text.push_str(&findings(one, wording));
        text.push('\n');
    }
    text.push_str(&report::section(house, 79));
    text.push_str(&report::wrap(wording.word("deference"), 79).join("\n"));
    text.push('\n');
    text
}

fn lines(found: &Determination, workspace: &Workspace) -> Vec<String> {
    let words = |origin: &Origin| short_source(origin, &workspace.catalogue);
    let code = |line: &waste::CodeLine, how: &str| {
        let text = format!("{how}{} [{}]", line.because, words(&line.origin));
        hanging(&format!("  {}", line.code), &text, 14)
    };
    let mut out: Vec<String> = Vec::new();
    for line in &found.codes {
        out.push(code(
            line,
            if line.assumed {
                "taken, not measured: "
            } else {
                ""
            },
        ));
    }
    out.extend(found.candidates.iter().map(|line| code(line, "perhaps: ")));
    out.extend(found.possible.iter().map(|line| code(line, "possible: ")));
    for line in &found.properties {
        let how = if line.certain { "" } else { "possible: " };
        let text = format!("{how}{} [{}]", line.because, words(&line.origin));
        out.push(hanging(&format!("  {}", line.hp), &text, 14));
    }
    if let Some(generator) = &found.generator {
        out.push(format!("generator category: {generator}"));
    }
    for limit in &found.limits {
        out.push(hanging(
            "  limit",
            &limit_words(limit, &words(&limit.origin)),
            14,
        ));
    }
    if let Some(empty) = &found.empty {
        let verdict = if empty.empty { "empty" } else { "not empty" };
        let text = format!("{verdict}: {} [{}]", empty.because, words(&empty.origin));
        out.push(hanging("  container", &text, 14));
    }
    for duty in &found.duties {
        let text = format!("{} [{}]", duty.text, words(&duty.origin));
        out.push(hanging(&format!("  {}", duty.kind), &text, 14));
    }
    out
}

fn limit_words(limit: &waste::LimitLine, source: &str) -> String {
    let sign = if limit.strict { "below" } else { "at most" };
    let mut text = format!("{}: {sign} {} {}", limit.what, limit.value, limit.unit);
    if let Some(actual) = limit.actual {
        text.push_str(&format!(", here {actual} {}", limit.unit));
    }
    if limit.breached {
        text.push_str(" (over)");
    }
    if let Some(until) = limit.until {
        text.push_str(&format!(", until {until}"));
    }
    format!("{text} [{source}]")
}

/// Findings in full when they weigh something, otherwise one line each.
fn findings(found: &Determination, wording: &Wording) -> String {
    let colours = Colours::for_stream(&io::stdout());
    let mut text = String::new();
    for finding in &found.findings {
        let told = wording.tell(finding);
        if finding.severity >= Severity::Attention {
            text.push_str(&report::finding(finding, &told, colours, 79));
        } else {
            text.push_str(&hanging("  note", &told.message, 14));
            text.push('\n');
        }
    }
    text
}

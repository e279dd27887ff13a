//! `catalogue audit`: whether the catalogue holds together.

use std::collections::BTreeMap;
use std::process::ExitCode;

use clap::Args;
use serde_json::{Value, json};

use crate::assessment::{Audit, Count, audit};

use super::super::Error;
use super::super::report::wrap;
use super::super::workspace::Workspace;
use super::{Answer, Format};

/// Audit the catalogue: how each datum is sourced, what is missing, what contradicts itself.
///
/// Exit code 1 on a fault.
#[derive(Args)]
pub struct AuditOf {
    /// Every kind of data, each class from memory, and who lacks what.
    #[arg(long)]
    all: bool,
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

impl AuditOf {
    pub(super) fn answer(&self, workspace: &Workspace) -> Result<Answer, Error> {
        let audit = audit(&workspace.catalogue, workspace.rules()?);
        Ok(Answer {
            text: if self.all {
                told(&audit)
            } else {
                short(&audit)
            },
            json: as_json(&audit),
            exit: ExitCode::from(u8::from(!audit.faults.is_empty())),
        })
    }
}

fn as_json(audit: &Audit) -> Value {
    let counts = |counts: &BTreeMap<String, Count>| -> Vec<Value> {
        let with_share = |(kind, count): (&String, &Count)| json!({"kind": kind, "data": count, "total": count.total(), "sourced_percent": count.sourced_percent()});
        counts.iter().map(with_share).collect()
    };
    let all = Count::sum(audit.sourcing.of_chemicals.values());
    let hazards = audit.sourcing.hazard_data();
    json!({
        "chemicals": audit.chemicals,
        "data": all,
        "sourced_percent": all.sourced_percent(),
        "hazard_data": hazards,
        "hazard_data_sourced_percent": hazards.sourced_percent(),
        "of_chemicals": counts(&audit.sourcing.of_chemicals),
        "of_tables": counts(&audit.sourcing.of_tables),
        "classes_from_memory": audit.classes_from_memory,
        "missing": audit.missing,
        "sources": audit.sourcing.sources,
        "faults": audit.faults,
    })
}

/// The worst first: faults, then what is least sourced, then what is not known.
fn short(audit: &Audit) -> String {
    const FAULTS: usize = 8;
    let faults = &audit.faults;
    let mut text = format!("{} chemicals, faults: {}\n", audit.chemicals, faults.len());
    for fault in faults.iter().take(FAULTS) {
        text.push_str(&indented(&format!("{}: {}", fault.file, fault.message)));
    }
    if faults.len() > FAULTS {
        text.push_str(&indented(&format!("and {} more", faults.len() - FAULTS)));
    }
    text.push_str(&summed("the chemicals", &audit.sourcing.of_chemicals));
    let hazards = audit.sourcing.hazard_data();
    text.push_str(&indented(&format!(
        "without look-alikes and uses {:.0} % of {}",
        hazards.sourced_percent(),
        hazards.total()
    )));
    text.push_str(&summed("the tables", &audit.sourcing.of_tables));
    let memory: Vec<&str> = audit
        .classes_from_memory
        .iter()
        .map(|line| line.split(':').next().unwrap_or(line))
        .collect();
    let (count, names) = (memory.len(), few(&memory));
    text.push_str(&paragraph(&format!(
        "Chemicals with classes printed from memory: {count} ({names})"
    )));
    let mut lacking: Vec<(&str, usize)> = by_what(audit)
        .into_iter()
        .map(|(what, ids)| (what, ids.len()))
        .collect();
    lacking.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let lacking: Vec<String> = lacking
        .into_iter()
        .map(|(what, count)| format!("{what} {count}"))
        .collect();
    text.push_str(&paragraph(&format!(
        "Not known, by how many chemicals: {}",
        lacking.join(", ")
    )));
    text.push_str("\n`--all` prints every kind of data, each class, and who lacks what\n");
    text
}

/// What share is sourced, and the kinds with the least.
fn summed(of_what: &str, counts: &BTreeMap<String, Count>) -> String {
    const LEAST: usize = 5;
    let all = Count::sum(counts.values());
    let mut least: Vec<(&String, &Count)> = counts.iter().collect();
    least.sort_by(|a, b| a.1.sourced_percent().total_cmp(&b.1.sourced_percent()));
    let least: Vec<String> = least
        .into_iter()
        .take(LEAST)
        .map(|(kind, count)| format!("{kind} {:.0} %", count.sourced_percent()))
        .collect();
    paragraph(&format!(
        "Data of {of_what}: {:.0} % of {} sourced; least: {}",
        all.sourced_percent(),
        all.total(),
        least.join(", ")
    ))
}

fn paragraph(text: &str) -> String {
    format!("{}\n", wrap(text, 79).join("\n  "))
}

fn told(audit: &Audit) -> String {
    let mut text = format!("{} chemicals\n\n", audit.chemicals);
    text.push_str(&counted(
        "Data of the chemicals",
        &audit.sourcing.of_chemicals,
    ));
    text.push_str(&format!(
        "  without look-alikes and uses: {:.0} % of {} sourced\n\n",
        audit.sourcing.hazard_data().sourced_percent(),
        audit.sourcing.hazard_data().total()
    ));
    text.push_str(&counted("Data of the tables", &audit.sourcing.of_tables));
    text.push_str(&format!(
        "Classes printed from memory: {}\n",
        audit.classes_from_memory.len()
    ));
    for line in &audit.classes_from_memory {
        text.push_str(&indented(line));
    }
    text.push_str("\nNot known, by how many chemicals\n");
    for (what, ids) in by_what(audit) {
        text.push_str(&indented(&format!("{what}: {} ({})", ids.len(), few(&ids))));
    }
    text.push_str(&format!("\nFaults: {}\n", audit.faults.len()));
    for fault in &audit.faults {
        text.push_str(&indented(&format!("{}: {}", fault.file, fault.message)));
    }
    text
}

fn counted(title: &str, counts: &BTreeMap<String, Count>) -> String {
    let mut text = format!(
        "{title:27}{:>10}{:>6}{:>9}{:>9}{:>8}{:>10}\n",
        "published", "local", "computed", "practice", "memory", "sourced"
    );
    let row = |name: &str, count: &Count| {
        format!(
            "{name:27}{:>10}{:>6}{:>9}{:>9}{:>8}{:>8.0} %\n",
            count.published,
            count.local,
            count.computed,
            count.practice,
            count.memory,
            count.sourced_percent()
        )
    };
    for (kind, count) in counts {
        text.push_str(&row(&format!("  {kind}"), count));
    }
    text.push_str(&row("  all", &Count::sum(counts.values())));
    text.push('\n');
    text
}

fn by_what(audit: &Audit) -> BTreeMap<&str, Vec<&str>> {
    let mut found: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for missing in &audit.missing {
        for what in &missing.what {
            found.entry(what).or_default().push(&missing.id);
        }
    }
    found
}

/// The first few of a long list; JSON has them all.
fn few(ids: &[&str]) -> String {
    const FEW: usize = 6;
    let more = if ids.len() > FEW { ", …" } else { "" };
    let shown: Vec<&str> = ids.iter().take(FEW).copied().collect();
    format!("{}{more}", shown.join(", "))
}

fn indented(line: &str) -> String {
    format!("  {}\n", wrap(line, 76).join("\n    "))
}

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
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

impl AuditOf {
    pub(super) fn answer(&self, workspace: &Workspace) -> Result<Answer, Error> {
        let audit = audit(&workspace.catalogue, workspace.rules()?);
        Ok(Answer {
            text: told(&audit),
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

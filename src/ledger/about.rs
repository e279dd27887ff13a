//! What there is to say of a container, a bottle or a bath.

use chrono::NaiveDate;

use crate::finding::{self, Finding, Severity, Subject};
use crate::provenance::Basis;

use super::tally::{ContainerLine, KeepingLine, Tally};

/// Everything there is to say of a tally, the weightiest first.
pub fn all(tally: &Tally) -> Vec<Finding> {
    let containers = tally.containers.iter();
    let mut findings: Vec<Finding> = containers
        .flat_map(|line| container(line, tally.as_of))
        .collect();
    let baths = tally.keeping.iter();
    findings.extend(baths.flat_map(|line| keeping(line, tally.as_of)));
    findings.extend(unaccounted(tally.unaccounted_l));
    finding::sort(&mut findings);
    findings
}

/// Full, past its day, of unknown contents.
fn container(line: &ContainerLine, as_of: NaiveDate) -> Vec<Finding> {
    /// From here on there is hardly room for a bath and a hand's breadth of air (practice).
    const NEARLY_FULL: f64 = 0.9;
    let subject = || Subject::Solution(line.name.clone());
    let mut findings = Vec::new();
    if let Some(capacity) = line
        .capacity
        .filter(|capacity| line.held >= NEARLY_FULL * capacity)
    {
        findings.push(
            Finding::new("ledger/nearly-full", Severity::Attention, subject())
                .fact("place", line.name.as_str())
                .fact("held", line.held)
                .fact("capacity", capacity),
        );
    }
    if let Some(deadline) = line.deadlines.first().filter(|first| first.day < as_of) {
        findings.push(
            Finding::new("ledger/past-day-limit", Severity::Stop, subject())
                .fact("place", line.name.as_str())
                .fact("days", line.days)
                .fact("until", deadline.day.to_string())
                .fact("rules", deadline.rules.as_str())
                .because(Basis::fact(&deadline.what, &deadline.origin)),
        );
    }
    if line.stream == "unknown" && line.held > 0.0 {
        findings.push(
            Finding::new("ledger/unknown-contents", Severity::Attention, subject())
                .fact("place", line.name.as_str()),
        );
    }
    findings
}

/// Past its keeping time, or exhausted.
fn keeping(line: &KeepingLine, as_of: NaiveDate) -> Vec<Finding> {
    let subject = || Subject::Solution(line.place.clone());
    let mut findings = Vec::new();
    if let Some(until) = line.keeps_until.filter(|until| *until < as_of) {
        findings.push(
            Finding::new("ledger/past-keeping-time", Severity::Attention, subject())
                .fact("place", line.place.as_str())
                .fact("what", line.what.as_str())
                .fact("until", until.to_string()),
        );
    }
    if let Some(capacity) = line
        .capacity_m2
        .filter(|capacity| line.area_m2 >= *capacity)
    {
        findings.push(
            Finding::new("ledger/exhausted", Severity::Attention, subject())
                .fact("place", line.place.as_str())
                .fact("area_m2", hundredths(line.area_m2))
                .fact("capacity_m2", hundredths(capacity)),
        );
    }
    findings
}

/// Litres that are nowhere.
fn unaccounted(litres: f64) -> Option<Finding> {
    (litres != 0.0).then(|| {
        Finding::new("ledger/unaccounted", Severity::Attention, Subject::Session)
            .fact("litres", litres)
    })
}

fn hundredths(value: f64) -> f64 {
    libm::round(value * 100.0) / 100.0
}

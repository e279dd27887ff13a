//! What the holder must do, and what limits a drain.

use crate::finding::{Finding, Severity, Subject};
use crate::provenance::Basis;

use super::condition::SoFar;
use super::description::WasteDescription;
use super::determination::DutyLine;
use super::facts::{Facts, METALS};
use super::pack::RulePack;
use super::rules::{DrainRule, Effect, TextRule};
use super::when::Answer;

/// The duties in force, in the order of the rule file.
pub fn duties(rules: &[TextRule], facts: &Facts, so_far: &SoFar) -> Vec<DutyLine> {
    rules
        .iter()
        .filter(|rule| rule.unless.test(facts, so_far).answer != Answer::Yes)
        .filter(|rule| rule.when.test(facts, so_far).answer >= Answer::Assumed)
        .map(|rule| DutyLine {
            id: rule.id.clone(),
            kind: rule.kind.clone(),
            text: rule.text.clone(),
            origin: rule.from.clone(),
        })
        .collect()
}

/// What limits or forbids the drain: duties to print, and findings.
///
/// A rule that may hold forbids as if it did. Nothing here can allow.
pub fn drain(facts: &Facts, pack: &RulePack, so_far: &SoFar) -> (Vec<DutyLine>, Vec<Finding>) {
    let mut lines = Vec::new();
    let mut findings = Vec::new();
    let asked = facts.waste.drain.is_some();
    for rule in &pack.drain {
        let answer = rule.when.test(facts, so_far).answer;
        let excluded = rule.unless.test(facts, so_far).answer == Answer::Yes;
        if answer == Answer::No || excluded || (!asked && rule.effect != Effect::Ask) {
            continue;
        }
        lines.push(line(rule));
        if rule.effect == Effect::Forbids {
            findings.push(forbidden(rule, facts.waste));
        }
    }
    findings.extend(local_limits(facts));
    if asked {
        findings.push(
            Finding::new(
                "waste/drain-not-allowed-here",
                Severity::Attention,
                subject(facts.waste),
            )
            .fact("place", pack.title.as_str()),
        );
    }
    (lines, findings)
}

fn line(rule: &DrainRule) -> DutyLine {
    let kind = match rule.effect {
        Effect::Forbids => "drain forbidden",
        Effect::Limits => "drain limit",
        Effect::Notice => "drain notice",
        Effect::Asks => "drain consent",
        Effect::Ask => "drain",
    };
    DutyLine {
        id: rule.id.clone(),
        kind: kind.to_owned(),
        text: rule.text.clone(),
        origin: rule.from.clone(),
    }
}

fn forbidden(rule: &DrainRule, waste: &WasteDescription) -> Finding {
    Finding::new("waste/drain-forbidden", Severity::Stop, subject(waste))
        .fact("rule", rule.text.as_str())
        .because(Basis::fact(&rule.id, &rule.from))
}

/// The works' own metal limits, as the person gave them: any figure that is over, or not known.
fn local_limits(facts: &Facts) -> Vec<Finding> {
    let Some(drain) = &facts.waste.drain else {
        return Vec::new();
    };
    drain
        .local_mg_per_l
        .iter()
        .filter_map(|(metal, limit)| local_limit(facts, metal, *limit))
        .collect()
}

fn local_limit(facts: &Facts, metal: &str, limit: f64) -> Option<Finding> {
    use super::facts::Known;
    let known_metal = METALS.iter().any(|(name, _)| *name == metal);
    let measured = facts.waste.mg_per_l.get(metal).copied();
    let value = match facts.metal(metal) {
        _ if measured.is_some() => measured,
        Known::Computed(value) if known_metal && value > 0.0 => Some(value),
        Known::Usual { high, .. } => Some(high),
        _ => None,
    };
    if value.is_some_and(|value| value <= limit) {
        return None;
    }
    let code = match value {
        Some(_) => "waste/over-local-limit",
        None => "waste/local-limit-not-measured",
    };
    Some(
        Finding::new(code, Severity::Stop, subject(facts.waste))
            .fact("metal", metal)
            .fact("mg_per_l", value)
            .fact("measured", measured.is_some())
            .fact("limit_mg_per_l", limit),
    )
}

fn subject(waste: &WasteDescription) -> Subject {
    Subject::Solution(waste.name.clone())
}

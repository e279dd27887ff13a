//! Hazardous properties from the composition, by the concentration limits of the rule file.

use serde_json::json;

use crate::finding::{Finding, Severity, Subject};
use crate::provenance::Basis;
use crate::units::significant;

use super::chemical::matches_class;
use super::description::WasteDescription;
use super::determination::PropertyLine;
use super::facts::{Facts, Known, Part};
use super::pack::RulePack;
use super::rules::{EachRule, LenientNotes, PropertyRule, SumRule};

/// What the property rules came to.
#[derive(Default)]
pub struct Properties {
    /// The properties the waste has.
    pub lines: Vec<PropertyLine>,
    /// What could not be judged, and what another reading would say.
    pub findings: Vec<Finding>,
}

/// Runs every property rule over a waste.
pub fn determine(facts: &Facts, pack: &RulePack) -> Properties {
    let mut found = Properties::default();
    for rule in &pack.properties {
        let barred = rule.unless_property.as_ref().is_some_and(|other| {
            found
                .lines
                .iter()
                .any(|line| line.hp == *other && !line.by_ph)
        });
        if barred {
            continue;
        }
        match judge(rule, facts, pack.lenient_notes.as_ref()) {
            Verdict::Has(line) => found.lines.push(line),
            Verdict::HasUnless(line, finding) => {
                found.lines.push(line);
                found.findings.push(finding);
            }
            Verdict::NotJudged(finding) => found.findings.push(finding),
            Verdict::HasNot => {}
        }
    }
    found.lines.sort_by_key(|line| number(&line.hp));
    found
}

fn number(hp: &str) -> u32 {
    let digits: String = hp.chars().filter(char::is_ascii_digit).collect();
    digits.parse().unwrap_or(u32::MAX)
}

enum Verdict {
    Has(PropertyLine),
    HasUnless(PropertyLine, Finding),
    NotJudged(Finding),
    HasNot,
}

fn judge(rule: &PropertyRule, facts: &Facts, notes: Option<&LenientNotes>) -> Verdict {
    let by_sum = rule
        .sums
        .iter()
        .find_map(|sum| reached_together(sum, &facts.parts));
    let by_each = rule
        .each
        .iter()
        .find_map(|each| reached_alone(each, &facts.parts));
    if let Some((because, parts)) = by_sum.or(by_each) {
        let line = line(rule, because);
        return match notes.and_then(|notes| softened(rule, &line, &parts, notes)) {
            Some(finding) => Verdict::HasUnless(line.unsure(), finding),
            None => Verdict::Has(line),
        };
    }
    judge_flash_point(rule, facts)
        .or_else(|| judge_ph(rule, facts))
        .or_else(|| judge_presence(rule, facts))
        .unwrap_or(Verdict::HasNot)
}

fn judge_flash_point(rule: &PropertyRule, facts: &Facts) -> Option<Verdict> {
    let bound = rule.flash_point.as_ref()?;
    match facts.flash_point() {
        Known::Measured(value) if bound.holds(value) => Some(Verdict::Has(line(
            rule,
            format!("flash point {value} °C {}", bound.text("°C")),
        ))),
        Known::Measured(_) => Some(Verdict::HasNot),
        Known::Usual { low, high, .. } if bound.holds(low) && bound.holds(high) => {
            let because = format!("flash point not measured, usually {low} to {high} °C");
            Some(Verdict::Has(line(rule, because).unsure()))
        }
        _ => None,
    }
}

/// An extreme pH points to corrosion unless the reserve of acid or alkali is low.
fn judge_ph(rule: &PropertyRule, facts: &Facts) -> Option<Verdict> {
    let bound = rule.extreme_ph.as_ref()?;
    let ph = facts.waste.ph?;
    let low = bound
        .at_most
        .filter(|limit| ph <= *limit)
        .map(|limit| format!("pH {ph} <= {limit:?}"));
    let high = bound
        .at_least
        .filter(|limit| ph >= *limit)
        .map(|limit| format!("pH {ph} >= {limit:?}"));
    let because = low.or(high)?;
    let mut line = line(
        rule,
        format!("{because}, unless the acid or alkali reserve is low"),
    )
    .unsure();
    line.by_ph = true;
    if let Some(origin) = &rule.extreme_ph_from {
        line.origin = origin.clone();
    }
    Some(Verdict::Has(line))
}

/// Where the rule gives no percentage: an unused chemical has the property, a mixture must be tested.
fn judge_presence(rule: &PropertyRule, facts: &Facts) -> Option<Verdict> {
    let (part, statement) = rule.presence.iter().find_map(|statement| {
        let part = facts
            .parts
            .iter()
            .find(|part| part.chemical.has_statement(statement))?;
        Some((part, statement))
    })?;
    let name = &part.chemical.name;
    if facts.waste.sole_unused().is_some() {
        return Some(Verdict::Has(line(
            rule,
            format!("unused {name} is classified {statement}"),
        )));
    }
    let finding = Finding::new("waste/property-not-judged", Severity::Note, subject(facts))
        .fact("property", rule.hp.as_str())
        .fact("title", rule.title.as_str())
        .fact("chemical", name.as_str())
        .fact("statement", statement.as_str())
        .because(Basis::fact(&rule.hp, &rule.from));
    Some(Verdict::NotJudged(finding))
}

fn line(rule: &PropertyRule, because: String) -> PropertyLine {
    PropertyLine {
        hp: rule.hp.clone(),
        because: format!("{}: {because}", rule.title),
        certain: true,
        by_ph: false,
        origin: rule.from.clone(),
    }
}

fn subject(facts: &Facts) -> Subject {
    Subject::Solution(facts.waste.name.clone())
}

type Reached<'p, 'a> = Option<(String, Vec<&'p Part<'a>>)>;

fn reached_alone<'p, 'a>(rule: &EachRule, parts: &'p [Part<'a>]) -> Reached<'p, 'a> {
    parts.iter().find_map(|part| {
        let kind = rule.of.iter().find(|kind| is_classed(part, kind))?;
        let statement = kind.rsplit(' ').next().unwrap_or(kind);
        (part.percent >= rule.at_least).then(|| {
            let because = format!(
                "{} ({statement}) {} % >= {:?} %",
                part.chemical.name,
                significant(part.percent, 4),
                rule.at_least
            );
            (because, vec![part])
        })
    })
}

/// Each part counts once, by the heaviest weight it earns, and not below its cut-off.
fn reached_together<'p, 'a>(rule: &SumRule, parts: &'p [Part<'a>]) -> Reached<'p, 'a> {
    let mut sum = 0.0;
    let mut counted = Vec::new();
    for part in parts {
        let weight = terms(rule)
            .filter(|(kind, _, cut_off)| is_classed(part, kind) && part.percent >= *cut_off)
            .map(|(_, weight, _)| weight)
            .fold(0.0, f64::max);
        if weight > 0.0 {
            sum += weight * part.percent;
            counted.push(part);
        }
    }
    // Ten decimal places: a sum that meets its limit on paper must meet it here.
    let sum = libm::round(sum * 1e10) / 1e10;
    (!counted.is_empty() && sum >= rule.at_least).then(|| {
        let names: Vec<&str> = counted
            .iter()
            .map(|part| part.chemical.name.as_str())
            .collect();
        let kinds: Vec<&str> = terms(rule).map(|(kind, _, _)| kind).collect();
        let because = format!(
            "{}sum of {} = {} % >= {:?} % ({})",
            if rule.weighted.is_empty() {
                ""
            } else {
                "weighted "
            },
            kinds.join(", "),
            significant(sum, 4),
            rule.at_least,
            names.join(", ")
        );
        (because, counted)
    })
}

fn terms(rule: &SumRule) -> impl Iterator<Item = (&str, f64, f64)> {
    let plain = rule
        .of
        .iter()
        .map(|kind| (kind.as_str(), 1.0, rule.cut_off));
    let weighted = rule.weighted.iter().map(|(kind, weight)| {
        (
            kind.as_str(),
            *weight,
            rule.cut_offs.get(kind).copied().unwrap_or(rule.cut_off),
        )
    });
    plain.chain(weighted)
}

fn is_classed(part: &Part, kind: &str) -> bool {
    part.chemical
        .classification
        .iter()
        .flatten()
        .any(|line| matches_class(line, kind))
}

/// A property reached only by acids sold at many strengths: a collector may read it milder.
fn softened(
    rule: &PropertyRule,
    line: &PropertyLine,
    parts: &[&Part],
    notes: &LenientNotes,
) -> Option<Finding> {
    let touched = |part: &&&Part| {
        part.percent < 100.0
            && (part.chemical.notes.iter())
                .any(|n| notes.softens.contains(n) && notes.notes.contains(n))
    };
    let part = parts.iter().find(touched)?;
    Some(
        Finding::new(
            "waste/milder-reading",
            Severity::Note,
            Subject::Chemical(part.chemical.name.clone()),
        )
        .fact("property", rule.hp.as_str())
        .fact("because", line.because.as_str())
        .fact("note", "B")
        .because(Basis::fact("notes of the harmonised entries", &notes.from)),
    )
}

/// What to say where the properties were not worked out at all.
pub fn not_worked_out(facts: &Facts, pack: &RulePack) -> Option<Finding> {
    if pack.properties.is_empty() || facts.composition_known() {
        return None;
    }
    let code = if facts.parts.is_empty() {
        "waste/properties-unknown"
    } else {
        "waste/composition-incomplete"
    };
    Some(Finding::new(code, Severity::Note, subject(facts)))
}

/// Properties that come when the classes others add to the harmonised entries are counted too.
pub fn stricter(
    waste: &WasteDescription,
    pack: &RulePack,
    strict: &[PropertyLine],
) -> Option<Finding> {
    let mut waste = waste.clone();
    let mut added = Vec::new();
    for part in &mut waste.contains {
        let chemical = &part.chemical;
        let classes: Vec<String> = chemical.also.iter().map(ToString::to_string).collect();
        if !classes.is_empty() {
            added.push(json!({"chemical": chemical.name, "classes": classes}));
        }
        part.chemical = chemical.with_all_classes();
    }
    if added.is_empty() {
        return None;
    }
    let facts = Facts::of(&waste, pack);
    let all = determine(&facts, pack).lines;
    let more = all.into_iter().map(|line| line.hp);
    let more: Vec<String> = more
        .filter(|hp| strict.iter().all(|line| line.hp != *hp))
        .collect();
    (!more.is_empty()).then(|| {
        Finding::new(
            "waste/stricter-reading",
            Severity::Attention,
            subject(&facts),
        )
        .fact("properties", more)
        .fact("added", added)
    })
}

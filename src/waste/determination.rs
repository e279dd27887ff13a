//! The whole determination of one waste.

use chrono::NaiveDate;

use crate::finding::{self, Finding, Severity, Subject};
use crate::provenance::{Basis, Origin};

use super::condition::SoFar;
use super::description::{Holder, WasteDescription};
use super::empty::{self, EmptyLine};
use super::facts::Facts;
use super::pack::RulePack;
use super::{codes, duties, generator, properties};

/// One code.
#[derive(Debug, Clone, PartialEq)]
pub struct CodeLine {
    /// The code, with its star where it has one.
    pub code: String,
    /// The figure and the limit that gave it.
    pub because: String,
    /// Acute hazardous waste.
    pub acute: bool,
    /// Taken from what the stream usually is, not from a measurement.
    pub assumed: bool,
    /// The rule.
    pub origin: Origin,
}

/// One hazardous property.
#[derive(Debug, Clone, PartialEq)]
pub struct PropertyLine {
    /// `HP 14`
    pub hp: String,
    /// The figure and the limit that gave it.
    pub because: String,
    /// Whether another reading of the rules is excluded.
    pub certain: bool,
    /// Taken from the pH alone, so that it rules nothing milder out.
    pub by_ph: bool,
    /// The rule.
    pub origin: Origin,
}

impl PropertyLine {
    pub(super) fn unsure(self) -> Self {
        Self {
            certain: false,
            ..self
        }
    }
}

/// One limit in force.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitLine {
    /// Stable name.
    pub id: String,
    /// What is limited.
    pub what: String,
    /// What is measured against it: `month_kg`, `days` …
    pub measure: &'static str,
    /// The limit, in its unit.
    pub value: f64,
    /// The unit.
    pub unit: String,
    /// Whether the limit itself is already too much.
    pub strict: bool,
    /// What is known of the actual figure, in the same unit.
    pub actual: Option<f64>,
    /// Whether it is broken.
    pub breached: bool,
    /// The last day, where it is a limit of time and its beginning is known.
    pub until: Option<NaiveDate>,
    /// The rule.
    pub origin: Origin,
}

/// One thing the holder must do or ask.
#[derive(Debug, Clone, PartialEq)]
pub struct DutyLine {
    /// Stable name.
    pub id: String,
    /// Marking, record, storage, drain limit …
    pub kind: String,
    /// What to do, one or two sentences.
    pub text: String,
    /// The rule.
    pub origin: Origin,
}

/// What the rules in force make of a waste.
#[derive(Debug, Clone, Default)]
pub struct Determination {
    /// Whose rules.
    pub place: String,
    /// Every code the waste takes.
    pub codes: Vec<CodeLine>,
    /// Entries a collector may choose among.
    pub candidates: Vec<CodeLine>,
    /// Codes that a missing measurement may bring.
    pub possible: Vec<CodeLine>,
    /// Hazardous properties.
    pub properties: Vec<PropertyLine>,
    /// Whether it is hazardous waste; where nobody knows, yes.
    pub hazardous: bool,
    /// Generator category, where the rules know one and the month is known.
    pub generator: Option<String>,
    /// The rule that sets the category.
    pub generator_origin: Option<Origin>,
    /// Limits in force.
    pub limits: Vec<LimitLine>,
    /// Duties in force.
    pub duties: Vec<DutyLine>,
    /// Whether an emptied container counts as empty, when asked.
    pub empty: Option<EmptyLine>,
    /// What else there is to say.
    pub findings: Vec<Finding>,
}

/// Determines codes, properties, category, limits and duties of a waste.
///
/// Pure: the same description and rules give the same determination.
pub fn determine(waste: &WasteDescription, pack: &RulePack) -> Determination {
    let facts = Facts::of(waste, pack);
    let properties = properties::determine(&facts, pack);
    let mut so_far = SoFar {
        has_property: !properties.lines.is_empty(),
        ..SoFar::default()
    };
    let mut found = codes::determine(&facts, pack, &so_far);
    let outside = duties::duties(&pack.outside, &facts, &so_far);
    let mut findings = properties.findings;
    findings.extend(properties::not_worked_out(&facts, pack));
    findings.extend(properties::stricter(waste, pack, &properties.lines));
    findings.extend(code_findings(waste, &found, &facts));
    if let Some(rule) = outside.first() {
        findings.push(outside_finding(waste, rule, &found.given));
        found.given.clear();
        found.possible.clear();
    }

    so_far.codes = found.given.iter().map(|line| line.code.clone()).collect();
    so_far.hazardous = is_hazardous(&found, pack, outside.is_empty(), &facts);
    so_far.month_kg = waste
        .made_this_month_kg
        .or_else(|| own_mass(&facts, &so_far));
    so_far.acute_kg = acute_mass(waste, &facts, &found.given);
    let category = outside
        .is_empty()
        .then(|| generator::category(&facts, pack, &so_far))
        .flatten();
    so_far.generator = category.map(|rule| rule.name.clone());
    if waste.made_this_month_kg.is_none() && !pack.generators.is_empty() && outside.is_empty() {
        findings.push(
            Finding::new("waste/month-not-stated", Severity::Note, subject(waste))
                .fact("counted_kg", so_far.month_kg),
        );
    }

    let limits = generator::limits(&facts, pack, &so_far);
    findings.extend(
        limits
            .iter()
            .filter(|limit| limit.breached)
            .map(|limit| breach(waste, limit)),
    );
    let mut all_duties = outside;
    all_duties.extend(duties::duties(&pack.duties, &facts, &so_far));
    let (drain_lines, drain_findings) = duties::drain(&facts, pack, &so_far);
    all_duties.extend(drain_lines);
    findings.extend(drain_findings);
    findings.extend(not_judged(waste, &facts, pack, &so_far));
    finding::sort(&mut findings);

    Determination {
        place: pack.place.clone(),
        codes: found.given,
        candidates: found.candidates,
        possible: found.possible,
        properties: properties.lines,
        hazardous: so_far.hazardous,
        generator: so_far.generator,
        generator_origin: category.map(|rule| rule.from.clone()),
        limits,
        duties: all_duties,
        empty: judge_empty(waste, pack),
        findings,
    }
}

fn subject(waste: &WasteDescription) -> Subject {
    Subject::Solution(waste.name.clone())
}

/// Starred entries, any code where all codes are hazardous ones, or not knowing.
fn is_hazardous(found: &codes::Codes, pack: &RulePack, inside: bool, facts: &Facts) -> bool {
    let stars = pack.choose == super::rules::Choose::First;
    let starred = |line: &CodeLine| !stars || line.code.ends_with('*');
    let by_code = found.given.iter().any(starred);
    let undecided = found.given.is_empty()
        && (found.candidates.iter().any(starred) || !found.possible.is_empty());
    inside && (by_code || undecided || facts.composition_unknown())
}

/// Where the month was not stated, at least this waste itself counts.
fn own_mass(facts: &Facts, so_far: &SoFar) -> Option<f64> {
    facts.mass_kg().filter(|_| so_far.hazardous)
}

fn acute_mass(waste: &WasteDescription, facts: &Facts, codes: &[CodeLine]) -> Option<f64> {
    let own = facts
        .mass_kg()
        .filter(|_| codes.iter().any(|line| line.acute));
    match (waste.acute_this_month_kg, own) {
        (Some(stated), Some(own)) => Some(stated.max(own)),
        (stated, own) => stated.or(own),
    }
}

fn code_findings(waste: &WasteDescription, found: &codes::Codes, facts: &Facts) -> Vec<Finding> {
    let mut findings = Vec::new();
    if facts.composition_unknown() {
        findings.push(Finding::new(
            "waste/unknown-composition",
            Severity::Attention,
            subject(waste),
        ));
    }
    for line in found.given.iter().filter(|line| line.assumed) {
        findings.push(about_code(
            "waste/code-assumed",
            Severity::Attention,
            waste,
            line,
        ));
    }
    for line in &found.possible {
        findings.push(about_code(
            "waste/code-possible",
            Severity::Attention,
            waste,
            line,
        ));
    }
    let by_memory = |line: &&CodeLine| line.origin == Origin::Memory;
    for line in found.given.iter().filter(by_memory) {
        findings.push(about_code(
            "waste/rule-from-memory",
            Severity::Note,
            waste,
            line,
        ));
    }
    if !found.candidates.is_empty() {
        let codes: Vec<&str> = found
            .candidates
            .iter()
            .map(|line| line.code.as_str())
            .collect();
        let finding = Finding::new("waste/no-entry", Severity::Attention, subject(waste))
            .fact("stream", waste.stream.as_str())
            .fact("candidates", codes);
        findings.push(finding);
    }
    findings
}

fn about_code(
    code: &str,
    severity: Severity,
    waste: &WasteDescription,
    line: &CodeLine,
) -> Finding {
    Finding::new(code, severity, subject(waste))
        .fact("code", line.code.as_str())
        .fact("because", line.because.as_str())
        .because(Basis::fact(&line.code, &line.origin))
}

fn outside_finding(waste: &WasteDescription, rule: &DutyLine, would_be: &[CodeLine]) -> Finding {
    let codes: Vec<&str> = would_be.iter().map(|line| line.code.as_str()).collect();
    Finding::new(
        "waste/outside-the-rules",
        Severity::Attention,
        subject(waste),
    )
    .fact("rule", rule.text.as_str())
    .fact("would_be", codes)
    .fact("private", waste.holder() == Holder::Private)
    .because(Basis::fact(&rule.id, &rule.origin))
}

fn breach(waste: &WasteDescription, limit: &LimitLine) -> Finding {
    Finding::new("waste/over-limit", Severity::Stop, subject(waste))
        .fact("what", limit.what.as_str())
        .fact("actual", limit.actual)
        .fact("limit", limit.value)
        .fact("unit", limit.unit.as_str())
        .because(Basis::fact(&limit.id, &limit.origin))
}

fn not_judged(
    waste: &WasteDescription,
    facts: &Facts,
    pack: &RulePack,
    so_far: &SoFar,
) -> Vec<Finding> {
    use super::when::Answer;
    pack.not_judged
        .iter()
        .filter(|rule| rule.unless.test(facts, so_far).answer != Answer::Yes)
        .filter(|rule| rule.when.test(facts, so_far).answer > Answer::No)
        .map(|rule| {
            Finding::new("waste/not-judged", Severity::Note, subject(waste))
                .fact("about", rule.about.as_str())
                .because(Basis::fact(&rule.id, &rule.from))
        })
        .collect()
}

fn judge_empty(waste: &WasteDescription, pack: &RulePack) -> Option<EmptyLine> {
    let emptied = waste.emptied.as_ref()?;
    let rule = pack.empty.as_ref()?;
    let acute = emptied.held.as_ref().is_some_and(|chemical| {
        let held = WasteDescription {
            unused: Some(chemical.clone()),
            ..WasteDescription::default()
        };
        let facts = Facts::of(&held, pack);
        let codes = codes::determine(&facts, pack, &SoFar::default());
        codes.given.iter().any(|line| line.acute)
    });
    Some(empty::judge(emptied, acute, rule))
}

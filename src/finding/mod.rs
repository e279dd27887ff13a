//! What the tool has to say against a plan: one kind of thing, data until it is printed.

use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::provenance::Basis;
use crate::source::Place;

/// How much a finding weighs. Not GHS signal words: those belong to labels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Good to know.
    Note,
    /// Take care of it.
    Attention,
    /// Do not begin until this is settled.
    Stop,
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Note => "note",
            Self::Attention => "attention",
            Self::Stop => "stop",
        })
    }
}

/// A stable code, `room/slug`. Title, explanation and wording of each stand in
/// `templates/findings.yaml`; a test fails on a code without them.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(transparent)]
pub struct Code(String);

impl Code {
    /// A code by its text.
    pub fn new(text: impl Into<String>) -> Self {
        Self(text.into())
    }

    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// What a finding is about.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// The session as a whole, or the place.
    Session,
    /// A solution, by its title.
    Solution(String),
    /// A step of a solution: title and number from 1.
    Step(String, usize),
    /// A chemical, by its name.
    Chemical(String),
}

impl fmt::Display for Subject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Session => f.write_str("session"),
            Self::Solution(name) | Self::Chemical(name) => f.write_str(name),
            Self::Step(name, number) => write!(f, "{name}, step {number}"),
        }
    }
}

/// One thing to say.
///
/// It carries facts, not prose: the wording of message, reason and advice is a template per code,
/// so that another language needs no Rust.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// What kind.
    pub code: Code,
    /// How much it weighs.
    pub severity: Severity,
    /// What it is about.
    pub subject: Subject,
    /// Where in the person's files.
    pub places: Vec<Place>,
    /// What the wording needs: names, amounts, limits.
    pub facts: BTreeMap<String, serde_json::Value>,
    /// Why we say so.
    pub basis: Vec<Basis>,
}

impl Finding {
    /// A finding without facts, places or basis yet.
    pub fn new(code: impl Into<String>, severity: Severity, subject: Subject) -> Self {
        Self {
            code: Code::new(code),
            severity,
            subject,
            places: Vec::new(),
            facts: BTreeMap::new(),
            basis: Vec::new(),
        }
    }

    /// Adds a fact for the wording.
    #[must_use]
    pub fn fact(mut self, name: &str, value: impl Into<serde_json::Value>) -> Self {
        self.facts.insert(name.to_owned(), value.into());
        self
    }

    /// Adds a place in the person's files.
    #[must_use]
    pub fn place(mut self, place: &Place) -> Self {
        self.places.push(place.clone());
        self
    }

    /// Adds a reason.
    #[must_use]
    pub fn because(mut self, basis: Basis) -> Self {
        self.basis.push(basis);
        self
    }
}

/// Worst first, then by code, subject and place: the order on every page.
pub fn sort(findings: &mut [Finding]) {
    findings.sort_by(|a, b| {
        (b.severity.cmp(&a.severity))
            .then_with(|| a.code.cmp(&b.code))
            .then_with(|| a.subject.cmp(&b.subject))
            .then_with(|| first_line(a).cmp(&first_line(b)))
    });
}

fn first_line(finding: &Finding) -> Option<(usize, usize)> {
    finding
        .places
        .first()
        .map(|place| (place.line, place.column))
}

//! What the rule files put on a document.

use std::sync::Arc;

use serde::Serialize;

use crate::catalogue::{Chemical, Stream};

use super::target::Meant;
use super::{Document, DrainIs, InForce, Records, RuleFile, Target};

/// A line that a rule file puts on a page. Its words stand in `templates/local-rules.md`, by kind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct HouseLine {
    /// Which words: text, forbidden, drain-none, drain-ask, drain-conditions, days, age, number,
    /// retention.
    pub kind: &'static str,
    /// What it is about, where it is about something.
    pub subject: String,
    /// What the file says.
    pub text: String,
    /// The title of the rules it stands in.
    pub rules: String,
    /// Their file.
    pub file: String,
}

/// What a document is about.
#[derive(Debug, Clone, Copy, Default)]
pub struct Subjects<'a> {
    /// Chemicals.
    pub chemicals: &'a [Arc<Chemical>],
    /// Waste streams.
    pub streams: &'a [&'a Stream],
}

impl InForce {
    /// What the rule files say on a document: its own lines, and those of their rules that a reader
    /// of it needs.
    pub fn lines(&self, on: Document, subjects: Subjects<'_>) -> Vec<HouseLine> {
        let of = |rules: &RuleFile| {
            let mut lines = Lines {
                rules,
                subjects,
                lines: Vec::new(),
            };
            lines.gather(on);
            lines.lines
        };
        self.files.iter().flat_map(of).collect()
    }
}

struct Lines<'a> {
    rules: &'a RuleFile,
    subjects: Subjects<'a>,
    lines: Vec<HouseLine>,
}

impl Lines<'_> {
    fn gather(&mut self, on: Document) {
        match on {
            Document::Sheet => {
                self.streams();
                self.numbers();
            }
            Document::Brief => {
                self.ages();
                self.numbers();
            }
            Document::Card => {
                self.forbidden();
                self.ages();
            }
            Document::Meet | Document::Compare => self.forbidden(),
            Document::Tally | Document::Report => {
                self.streams();
                self.retention();
            }
            _ => {}
        }
        self.texts(on);
    }

    fn put(&mut self, kind: &'static str, subject: impl Into<String>, text: impl Into<String>) {
        self.lines.push(HouseLine {
            kind,
            subject: subject.into(),
            text: text.into(),
            rules: self.rules.title.clone(),
            file: self.rules.file.clone(),
        });
    }

    fn texts(&mut self, on: Document) {
        for rule in &self.rules.text {
            let concerned = Target::concerns_any(&rule.what.about, self.subjects.chemicals);
            if rule.what.on.contains(&on) && concerned {
                self.put("text", "", &rule.what.text);
            }
        }
    }

    fn forbidden(&mut self) {
        for rule in &self.rules.forbid {
            let named = self
                .subjects
                .chemicals
                .iter()
                .filter(|chemical| rule.what.target.means(chemical) > Meant::No);
            let names: Vec<String> = named.map(|chemical| chemical.name.clone()).collect();
            if !names.is_empty() {
                self.put(
                    "forbidden",
                    names.join("; "),
                    rule.why.clone().unwrap_or_default(),
                );
            }
        }
    }

    fn ages(&mut self) {
        for rule in &self.rules.ages {
            if Target::concerns_any(&rule.what.about, self.subjects.chemicals) {
                let about = rule.what.about.as_ref();
                let about = about
                    .map(|target| target.written.clone())
                    .unwrap_or_default();
                self.put("age", about, rule.what.at_least.to_string());
            }
        }
    }

    fn numbers(&mut self) {
        let others = self
            .rules
            .emergency
            .iter()
            .flat_map(|rule| &rule.what.others);
        for (who, number) in others {
            self.put("number", "", format!("{who} {number}"));
        }
    }

    fn streams(&mut self) {
        let streams = self.subjects.streams;
        for stream in streams {
            let drain = self
                .rules
                .drain
                .iter()
                .filter(|rule| rule.what.stream == stream.id);
            for rule in drain {
                let (kind, text) = match &rule.what.is {
                    DrainIs::None => ("drain-none", String::new()),
                    DrainIs::Ask => ("drain-ask", String::new()),
                    DrainIs::Conditions(text) => ("drain-conditions", text.clone()),
                };
                self.put(kind, &stream.title, text);
            }
            let days = self
                .rules
                .days
                .iter()
                .filter(|rule| rule.what.stream == stream.id);
            for rule in days {
                self.put("days", &stream.title, rule.what.at_most.to_string());
            }
        }
    }

    fn retention(&mut self) {
        for rule in &self.rules.retention {
            let records = match rule.what.records {
                Records::Waste => "waste",
                Records::Briefings => "briefings",
                Records::DataSheets => "data sheets",
            };
            self.put("retention", records, rule.what.at_least.to_string());
        }
    }
}

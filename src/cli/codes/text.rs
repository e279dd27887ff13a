//! Determinations on the terminal.

use std::io;

use serde_json::json;

use crate::catalogue::Catalogue;
use crate::cli::report::{self, Colours};
use crate::cli::words::{hanging, short_source};
use crate::document::Wording;
use crate::document::waste::Phrases;
use crate::finding::Severity;
use crate::provenance::Origin;
use crate::waste::{CodeLine, Determination, LimitLine, RulePack};

const INDENT: usize = 14;
const WIDTH: usize = 79;

/// Where the words are from.
pub struct Told<'a> {
    pub wording: &'a Wording,
    pub phrases: &'a Phrases,
    pub catalogue: &'a Catalogue,
}

impl Told<'_> {
    /// Every place's determination, and the deference.
    pub fn all(&self, packs: &[RulePack], found: &[Determination], house: &[String]) -> String {
        let mut text = String::new();
        for (pack, one) in packs.iter().zip(found) {
            let verdict = if one.hazardous {
                "hazardous"
            } else {
                "not_shown"
            };
            let verdict = self.phrases.word(verdict);
            text.push_str(&format!("{}: {verdict}\n", pack.title));
            for line in self.lines(one, found) {
                text.push_str(&format!("{line}\n"));
            }
            text.push_str(&self.findings(one));
            text.push('\n');
        }
        text.push_str(&report::section(house, WIDTH));
        let deference = report::wrap(self.wording.word("deference"), WIDTH);
        text.push_str(&deference.join("\n"));
        text.push('\n');
        text
    }

    fn lines(&self, found: &Determination, all: &[Determination]) -> Vec<String> {
        let phrase =
            |name: &str, because: &str| self.phrases.say(name, &json!({"because": because}));
        let mut out: Vec<String> = Vec::new();
        for line in &found.codes {
            let because = if line.assumed {
                phrase("assumed", &line.because)
            } else {
                line.because.clone()
            };
            out.push(self.code(line, &because));
        }
        let perhaps = found.candidates.iter();
        out.extend(perhaps.map(|line| self.code(line, &phrase("perhaps", &line.because))));
        let possible = found.possible.iter();
        out.extend(possible.map(|line| self.code(line, &phrase("possible", &line.because))));
        for line in &found.properties {
            let because = if line.certain {
                line.because.clone()
            } else {
                phrase("possible", &line.because)
            };
            out.push(self.line(&line.hp, &because, &line.origin));
        }
        if let Some(generator) = &found.generator {
            let facts = json!({"generator": generator});
            out.push(self.phrases.say("generator", &facts));
        }
        for limit in &found.limits {
            let words = self.limit(limit, is_lowest(limit, all));
            out.push(self.line(&self.phrases.word("limit"), &words, &limit.origin));
        }
        if let Some(empty) = &found.empty {
            let verdict = if empty.empty { "empty" } else { "not_empty" };
            let words = phrase(verdict, &empty.because);
            out.push(self.line(&self.phrases.word("container"), &words, &empty.origin));
        }
        let duties = found.duties.iter();
        out.extend(duties.map(|duty| self.line(&duty.kind, &duty.text, &duty.origin)));
        out
    }

    fn code(&self, line: &CodeLine, because: &str) -> String {
        self.line(&line.code, because, &line.origin)
    }

    fn line(&self, label: &str, words: &str, origin: &Origin) -> String {
        let text = format!("{words} [{}]", short_source(origin, self.catalogue));
        hanging(&format!("  {label}"), &text, INDENT)
    }

    fn limit(&self, limit: &LimitLine, lowest: bool) -> String {
        let facts = json!({"what": limit.what, "strict": limit.strict, "value": limit.value.to_string(),
                           "unit": limit.unit, "actual": limit.actual.map(|actual| actual.to_string()), "breached": limit.breached,
                           "until": limit.until.map(|day| day.to_string()), "lowest": lowest});
        self.phrases.say("limit_words", &facts)
    }

    /// Findings in full when they weigh something, otherwise one line each.
    fn findings(&self, found: &Determination) -> String {
        let colours = Colours::for_stream(&io::stdout());
        let mut text = String::new();
        for finding in &found.findings {
            if finding.severity >= Severity::Attention {
                let told = report::finding(finding, self.wording, colours, WIDTH);
                text.push_str(&told);
            } else {
                let told = self.wording.tell(finding);
                let label = format!("  {}", self.phrases.word("note"));
                text.push_str(&hanging(&label, &told.message, INDENT));
                text.push('\n');
            }
        }
        text
    }
}

/// Whether several rules limit the same thing and this limit is the lowest of them.
fn is_lowest(limit: &LimitLine, all: &[Determination]) -> bool {
    let same = all.iter().flat_map(|one| &one.limits);
    let same: Vec<f64> = same
        .filter(|other| other.measure == limit.measure && other.unit == limit.unit)
        .map(|other| other.value)
        .collect();
    all.len() > 1 && same.len() > 1 && same.iter().all(|other| limit.value <= *other)
}

//! The pages of the waste ledger: the tally of a day, the report of a span.

mod codes;
mod months;
mod phrases;
mod report;
mod stacks;
mod tally;

use crate::catalogue::Catalogue;
use crate::ledger::Unit;
use crate::provenance::Origin;
use crate::waste::RulePack;

use super::Wording;

pub use codes::{CodesTold, CodesView, RuleLine};
pub use months::MonthPicture;
pub use phrases::Phrases;
pub use report::{ReportFacts, ReportView};
pub use tally::{ContainerView, StreamView, TallyFacts, TallyView};

/// What every waste page takes its words from.
#[derive(Clone, Copy)]
pub struct Telling<'a> {
    /// Names of streams, titles of sources.
    pub catalogue: &'a Catalogue,
    /// Findings in words.
    pub wording: &'a Wording,
    /// Sentences.
    pub phrases: &'a Phrases,
    /// The rules in force.
    pub packs: &'a [RulePack],
    /// What the place is called.
    pub place: &'a str,
}

impl Telling<'_> {
    fn stream(&self, id: &str) -> String {
        let stream = self.catalogue.stream(id);
        stream.map_or_else(|| id.to_owned(), |stream| self.phrases.known(&stream.title))
    }

    /// The rules in force: whose, looked at when, due again when.
    fn rules(&self) -> Vec<String> {
        let one = |pack: &RulePack| {
            let facts = serde_json::json!({"title": pack.title, "date": pack.date.to_string(), "review_by": pack.review_by.to_string()});
            self.phrases.say("rules", &facts)
        };
        self.packs.iter().map(one).collect()
    }

    /// Where things are from, each once, by title.
    fn sources<'o>(&self, origins: impl IntoIterator<Item = &'o Origin>) -> Vec<String> {
        let mut named: Vec<String> = Vec::new();
        for origin in origins {
            let words = self.source(origin);
            if !named.contains(&words) {
                named.push(words);
            }
        }
        named
    }

    fn source(&self, origin: &Origin) -> String {
        match origin {
            Origin::Published { reference, at } => {
                let found = self.catalogue.bibliography().get(reference);
                let title = found.map_or(reference.as_str(), |found| found.title.as_str());
                let at = if at.is_empty() { "" } else { ": " }.to_owned() + at;
                format!("{title}{at}")
            }
            Origin::Memory | Origin::Practice => {
                self.phrases.word(&format!("source_{}", origin.kind()))
            }
            other => other.to_string(),
        }
    }
}

/// The unit that balances are told in.
pub fn unit_name(unit: Unit) -> &'static str {
    match unit {
        Unit::Microlitre => "L",
        Unit::Nanogram => "kg",
    }
}

/// A bar of so many characters, filled in proportion.
pub fn bar(share: f64, width: usize) -> String {
    let filled = libm::round(share.clamp(0.0, 1.0) * width as f64) as usize;
    format!("{}{}", "█".repeat(filled), "░".repeat(width - filled))
}

fn or_empty(value: Option<impl ToString>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

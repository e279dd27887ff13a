//! Findings told in words: the templates of `templates/findings.yaml` filled with a finding's facts.

mod read;
mod reasons;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::sync::Arc;

use minijinja::Environment;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::tongue::Tongue;
use crate::air::{self, Said};
use crate::catalogue::{Catalogue, CodeText};
use crate::finding::Finding;

pub use read::template;
pub(in crate::document) use read::{in_language, speak};

/// The entry that all order rules share; their words stand with the rules.
const ORDER: &str = "order/*";

/// The words of one language for every finding code.
#[derive(Debug)]
pub struct Wording {
    codes: BTreeMap<String, CodeWords>,
    /// Codes that are told in English for want of words in the language.
    foreign: BTreeSet<String>,
    words: BTreeMap<String, String>,
    /// Why a mixture is classified as it is, one template a reason.
    reasons: BTreeMap<String, String>,
    foreign_reasons: BTreeSet<String>,
    /// What the air's reckoning assumes, in a language other than English.
    assumptions: Option<BTreeMap<String, String>>,
    tongue: Arc<Tongue>,
    environment: Environment<'static>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct CodeWords {
    #[serde(default)]
    title: String,
    #[serde(default)]
    explanation: String,
    message: String,
    #[serde(default)]
    why: String,
    #[serde(default)]
    advice: Vec<String>,
}

/// A finding in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Told {
    /// What was seen, one line.
    pub message: String,
    /// Why it matters.
    pub why: String,
    /// What to do, most useful first.
    pub advice: Vec<String>,
}

impl Wording {
    /// A word that stands on every page; the word's name where it is missing.
    pub fn word<'w>(&'w self, name: &'w str) -> &'w str {
        self.words.get(name).map_or(name, |word| word.trim())
    }

    /// Figures as the language writes them.
    pub fn figures(&self, text: &str) -> String {
        self.tongue.figures(text)
    }

    /// A word with its `{facts}` filled in, names and figures as the language has them.
    pub fn filled(&self, name: &str, facts: &[(&str, &str)]) -> String {
        let facts: Vec<(&str, String)> = facts
            .iter()
            .map(|(name, fact)| (*name, self.tongue.known(fact)))
            .collect();
        let facts = facts.iter().map(|(name, fact)| (*name, fact.as_str()));
        air::filled(self.word(name), facts)
    }

    /// An assumption of the air's reckoning; marked where it has to stay English.
    pub fn assumption(&self, said: &Said) -> String {
        let Some(own) = &self.assumptions else {
            return said.text.clone();
        };
        let Some(text) = own.get(&said.id) else {
            return format!("{} {}", said.text, self.word("foreign"));
        };
        let facts: Vec<(&str, String)> = said
            .facts
            .iter()
            .map(|(name, value)| (name.as_str(), self.tongue.known(value)))
            .collect();
        air::filled(
            text,
            facts.iter().map(|(name, value)| (*name, value.as_str())),
        )
    }

    /// A date as the language writes it.
    pub fn date(&self, date: chrono::NaiveDate) -> String {
        let name = |form: &str| {
            let english = date.format(form).to_string();
            self.words.get(&english).cloned().unwrap_or(english)
        };
        let form = self.word("date");
        let form = form.replace("%A", &name("%A")).replace("%B", &name("%B"));
        let mut written = String::new();
        // A form that cannot be followed stands in a template, not in the program.
        match write!(written, "{}", date.format(&form)) {
            Ok(()) => written,
            Err(_) => date.to_string(),
        }
    }

    /// Every code that has words here.
    pub fn codes(&self) -> impl Iterator<Item = &str> {
        self.codes
            .keys()
            .map(String::as_str)
            .filter(|code| *code != ORDER)
    }

    /// Title and explanation of a code, from here or from the order rules.
    pub fn explanation(&self, code: &str, catalogue: &Catalogue) -> Option<CodeText> {
        let own = self.codes.get(code).map(|words| CodeText {
            code: code.to_owned(),
            title: words.title.clone(),
            explanation: words.explanation.trim().to_owned(),
        });
        own.or_else(|| {
            catalogue
                .order_codes()
                .iter()
                .find(|text| text.code == code)
                .cloned()
        })
    }

    /// A sentence of the program or the data in the language, English and marked where it has none.
    pub fn said(&self, text: &str) -> String {
        self.tongue.said(text)
    }

    /// The same for what may be a name that someone wrote: as it is where the language has none.
    pub fn known(&self, text: &str) -> String {
        self.tongue.known(text)
    }

    /// A fact with every name in it called as in the language: alone, or one of a list.
    fn named(&self, fact: &mut Value) {
        match fact {
            Value::String(text) => *text = self.tongue.named(text),
            Value::Array(list) => list.iter_mut().for_each(|one| self.named(one)),
            Value::Object(facts) => facts.values_mut().for_each(|one| self.named(one)),
            _ => {}
        }
    }

    /// A finding in words. A template that fails says so instead of hiding the finding.
    pub fn tell(&self, finding: &Finding) -> Told {
        let code = finding.code.as_str();
        let words = self
            .codes
            .get(code)
            .or_else(|| self.codes.get(ORDER).filter(|_| code.starts_with("order/")));
        let Some(words) = words else {
            let message = format!("{code} ({})", finding.subject);
            return Told {
                message,
                why: String::new(),
                advice: Vec::new(),
            };
        };
        let mut facts = finding.facts.clone();
        for fact in facts.values_mut() {
            self.named(fact);
            if let Some(reason) = self.as_reason(fact) {
                *fact = reason.into();
            }
        }
        let fill = |template: &str| {
            self.environment
                .render_str(template, minijinja::value::Serde(&facts))
                .unwrap_or_else(|error| {
                    format!("{code}: the wording cannot be filled in: {error:#}")
                })
        };
        let mut message = fill(&words.message);
        if self.foreign.contains(code) {
            message = format!("{message} {}", self.word("foreign"));
        }
        Told {
            message,
            why: fill(&words.why),
            advice: words.advice.iter().map(|line| fill(line)).collect(),
        }
    }
}

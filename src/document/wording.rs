//! Findings told in words: the templates of `templates/findings.yaml` filled with a finding's facts.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use minijinja::{Environment, UndefinedBehavior};
use serde::{Deserialize, Serialize};

use super::template::{known, said, sentences};
use crate::catalogue::{Catalogue, CodeText, DataError, DataFiles};
use crate::finding::Finding;

/// The words of one language for every finding code.
#[derive(Debug)]
pub struct Wording {
    codes: BTreeMap<String, CodeWords>,
    /// Codes that are told in English for want of words in the language.
    foreign: BTreeSet<String>,
    words: BTreeMap<String, String>,
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

/// The path of a template in a language, English where there is none.
pub fn template(files: &DataFiles, language: &str, name: &str) -> String {
    let own = format!("templates/{language}/{name}");
    if files.text(&own).is_some() {
        own
    } else {
        format!("templates/{name}")
    }
}

/// The entry that all order rules share; their words stand with the rules.
const ORDER: &str = "order/*";

/// The codes that a language has words of its own for.
fn codes_of(
    files: &DataFiles,
    language: &str,
    names: &[&str],
) -> Result<BTreeMap<String, CodeWords>, DataError> {
    let mut codes = BTreeMap::new();
    for name in names {
        let path = format!("templates/{language}/{name}");
        if files.text(&path).is_some() {
            codes.extend(files.read::<BTreeMap<_, _>>(&path)?);
        }
    }
    Ok(codes)
}

impl Wording {
    /// The words of a language, English and marked where it has none.
    ///
    /// # Errors
    /// When the file is missing or misshapen.
    pub fn load(files: &DataFiles, language: &str) -> Result<Self, DataError> {
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        let own =
            sentences(files, language).map_err(|error| DataError::new("sentences.yaml", error))?;
        let known_too = own.clone();
        environment.add_filter("known", move |text: String| known(&known_too, &text));
        environment.add_filter("said", move |text: String| said(&own, &text));
        // Rooms with many codes keep a file of their own.
        let below = files.below("templates/findings/").into_iter();
        let names = below.map(|path| path.trim_start_matches("templates/"));
        let names: Vec<&str> = std::iter::once("findings.yaml").chain(names).collect();
        let mut codes: BTreeMap<String, CodeWords> = BTreeMap::new();
        for name in &names {
            codes.extend(files.read::<BTreeMap<_, _>>(&format!("templates/{name}"))?);
        }
        let mut words: BTreeMap<String, String> = files.read("templates/words.yaml")?;
        let mut foreign = BTreeSet::new();
        if language != "en" {
            let own = codes_of(files, language, &names)?;
            foreign = codes
                .keys()
                .filter(|code| !own.contains_key(*code))
                .cloned()
                .collect();
            codes.extend(own);
            words.extend(files.read::<BTreeMap<_, _>>(&template(files, language, "words.yaml"))?);
        }
        Ok(Self {
            codes,
            foreign,
            words,
            environment,
        })
    }

    /// A word that stands on every page; the word's name where it is missing.
    pub fn word<'w>(&'w self, name: &'w str) -> &'w str {
        self.words.get(name).map_or(name, |word| word.trim())
    }

    /// A date as the language writes it.
    pub fn date(&self, date: chrono::NaiveDate) -> String {
        let mut written = String::new();
        // A form that cannot be followed stands in a template, not in the program.
        match write!(written, "{}", date.format(self.word("date"))) {
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
        let fill = |template: &str| {
            self.environment
                .render_str(template, minijinja::value::Serde(&finding.facts))
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

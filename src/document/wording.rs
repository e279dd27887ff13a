//! Findings told in words: the templates of `templates/findings.yaml` filled with a finding's facts.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::sync::{Arc, OnceLock};

use minijinja::{Environment, UndefinedBehavior, escape_formatter};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::template::filters;
use super::tongue::{FOREIGN, Tongue};
use crate::air::{self, Said};
use crate::catalogue::{Catalogue, CodeText, DataError, DataFiles, Statements};
use crate::classify::Reason;
use crate::finding::Finding;

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

/// The path of a template in a language, English where there is none.
pub fn template(files: &DataFiles, language: &str, name: &str) -> String {
    let own = format!("templates/{language}/{name}");
    if files.text(&own).is_some() {
        own
    } else {
        format!("templates/{name}")
    }
}

/// Words of a file by their names; what the language lacks is English, marked.
pub(super) fn in_language(
    files: &DataFiles,
    language: &str,
    name: &str,
) -> Result<BTreeMap<String, String>, DataError> {
    let mut words: BTreeMap<String, String> = files.read(&format!("templates/{name}"))?;
    if language == "en" {
        return Ok(words);
    }
    let path = format!("templates/{language}/{name}");
    let own: BTreeMap<String, String> = match files.text(&path) {
        Some(_) => files.read(&path)?,
        None => BTreeMap::new(),
    };
    for (_, word) in words.iter_mut().filter(|(key, _)| !own.contains_key(*key)) {
        *word = format!("{} {FOREIGN}", word.trim());
    }
    words.extend(own);
    Ok(words)
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

/// The words of a hazard statement; read when the first is asked for. What a language lacks is
/// English, marked.
fn phrases(files: &DataFiles, language: &str) -> impl Fn(String) -> String + Send + Sync + 'static {
    let (files, language) = (files.clone(), language.to_owned());
    let read: OnceLock<Option<Statements>> = OnceLock::new();
    move |code| {
        let statements = read.get_or_init(|| Statements::load(&files, &language).ok());
        match statements.as_ref().and_then(|s| s.phrase(&code)) {
            Some((text, false)) => text,
            Some((text, true)) => format!("{text} {FOREIGN}"),
            None => code,
        }
    }
}

impl Wording {
    /// The words of a language, with what the catalogue calls its chemicals in it.
    ///
    /// # Errors
    /// When a file is missing or misshapen.
    pub fn of(catalogue: &Catalogue, language: &str) -> Result<Self, DataError> {
        Ok(Self::load(catalogue.files(), language)?.naming(catalogue, language))
    }

    /// The words of a language, English and marked where it has none.
    ///
    /// # Errors
    /// When the file is missing or misshapen.
    pub fn load(files: &DataFiles, language: &str) -> Result<Self, DataError> {
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        let tongue = Arc::new(Tongue::load(files, language)?);
        speak(&mut environment, &tongue);
        environment.add_filter("phrase", phrases(files, language));
        // Rooms with many codes keep a file of their own.
        let below = files.below("templates/findings/").into_iter();
        let names = below.map(|path| path.trim_start_matches("templates/"));
        let names: Vec<&str> = std::iter::once("findings.yaml").chain(names).collect();
        let mut codes: BTreeMap<String, CodeWords> = BTreeMap::new();
        for name in &names {
            codes.extend(files.read::<BTreeMap<_, _>>(&format!("templates/{name}"))?);
        }
        let words = in_language(files, language, "words.yaml")?;
        let mut reasons: BTreeMap<String, String> = files.read("templates/reasons.yaml")?;
        let mut foreign = BTreeSet::new();
        let mut foreign_reasons = BTreeSet::new();
        let mut assumptions = None;
        if language != "en" {
            let own = codes_of(files, language, &names)?;
            foreign = codes
                .keys()
                .filter(|code| !own.contains_key(*code))
                .cloned()
                .collect();
            codes.extend(own);
            let path = format!("templates/{language}/reasons.yaml");
            let own: BTreeMap<String, String> = match files.text(&path) {
                Some(_) => files.read(&path)?,
                None => BTreeMap::new(),
            };
            foreign_reasons = reasons
                .keys()
                .filter(|code| !own.contains_key(*code))
                .cloned()
                .collect();
            reasons.extend(own);
            let path = format!("templates/{language}/assumptions.yaml");
            let own = files.text(&path).map(|_| files.read(&path)).transpose()?;
            assumptions = Some(own.unwrap_or_default());
        }
        Ok(Self {
            codes,
            foreign,
            words,
            reasons,
            foreign_reasons,
            assumptions,
            tongue,
            environment,
        })
    }

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

    /// Why a mixture is classified as it is, in words. A template that fails says so.
    pub fn reason(&self, reason: &Reason) -> String {
        self.reason_told(reason.code, &json!(reason.facts))
    }

    /// A fact in words where it is a reason.
    fn as_reason(&self, fact: &Value) -> Option<String> {
        let code = fact.get("code")?.as_str()?;
        Some(self.reason_told(code, fact.get("facts")?))
    }

    fn reason_told(&self, code: &str, facts: &Value) -> String {
        let mut facts = facts.clone();
        self.named(&mut facts);
        if let Some(behind) = facts.get("behind").and_then(|fact| self.as_reason(fact)) {
            facts["behind"] = behind.into();
        }
        let Some(template) = self.reasons.get(code) else {
            return code.to_owned();
        };
        let told = self
            .environment
            .render_str(template, minijinja::value::Serde(&facts))
            .unwrap_or_else(|error| format!("{code}: the wording cannot be filled in: {error:#}"));
        // Templates are broken into lines to be read; what they tell is one line.
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
        if self.foreign_reasons.contains(code) {
            format!("{told} {}", self.word("foreign"))
        } else {
            told
        }
    }

    /// Several, in the order of their words, each once.
    pub fn reasons(&self, reasons: &[Reason]) -> Vec<String> {
        let told: BTreeSet<String> = reasons.iter().map(|reason| self.reason(reason)).collect();
        told.into_iter().collect()
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

    /// The same, with chemicals called as in the language.
    fn naming(mut self, catalogue: &Catalogue, language: &str) -> Self {
        self.tongue = Arc::new(Tongue::clone(&self.tongue).naming(catalogue, language));
        speak(&mut self.environment, &self.tongue);
        self
    }

    /// The same, knowing what else is called by a name that people gave: lists of them are lists.
    #[must_use]
    pub fn knowing<'t>(mut self, titles: impl IntoIterator<Item = &'t str>) -> Self {
        self.tongue = Arc::new(Tongue::clone(&self.tongue).knowing(titles));
        speak(&mut self.environment, &self.tongue);
        self
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

/// Filters of the language; facts are said in it where it has words for them. What is filled in is
/// plain text.
pub(super) fn speak(environment: &mut Environment<'static>, tongue: &Arc<Tongue>) {
    filters(environment, tongue);
    let own = Arc::clone(tongue);
    environment.set_formatter(move |out, state, value| match value.as_str() {
        Some(text) if !value.is_safe() => {
            let text = own.fact(text);
            escape_formatter(out, state, &minijinja::Value::from(text))
        }
        _ if value.is_number() => {
            let text = own.figures(&value.to_string());
            escape_formatter(out, state, &minijinja::Value::from(text))
        }
        _ => escape_formatter(out, state, value),
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every sentence has its German, and German has none of its own; both fill in what they ask for.
    #[test]
    fn reasons_are_told_in_both_languages() {
        let files = DataFiles::embedded();
        let english = Wording::load(&files, "en").unwrap();
        let german = Wording::load(&files, "de").unwrap();
        assert!(german.foreign_reasons.is_empty());
        assert_eq!(english.reasons.len(), german.reasons.len());
        let part = json!({"name": "lye", "percent": "8", "estimate": "125", "weight": null, "own": null,
            "with_its_like": false, "sign": ">=", "limit": "5"});
        let facts = json!({"parts": [part], "names": ["lye"], "routes": ["gas", "dust"], "route": "oral",
            "name": "lye", "percent": "8", "value": "8", "sign": ">=", "limit": "5", "unit": "mg/kg",
            "unknown": null, "low": "3", "high": "4", "given": "3", "class": "Acute Tox. 4", "taken": "500",
            "behind": {"code": "ph", "facts": {"value": "1", "sign": "<=", "limit": "2"}}});
        for code in english.reasons.keys() {
            let (one, other) = (
                english.reason_told(code, &facts),
                german.reason_told(code, &facts),
            );
            assert!(!one.contains("cannot be filled in"), "{one}");
            assert!(!other.contains("cannot be filled in"), "{other}");
        }
        assert_eq!(
            english.reason_told("sum", &facts),
            "sum of lye 8 %: 8 % >= 5 %"
        );
        assert_eq!(
            english.reason_told("corrosive", &facts),
            "corrosive to the skin: pH 1 <= 2"
        );
    }
}

//! What the data and the program say in English, said in the language of a page.
//!
//! Whole sentences stand in `templates/<language>/sentences.yaml`, sentences with facts in them in
//! `told.yaml`, the form of numbers in `words.yaml`. What a language lacks stays English, marked.

use std::collections::BTreeMap;

use crate::catalogue::{Catalogue, DataError, DataFiles};

use super::figures::NumberForm;
use super::pattern::Pattern;

/// Stands behind a sentence that is not in the language of the page.
pub(super) const FOREIGN: &str = "(en)";

/// A space at which no line is broken.
const UNBROKEN: char = '\u{a0}';

/// How deep facts within facts are followed.
const DEPTH: u8 = 4;

/// A language's sentences, its names of chemicals and its numbers.
#[derive(Debug, Clone, Default)]
pub struct Tongue {
    /// English needs no translation.
    english: bool,
    sentences: BTreeMap<String, String>,
    /// The most literal first.
    patterns: Vec<(Pattern, String)>,
    /// What chemicals are called, by their English names; only where it differs.
    names: BTreeMap<String, String>,
    /// The same by their ids.
    ids: BTreeMap<String, String>,
    /// ` and `, ` or `.
    and: String,
    or: String,
    numbers: NumberForm,
}

impl Tongue {
    /// The language's files; what is missing is nothing.
    ///
    /// # Errors
    /// When a file is misshapen.
    pub fn load(files: &DataFiles, language: &str) -> Result<Self, DataError> {
        let own = |name: &str| -> Result<BTreeMap<String, String>, DataError> {
            let path = format!("templates/{language}/{name}");
            match files.text(&path) {
                Some(_) => files.read(&path),
                None => Ok(BTreeMap::new()),
            }
        };
        if language == "en" {
            return Ok(Self {
                english: true,
                ..Self::default()
            });
        }
        let words = own("words.yaml")?;
        let joint = |name: &str| format!(" {} ", words.get(name).map_or(name, String::as_str));
        let told = own("told.yaml")?.into_iter();
        let mut patterns: Vec<_> = told
            .map(|(english, own)| (Pattern::read(&english), own.trim().to_owned()))
            .collect();
        patterns.sort_by_key(|(pattern, _)| std::cmp::Reverse(pattern.literals()));
        Ok(Self {
            english: false,
            sentences: own("sentences.yaml")?,
            patterns,
            names: BTreeMap::new(),
            ids: BTreeMap::new(),
            and: joint("and"),
            or: joint("or"),
            numbers: NumberForm::like(words.get("number").map_or("", String::as_str)),
        })
    }

    /// The same with what the catalogue calls its chemicals in the language.
    #[must_use]
    pub fn naming(mut self, catalogue: &Catalogue, language: &str) -> Self {
        let chemicals = catalogue.chemicals();
        let renamed = chemicals.filter(|chemical| chemical.name_in(language) != chemical.name);
        for chemical in renamed {
            let own = chemical.name_in(language).to_owned();
            self.names.insert(chemical.name.clone(), own.clone());
            self.ids.insert(chemical.id.clone(), own);
        }
        self
    }

    /// The same with names that people gave, which every language has as they are.
    #[must_use]
    pub fn knowing<'t>(mut self, titles: impl IntoIterator<Item = &'t str>) -> Self {
        for title in titles.into_iter().filter(|_| !self.english) {
            self.names
                .entry(title.to_owned())
                .or_insert_with(|| title.to_owned());
        }
        self
    }

    /// Figures as the language writes them.
    pub fn figures(&self, text: &str) -> String {
        self.numbers.of(text)
    }

    /// A finding's fact: the same as [`Self::known`], but ids stay what commands and files ask for.
    pub fn fact(&self, text: &str) -> String {
        match self.ids.contains_key(text) && !self.names.contains_key(text) {
            true => text.to_owned(),
            false => self.known(text),
        }
    }

    /// A chemical's name in the language; others as they are.
    pub fn named(&self, text: &str) -> String {
        self.names.get(text).map_or(text, String::as_str).to_owned()
    }

    /// For what is in the language already unless the language has words of its own for it.
    pub fn known(&self, text: &str) -> String {
        self.known_to(text, DEPTH)
    }

    fn known_to(&self, text: &str, depth: u8) -> String {
        let sentences = parts(text);
        let told: Option<Vec<String>> = sentences.iter().map(|one| self.one(one, depth)).collect();
        match (self.one(text, depth), told) {
            _ if self.english => text.to_owned(),
            (Some(whole), _) => whole,
            (None, Some(told)) if !told.is_empty() => told.join(" "),
            _ => self.figures(text),
        }
    }

    /// Each sentence in the language of the page; what it has no words for stays English, marked.
    pub fn said(&self, text: &str) -> String {
        if self.english {
            return text.to_owned();
        }
        if let Some(whole) = self.one(text, DEPTH) {
            return whole;
        }
        let told = |sentence: &&str| {
            let own = self.one(sentence, DEPTH);
            let as_it_is = || self.figures(sentence.trim());
            own.unwrap_or_else(|| match has_words(sentence) {
                true => format!("{} {FOREIGN}", as_it_is()),
                false => as_it_is(),
            })
        };
        parts(text).iter().map(told).collect::<Vec<_>>().join(" ")
    }

    /// A sentence, with or without its full stop.
    fn one(&self, sentence: &str, depth: u8) -> Option<String> {
        if sentence.contains(UNBROKEN) {
            let own = self.one(&sentence.replace(UNBROKEN, " "), depth)?;
            return Some(unbroken(&own));
        }
        let sentence = sentence.trim();
        let bare = sentence.trim_end_matches('.');
        let stop = if sentence.len() > bare.len() { "." } else { "" };
        let own = self.single(bare, depth).or_else(|| self.each(bare, depth));
        own.map(|own| format!("{}{stop}", self.figures(&own)))
    }

    /// Several things, each of which the language has words for.
    fn each(&self, text: &str, depth: u8) -> Option<String> {
        let joints = [
            ("; and ", self.and.as_str()),
            ("; ", "; "),
            (", ", ", "),
            (" and ", &self.and),
            (" or ", &self.or),
        ];
        joints.into_iter().find_map(|(between, own)| {
            text.match_indices(between).find_map(|(at, _)| {
                let first = self.single(&text[..at], depth)?;
                let others = &text[at + between.len()..];
                let others = self
                    .single(others, depth)
                    .or_else(|| self.each(others, depth))?;
                Some(format!("{first}{own}{others}"))
            })
        })
    }

    /// One thing, by its name or its form.
    fn single(&self, text: &str, depth: u8) -> Option<String> {
        let known = [&self.sentences, &self.names, &self.ids];
        let known = known.into_iter().find_map(|words| words.get(text));
        known.cloned().or_else(|| self.filled(text, depth))
    }

    /// By the first pattern that has the form of the sentence.
    fn filled(&self, sentence: &str, depth: u8) -> Option<String> {
        let below = depth.checked_sub(1)?;
        let fits = |(pattern, own): &(Pattern, String)| {
            let facts = pattern.facts(sentence)?;
            let is_named = |(name, fact): &(&str, &str)| {
                !name.ends_with('=') || self.names.contains_key(*fact)
            };
            if !facts.iter().all(is_named) {
                return None;
            }
            let told = |(name, fact): (&'_ str, &'_ str)| match name.ends_with('!') {
                true => self.said(fact),
                false => self.known_to(fact, below),
            };
            let facts = facts
                .into_iter()
                .map(|(name, fact)| (name.to_owned(), told((name, fact))));
            Some(crate::air::filled(
                own,
                facts
                    .collect::<Vec<_>>()
                    .iter()
                    .map(|(name, fact)| (name.as_str(), fact.as_str())),
            ))
        };
        self.patterns.iter().find_map(fits)
    }
}

/// A figure and its unit stay on one line.
fn unbroken(text: &str) -> String {
    let mut before = ' ';
    let keep = |letter: char| {
        let kept = if letter == ' ' && before.is_ascii_digit() {
            UNBROKEN
        } else {
            letter
        };
        before = letter;
        kept
    };
    text.chars().map(keep).collect()
}

/// More than figures, units and formulas.
fn has_words(text: &str) -> bool {
    text.split(|c: char| !c.is_lowercase())
        .any(|run| run.chars().count() > 2)
}

/// The sentences of a text.
fn parts(text: &str) -> Vec<&str> {
    let parts = text.split_inclusive(". ");
    parts.filter(|part| !part.trim().is_empty()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::Value;

    fn german() -> Tongue {
        Tongue::load(&DataFiles::embedded(), "de").unwrap()
    }

    #[test]
    fn what_is_known_is_said_and_the_rest_is_marked() {
        let german = german();
        let rows = [
            ("keep apart", "getrennt halten"),
            (
                "computed: amounts weighed in",
                "berechnet: eingewogene Mengen",
            ),
            ("10.1 (9.8 to 10.6)", "10,1 (9,8 bis 10,6)"),
            (
                "sulfur dioxide, ammonia and heat",
                "Schwefeldioxid, Ammoniak und Hitze",
            ),
            ("6\u{a0}months", "6\u{a0}Monate"),
            ("20\u{a0}°C", "20\u{a0}°C"),
            (
                "Nobody wrote this. Heat it.",
                "Nobody wrote this. (en) Heat it. (en)",
            ),
            (
                "computed: nobody wrote this",
                "berechnet: nobody wrote this (en)",
            ),
        ];
        for (english, own) in rows {
            assert_eq!(german.said(english), own);
        }
        assert_eq!(german.known("Plain fixer"), "Plain fixer");
        assert_eq!(
            Tongue::load(&DataFiles::embedded(), "en")
                .unwrap()
                .said("keep apart"),
            "keep apart"
        );
    }

    /// A pattern that has the form of a sentence of the data by chance would leave English between
    /// its own words, unmarked.
    #[test]
    fn no_pattern_takes_a_sentence_of_the_data() {
        fn texts(value: &Value, found: &mut Vec<String>) {
            match value {
                Value::String(text) => found.push(text.clone()),
                Value::Array(list) => list.iter().for_each(|one| texts(one, found)),
                Value::Object(fields) => fields.values().for_each(|one| texts(one, found)),
                _ => {}
            }
        }
        let (files, german) = (DataFiles::embedded(), german());
        let mut found = Vec::new();
        for path in files.below("hazards/") {
            let is_english = !path.contains("/statements/") && !path.contains("/sources/");
            if let Some(value) = files
                .text(path)
                .and_then(|text| serde_json::from_str(text).ok())
                && is_english
            {
                texts(&value, &mut found);
            }
        }
        let mut taken = Vec::new();
        for sentence in found.iter().flat_map(|text| parts(text)) {
            let bare = sentence.trim().trim_end_matches('.');
            // Names, units and notations are not sentences.
            if german.sentences.contains_key(bare) || bare.split(' ').count() < 5 {
                continue;
            }
            let free = |facts: Vec<(&str, &str)>| {
                facts
                    .iter()
                    .any(|(name, _)| !name.ends_with(['#', '!', '=']))
            };
            let by = german.patterns.iter().find(|(pattern, _)| {
                pattern.facts(bare).is_some_and(free) && pattern.literals() > 4
            });
            taken.extend(by.map(|(_, own)| format!("{bare} <- {own}")));
        }
        assert!(taken.is_empty(), "{}", taken.join("\n"));
    }
}

//! The words of a language, read from `templates/`: its own, and English in the place of what it lacks.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, OnceLock};

use minijinja::{Environment, UndefinedBehavior, escape_formatter};

use super::super::template::filters;
use super::super::tongue::{FOREIGN, Tongue};
use super::{CodeWords, Wording};
use crate::catalogue::{Catalogue, DataError, DataFiles, Statements};

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
pub(in crate::document) fn in_language(
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
}

/// Filters of the language; facts are said in it where it has words for them. What is filled in is
/// plain text.
pub(in crate::document) fn speak(environment: &mut Environment<'static>, tongue: &Arc<Tongue>) {
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

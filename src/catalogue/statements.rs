//! The standard's hazard and precautionary phrases, by language: `hazards/statements/<language>.yaml`.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::provenance::Origin;

use super::spelling::Spelling;
use super::{DataError, DataFiles};

/// The phrases of one language, with English to fall back on.
#[derive(Debug, Clone)]
pub struct Statements {
    language: String,
    phrases: BTreeMap<String, String>,
    english: BTreeMap<String, String>,
    spelling: Spelling,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StatementsFile {
    language: String,
    #[allow(
        dead_code,
        reason = "every datum names its source; the bibliography test reads it"
    )]
    from: Origin,
    h: BTreeMap<String, Phrase>,
    #[serde(default)]
    euh: BTreeMap<String, Phrase>,
    #[serde(default)]
    p: BTreeMap<String, Phrase>,
    /// Codes whose wording here is an older one.
    #[serde(default)]
    doubtful: Vec<String>,
}

/// A phrase; whose it is and which form of the system has it are for `catalogue audit`.
#[derive(Deserialize)]
struct Phrase {
    text: String,
}

impl Statements {
    /// The phrases of a language.
    ///
    /// # Errors
    /// When the file is missing or misshapen.
    pub fn load(files: &DataFiles, language: &str) -> Result<Self, DataError> {
        let english = read(files, "en")?;
        let phrases = if language == "en" {
            BTreeMap::new()
        } else {
            read(files, language)?
        };
        Ok(Self {
            language: language.to_owned(),
            phrases,
            english,
            spelling: Spelling::default(),
        })
    }

    /// The same phrases with their English words spelled in another way.
    #[must_use]
    pub fn spelled(mut self, spelling: Spelling) -> Self {
        self.spelling = spelling;
        self
    }

    /// The phrase of a code, and whether it had to be English instead of the language asked for.
    ///
    /// A longer code such as `H360FD` or `H350i` falls back on its stem. What a supplier would fill
    /// in (between angle brackets, or at dots) is left out, and so is the full stop.
    pub fn phrase(&self, code: &str) -> Option<(String, bool)> {
        self.phrase_about(code, &[])
    }

    /// The same, with names where the phrase leaves room for one (EUH208: contains …).
    pub fn phrase_about(&self, code: &str, names: &[String]) -> Option<(String, bool)> {
        let stem = code.get(..4).unwrap_or(code);
        let own = |code: &str| self.phrases.get(code).map(|text| (text, false));
        let english = |code: &str| {
            self.english
                .get(code)
                .map(|text| (text, self.language != "en"))
        };
        let (text, foreign) = own(code)
            .or_else(|| english(code))
            .or_else(|| own(stem))
            .or_else(|| english(stem))?;
        let is_english = foreign || self.language == "en";
        let text = for_reading(text, names);
        let text = if is_english {
            self.spelling.of(&text)
        } else {
            text
        };
        Some((text, foreign))
    }
}

/// `May damage organs <or state all organs affected> through …` without what is to be filled in,
/// or with the names that belong there.
fn for_reading(phrase: &str, names: &[String]) -> String {
    let mut text = String::new();
    let mut depth = 0usize;
    for c in phrase.chars() {
        match c {
            '<' => {
                depth += 1;
                text.push_str(&names.join(", "));
            }
            '>' => depth = depth.saturating_sub(1),
            _ if depth == 0 => text.push(c),
            _ => {}
        }
    }
    // What the supplier would fill in: alone, or at the end of a list of choices.
    let text = text
        .replace("/...", "")
        .replace("...", "")
        .replace(['[', ']'], "");
    let words: Vec<&str> = text.split_whitespace().collect();
    words.join(" ").trim_end_matches('.').trim_end().to_owned()
}

fn read(files: &DataFiles, language: &str) -> Result<BTreeMap<String, String>, DataError> {
    let path = format!("hazards/statements/{language}.yaml");
    let file: StatementsFile = files.read(&path)?;
    if file.language != language {
        return Err(DataError::new(
            path,
            format!("it says it is in `{}`", file.language),
        ));
    }
    let all = file.h.into_iter().chain(file.euh).chain(file.p);
    let doubtful = file.doubtful;
    Ok(all
        .filter(|(code, _)| !doubtful.contains(code))
        .map(|(code, phrase)| (code, phrase.text))
        .collect())
}

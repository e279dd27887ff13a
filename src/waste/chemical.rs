//! What the waste rules need to know of one chemical, given by whoever keeps the catalogue.

use std::collections::BTreeMap;

use super::description::Form;

/// One chemical as the waste rules see it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WasteChemical {
    /// The name it is called by.
    pub name: String,
    /// CAS number.
    pub cas: Option<String>,
    /// Solid or liquid as it stands in the jar; `None` when not known.
    pub form: Option<Form>,
    /// Class and statement, as `Ox. Sol. 2 H272`, and supplemental statements such as `EUH031`;
    /// `None` when the classification is not known (which is not the same as none).
    pub classification: Option<Vec<String>>,
    /// Classes that others add to a harmonised entry, which the law of waste does not count in a
    /// mixture.
    pub also: Vec<String>,
    /// Notes of the harmonised entry that touch its classification, as `B`.
    pub notes: Vec<String>,
    /// Reactive groups: `sulfide`, `cyanide`, `chromate`, `acid` …
    pub groups: Vec<String>,
    /// Mass fraction of each element, 0 to 1, by symbol; empty when no formula is known.
    pub elements: BTreeMap<String, f64>,
}

/// Finds chemicals by any name the person may have written.
pub trait Chemicals {
    /// The chemical of a name.
    ///
    /// # Errors
    /// A message and help for the person when the name is unknown or could mean several.
    fn find(&self, name: &str) -> Result<WasteChemical, (String, String)>;
}

impl WasteChemical {
    /// Whether one of the statements (`H272`, or `H360` for `H360FD`) is among the classification.
    pub fn has_statement(&self, statement: &str) -> bool {
        self.classification
            .iter()
            .flatten()
            .any(|line| matches_class(line, statement))
    }

    /// With the classes that others add counted as its own.
    #[must_use]
    pub fn with_all_classes(&self) -> Self {
        let mut all = self.clone();
        let also = std::mem::take(&mut all.also);
        all.classification = match all.classification {
            Some(own) => Some(own.into_iter().chain(also).collect()),
            None => (!also.is_empty()).then_some(also),
        };
        all
    }

    /// Whether it counts as organic: carbon and hydrogen, and not a salt of a carbon acid that
    /// chemists file under inorganic.
    pub fn organic(&self) -> Option<bool> {
        const INORGANIC: [&str; 4] = ["carbonate", "cyanide", "hexacyanoferrate", "thiocyanate"];
        if self.elements.is_empty() {
            return None;
        }
        let filed_inorganic = self.groups.iter().any(|g| INORGANIC.contains(&g.as_str()));
        let carbon_and_hydrogen =
            self.elements.contains_key("C") && self.elements.contains_key("H");
        Some(carbon_and_hydrogen && !filed_inorganic)
    }
}

/// Whether a classification line is of a kind: `H410`, or class and statement `Skin Corr. 1A H314`.
///
/// A star (minimum classification) and letters behind a statement (`H360FD`, `H373**`) do not count.
pub fn matches_class(line: &str, kind: &str) -> bool {
    let (class, statement) = split(line);
    let (wanted_class, wanted_statement) = split(kind);
    let same_statement = statement
        .strip_prefix(wanted_statement.as_str())
        .is_some_and(|rest| rest.chars().all(|c| c.is_ascii_alphabetic()));
    same_statement && (wanted_class.is_empty() || wanted_class == class)
}

fn split(line: &str) -> (String, String) {
    let plain = line.replace('*', "");
    let plain = plain.trim();
    match plain.rsplit_once(' ') {
        Some((class, statement)) => (class.trim().to_owned(), statement.to_owned()),
        None => (String::new(), plain.to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn classes_are_matched_by_statement_and_where_asked_by_category() {
        for (line, kind, matches) in [
            ("Aquatic Chronic 1 H410", "H410", true),
            ("Acute Tox. 2* H300", "Acute Tox. 2 H300", true),
            ("Acute Tox. 1 H300", "Acute Tox. 2 H300", false),
            ("Repr. 1B H360FD", "H360", true),
            ("STOT RE 2 H373**", "H373", true),
            ("Skin Corr. 1B H314", "Skin Corr. 1A H314", false),
            ("EUH031", "EUH031", true),
            ("Ox. Sol. 2 H272", "H27", false),
        ] {
            assert_eq!(matches_class(line, kind), matches, "{line} / {kind}");
        }
    }
}

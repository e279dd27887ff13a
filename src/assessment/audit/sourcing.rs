//! How the data are sourced: every `from` of every file in `hazards/`, counted.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;

use crate::catalogue::Catalogue;
use crate::provenance::Origin;

use super::Fault;

const CHEMICALS: &str = "hazards/chemicals/";

/// How the data are sourced.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Sourcing {
    /// Data of the chemicals by kind: the top-level key they stand under.
    pub of_chemicals: BTreeMap<String, Count>,
    /// Data of the other files, by file.
    pub of_tables: BTreeMap<String, Count>,
    /// The bibliography, with how often each source is cited.
    pub sources: Vec<SourceUse>,
}

/// Data by origin.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Count {
    /// Read in a source.
    pub published: usize,
    /// From the user's own data sheets and rules.
    pub local: usize,
    /// Worked out.
    pub computed: usize,
    /// Common practice.
    pub practice: usize,
    /// From memory.
    pub memory: usize,
}

/// A source and how often data cite it.
#[derive(Debug, Clone, Serialize)]
pub struct SourceUse {
    /// The id.
    pub id: String,
    /// How often.
    pub uses: usize,
}

impl Count {
    fn add(&mut self, origin: &Origin) {
        *match origin {
            Origin::Published { .. } => &mut self.published,
            Origin::DataSheet { .. } | Origin::LocalRule { .. } => &mut self.local,
            Origin::Computed { .. } => &mut self.computed,
            Origin::Practice => &mut self.practice,
            Origin::Memory => &mut self.memory,
        } += 1;
    }

    /// All data.
    pub fn total(&self) -> usize {
        self.published + self.local + self.computed + self.practice + self.memory
    }

    /// Per cent that a source stands behind.
    pub fn sourced_percent(&self) -> f64 {
        100.0 * (self.published + self.local) as f64 / self.total().max(1) as f64
    }

    /// Several counts as one.
    pub fn sum<'c>(counts: impl IntoIterator<Item = &'c Count>) -> Self {
        counts.into_iter().fold(Self::default(), |sum, one| Self {
            published: sum.published + one.published,
            local: sum.local + one.local,
            computed: sum.computed + one.computed,
            practice: sum.practice + one.practice,
            memory: sum.memory + one.memory,
        })
    }
}

impl Sourcing {
    /// The data on what a chemical does to people, things and water: all but how to tell its jar
    /// from another and what it is hardly ever used for, which only the trade's own practice knows.
    pub fn hazard_data(&self) -> Count {
        const OF_THE_TRADE: [&str; 2] = ["look_alikes", "unlikely_in"];
        let kinds = self.of_chemicals.iter();
        let hazards = kinds.filter(|(kind, _)| !OF_THE_TRADE.contains(&kind.as_str()));
        Count::sum(hazards.map(|(_, count)| count))
    }
}

/// Counts every datum, and finds sources that are cited and not listed, or listed and not cited.
pub(super) fn sourcing(catalogue: &Catalogue) -> (Sourcing, Vec<Fault>) {
    let mut found = Sourcing::default();
    let mut uses: BTreeMap<String, usize> = BTreeMap::new();
    let mut faults = Vec::new();
    let files = catalogue.files();
    let paths = files.below("hazards/");
    for path in paths
        .into_iter()
        .filter(|path| !path.starts_with("hazards/sources/"))
    {
        let Ok(value) = files.read::<Value>(path) else {
            faults.push(Fault::new(path, "it cannot be read"));
            continue;
        };
        for (key, origin) in origins(&value) {
            let (counts, kind) = match path.strip_prefix(CHEMICALS) {
                Some(_) => (&mut found.of_chemicals, key),
                None => (&mut found.of_tables, table(path)),
            };
            counts.entry(kind).or_default().add(&origin);
            if let Origin::Published { reference, .. } = origin {
                if catalogue.bibliography().get(&reference).is_none() {
                    faults.push(Fault::new(
                        path,
                        format!("the source `{reference}` is not listed"),
                    ));
                }
                *uses.entry(reference).or_default() += 1;
            }
        }
    }
    found.sources = catalogue
        .bibliography()
        .iter()
        .map(|source| SourceUse {
            id: source.id.clone(),
            uses: uses.get(&source.id).copied().unwrap_or(0),
        })
        .collect();
    let unused = found.sources.iter().filter(|source| source.uses == 0);
    faults.extend(unused.map(|source| {
        Fault::new(
            "hazards/sources",
            format!("no datum cites the source `{}`", source.id),
        )
    }));
    (found, faults)
}

fn table(path: &str) -> String {
    path.trim_start_matches("hazards/")
        .trim_end_matches(".yaml")
        .to_owned()
}

/// Every origin in a file, with the top-level key it stands under.
fn origins(file: &Value) -> Vec<(String, Origin)> {
    let mut found = Vec::new();
    match file {
        Value::Object(map) => {
            for (key, value) in map {
                let kind = key.strip_suffix("_from").unwrap_or(key);
                let mut own = Vec::new();
                origins_below(key, value, &mut own);
                found.extend(own.into_iter().map(|origin| (kind.to_owned(), origin)));
            }
        }
        other => {
            let mut own = Vec::new();
            origins_below("", other, &mut own);
            found.extend(own.into_iter().map(|origin| (String::new(), origin)));
        }
    }
    found
}

/// `from`, `identity_from` and the like hold an origin, in a word or with its fields, and `also` a
/// second one; `keeps_from` and the like hold lists of words.
fn origins_below(key: &str, value: &Value, found: &mut Vec<Origin>) {
    let named = matches!(key, "from" | "also") || key.ends_with("_from");
    let written = named && (value.is_string() || value.is_object());
    if let Some(origin) = Some(value)
        .filter(|_| written)
        .and_then(|v| serde_json::from_value(v.clone()).ok())
    {
        found.push(origin);
        return;
    }
    match value {
        Value::Object(map) => map
            .iter()
            .for_each(|(key, value)| origins_below(key, value, found)),
        Value::Array(items) => items
            .iter()
            .for_each(|item| origins_below(key, item, found)),
        _ => {}
    }
}

//! Where a thing is from, and how sure we are of it.
//!
//! Every datum in `hazards/` carries an [`Origin`]; the origin travels with it to the page, where
//! what is only remembered or only practice is marked, and the published sources are listed.

mod bibliography;

pub use bibliography::{Bibliography, BibliographyError, Reading, Reference};

use std::fmt;

use serde::Deserialize;

/// Where a datum comes from, in rising order of authority.
///
/// A supplier's data sheet outranks a published source for the jar it came with, and a rule of
/// the place outranks everything.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// Written down from memory, not checked against a source.
    Memory,
    /// A fact of the trade: common practice, no source.
    Practice,
    /// Worked out by this program; names the formula's source.
    Computed { formula: String },
    /// A published source: an entry of the bibliography and the place in it.
    Published { reference: String, at: String },
    /// The user's own safety data sheet: its file, and the day it was revised, where that is stated.
    DataSheet { file: String, revised: String },
    /// A rule of the place.
    LocalRule { file: String },
}

impl Origin {
    /// The mark a page puts behind a datum that nobody has checked against a source.
    pub fn mark(&self) -> Option<&'static str> {
        match self {
            Self::Memory => Some("from memory"),
            Self::Practice => Some("common practice"),
            _ => None,
        }
    }

    /// One word for counts and JSON.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Memory => "memory",
            Self::Practice => "practice",
            Self::Computed { .. } => "computed",
            Self::Published { .. } => "published",
            Self::DataSheet { .. } => "data sheet",
            Self::LocalRule { .. } => "local rule",
        }
    }
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Memory => f.write_str("from memory, not checked"),
            Self::Practice => f.write_str("common practice, no source"),
            Self::Computed { formula } => write!(f, "computed: {formula}"),
            Self::Published { reference, at } if at.is_empty() => f.write_str(reference),
            Self::Published { reference, at } => write!(f, "{reference}, {at}"),
            Self::DataSheet { file, revised } if revised.is_empty() => {
                write!(f, "your data sheet {file}")
            }
            Self::DataSheet { file, revised } => write!(f, "your data sheet {file}, {revised}"),
            Self::LocalRule { file } => write!(f, "your rule {file}"),
        }
    }
}

/// How an origin is written in a data file: `practice`, `memory`, `computed`,
/// `{ref: id, at: place}`, `{sds: file, revised: day}` or `{rule: file}`.
#[derive(Deserialize)]
#[serde(untagged)]
enum OriginFile {
    Word(Word),
    Published(PublishedFile),
    DataSheet(DataSheetFile),
    LocalRule(LocalRuleFile),
    Computed(ComputedFile),
}

#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum Word {
    Practice,
    Memory,
    Computed,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PublishedFile {
    #[serde(rename = "ref")]
    reference: String,
    #[serde(default)]
    at: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DataSheetFile {
    sds: String,
    #[serde(default)]
    revised: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LocalRuleFile {
    rule: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ComputedFile {
    computed: String,
}

impl From<OriginFile> for Origin {
    fn from(file: OriginFile) -> Self {
        match file {
            OriginFile::Word(Word::Practice) => Self::Practice,
            OriginFile::Word(Word::Memory) => Self::Memory,
            OriginFile::Word(Word::Computed) => Self::Computed {
                formula: String::new(),
            },
            OriginFile::Published(p) => Self::Published {
                reference: p.reference,
                at: p.at,
            },
            OriginFile::DataSheet(d) => Self::DataSheet {
                file: d.sds,
                revised: d.revised,
            },
            OriginFile::LocalRule(r) => Self::LocalRule { file: r.rule },
            OriginFile::Computed(c) => Self::Computed {
                formula: c.computed,
            },
        }
    }
}

impl<'de> Deserialize<'de> for Origin {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        OriginFile::deserialize(deserializer).map(Self::from).map_err(|_| {
            serde::de::Error::custom(
                "`from` is `practice`, `memory`, `computed` or `{ref: a source, at: the place in it}`",
            )
        })
    }
}

/// A value and where it is from.
#[derive(Debug, Clone, PartialEq)]
pub struct Sourced<T> {
    /// The value.
    pub value: T,
    /// Where it is from.
    pub origin: Origin,
}

impl<T> Sourced<T> {
    /// A value from an origin.
    pub const fn new(value: T, origin: Origin) -> Self {
        Self { value, origin }
    }

    /// The same origin with another value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Sourced<U> {
        Sourced {
            value: change(self.value),
            origin: self.origin,
        }
    }
}

/// Why a figure or finding is what it is.
#[derive(Debug, Clone, PartialEq)]
pub enum Basis {
    /// A datum, and where it is from.
    Fact { what: String, origin: Origin },
    /// A figure worked out from others.
    Computed { what: String, from: Vec<Basis> },
}

impl Basis {
    /// A datum and its origin.
    pub fn fact(what: impl Into<String>, origin: &Origin) -> Self {
        Self::Fact {
            what: what.into(),
            origin: origin.clone(),
        }
    }

    /// Every origin below this basis.
    pub fn origins(&self) -> Vec<&Origin> {
        match self {
            Self::Fact { origin, .. } => vec![origin],
            Self::Computed { from, .. } => from.iter().flat_map(Self::origins).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn origins_are_written_plainly() {
        for (yaml, origin) in [
            ("practice", Origin::Practice),
            ("memory", Origin::Memory),
            (
                "{ref: clp, at: Table 3}",
                Origin::Published {
                    reference: "clp".into(),
                    at: "Table 3".into(),
                },
            ),
            (
                "{sds: metol.pdf, revised: 2024-05-13}",
                Origin::DataSheet {
                    file: "metol.pdf".into(),
                    revised: "2024-05-13".into(),
                },
            ),
        ] {
            assert_eq!(serde_yaml::from_str::<Origin>(yaml).unwrap(), origin);
        }
        assert!(serde_yaml::from_str::<Origin>("hearsay").is_err());
    }

    #[test]
    fn local_rule_outranks_data_sheet_outranks_published_outranks_practice_outranks_memory() {
        let published = Origin::Published {
            reference: "a".into(),
            at: String::new(),
        };
        let sheet = Origin::DataSheet {
            file: "b".into(),
            revised: String::new(),
        };
        let rule = Origin::LocalRule { file: "c".into() };
        assert!(rule > sheet && sheet > published);
        assert!(published > Origin::Practice && Origin::Practice > Origin::Memory);
    }
}

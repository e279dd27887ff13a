//! Where a thing is from, and how sure we are of it.
//!
//! Every datum in `hazards/` carries an [`Origin`]; the origin travels with it to the page, where
//! what is only remembered or only practice is marked, and the published sources are listed.

mod bibliography;

pub use bibliography::{Bibliography, BibliographyError, Reading, Reference};

use std::fmt;

use serde::de::value::MapAccessDeserializer;
use serde::de::{self, MapAccess, Visitor};
use serde::{Deserialize, Deserializer};

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
/// `{ref: id, at: place}`, `{sds: file, revised: day}`, `{rule: file}` or `{computed: formula}`.
const WRITTEN: &str =
    "`from` is `practice`, `memory`, `computed` or `{ref: a source, at: the place in it}`";

/// The fields of an origin that is more than a word.
#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Fields {
    #[serde(rename = "ref")]
    reference: Option<String>,
    at: Option<String>,
    sds: Option<String>,
    revised: Option<String>,
    rule: Option<String>,
    computed: Option<String>,
}

impl Fields {
    fn origin(self) -> Option<Origin> {
        let Self {
            reference,
            at,
            sds,
            revised,
            rule,
            computed,
        } = self;
        match (reference, sds, rule, computed) {
            (Some(reference), None, None, None) if revised.is_none() => Some(Origin::Published {
                reference,
                at: at.unwrap_or_default(),
            }),
            (None, Some(file), None, None) if at.is_none() => Some(Origin::DataSheet {
                file,
                revised: revised.unwrap_or_default(),
            }),
            (None, None, Some(file), None) if at.is_none() && revised.is_none() => {
                Some(Origin::LocalRule { file })
            }
            (None, None, None, Some(formula)) if at.is_none() && revised.is_none() => {
                Some(Origin::Computed { formula })
            }
            _ => None,
        }
    }
}

/// Read by hand rather than by trying one shape after the other: the catalogue holds thousands of
/// origins, and every run reads them.
struct OriginReader;

impl<'de> Visitor<'de> for OriginReader {
    type Value = Origin;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("where it is from")
    }

    fn visit_str<E: de::Error>(self, word: &str) -> Result<Origin, E> {
        match word {
            "practice" => Ok(Origin::Practice),
            "memory" => Ok(Origin::Memory),
            "computed" => Ok(Origin::Computed {
                formula: String::new(),
            }),
            _ => Err(E::custom(WRITTEN)),
        }
    }

    fn visit_map<M: MapAccess<'de>>(self, map: M) -> Result<Origin, M::Error> {
        let fields = Fields::deserialize(MapAccessDeserializer::new(map));
        let origin = fields.ok().and_then(Fields::origin);
        origin.ok_or_else(|| de::Error::custom(WRITTEN))
    }
}

impl<'de> Deserialize<'de> for Origin {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let origin = deserializer.deserialize_any(OriginReader);
        origin.map_err(|_| de::Error::custom(WRITTEN))
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
        for wrong in [
            "hearsay",
            "{ref: clp, sds: metol.pdf}",
            "{at: Table 3}",
            "{rule: school.yaml, at: line 3}",
            "{ref: clp, page: 3}",
            "[memory]",
        ] {
            assert!(serde_yaml::from_str::<Origin>(wrong).is_err(), "{wrong}");
        }
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

//! One entry as it is hashed and exported, and the chain of hashes.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::amount::Unit;
use super::entry::Solution;

/// One entry, whole: a line of an export, and what its hash is taken over.
///
/// The fields stand in a fixed order and hold only texts and whole numbers, so that the same entry
/// always gives the same bytes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// 1, 2, 3 … without a gap.
    pub number: i64,
    /// What kind of entry.
    pub kind: String,
    /// The day it happened.
    pub day: String,
    /// Who booked it.
    pub who: String,
    /// A note.
    pub note: String,
    /// The session it belongs to.
    pub session: String,
    /// The entry it takes back.
    pub reverses: Option<i64>,
    /// What moved.
    pub lines: Vec<Line>,
    /// Facts that belong to the kind, as JSON text.
    pub details: String,
    /// The hash of the entry before it and of everything above.
    pub hash: String,
}

/// One movement of one solution.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// Out of this place.
    pub from: String,
    /// Into this place.
    pub to: String,
    /// What moved.
    pub what: Solution,
    /// What is counted.
    pub unit: Unit,
    /// How many.
    pub amount: i64,
}

/// The hash before the first entry.
pub const START: [u8; 32] = [0; 32];

impl Record {
    /// The hash this record must carry after the one before it: SHA-256 over the earlier hash and
    /// the record's JSON with an empty hash.
    pub fn hash_after(&self, previous: &[u8; 32]) -> [u8; 32] {
        let bare = Self {
            hash: String::new(),
            ..self.clone()
        };
        // Texts and whole numbers always serialise.
        let text = serde_json::to_string(&bare).unwrap_or_default();
        let mut hasher = Sha256::new();
        hasher.update(previous);
        hasher.update(text.as_bytes());
        hasher.finalize().into()
    }
}

/// Bytes as hexadecimal digits.
pub fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write as _;
    bytes
        .iter()
        .fold(String::with_capacity(bytes.len() * 2), |mut text, byte| {
            let _ = write!(text, "{byte:02x}");
            text
        })
}

//! One entry as it is hashed and exported, and the chain of hashes.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::amount::Unit;
use super::entry::Solution;

/// One entry, whole: a line of an export, and what its hash is taken over.
///
/// The fields stand in a fixed order and hold only texts and whole numbers, so that the same entry
/// always gives the same bytes.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
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

/// What a hash is taken over: a record with an empty hash, borrowed field by field.
#[derive(Serialize)]
struct Bare<'r> {
    number: i64,
    kind: &'r str,
    day: &'r str,
    who: &'r str,
    note: &'r str,
    session: &'r str,
    reverses: Option<i64>,
    lines: &'r [Line],
    details: &'r str,
    hash: &'r str,
}

impl Record {
    /// The hash this record must carry after the one before it: SHA-256 over the earlier hash and
    /// the record's JSON with an empty hash.
    pub fn hash_after(&self, previous: &[u8; 32]) -> [u8; 32] {
        let bare = Bare {
            number: self.number,
            kind: &self.kind,
            day: &self.day,
            who: &self.who,
            note: &self.note,
            session: &self.session,
            reverses: self.reverses,
            lines: &self.lines,
            details: &self.details,
            hash: "",
        };
        // Texts and whole numbers always serialise, and a vector always takes them.
        let mut text = Vec::with_capacity(512);
        let _ = serde_json::to_writer(&mut text, &bare);
        let mut hasher = Sha256::new();
        hasher.update(previous);
        hasher.update(&text);
        hasher.finalize().into()
    }
}

/// Bytes as hexadecimal digits.
pub fn hex(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len() * 2);
    hex_onto(&mut text, bytes);
    text
}

/// Hexadecimal digits of bytes, behind a text.
pub fn hex_onto(text: &mut String, bytes: &[u8]) {
    let digits = bytes.iter().flat_map(|byte| [byte >> 4, byte & 15]);
    text.extend(digits.filter_map(|digit| char::from_digit(u32::from(digit), 16)));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hash_is_taken_over_the_record_as_it_is_exported() {
        let record = Record {
            number: 7,
            kind: "undo".into(),
            day: "2026-12-03".into(),
            who: "Ilse".into(),
            note: "a \"quote\"".into(),
            session: String::new(),
            reverses: Some(6),
            lines: vec![Line {
                from: "tray".into(),
                to: "drum".into(),
                what: Solution::new("fixer", "spent-fixer"),
                unit: Unit::Microlitre,
                amount: 5,
            }],
            details: "{}".into(),
            hash: String::new(),
        };
        let mut hasher = Sha256::new();
        hasher.update(START);
        hasher.update(serde_json::to_string(&record).unwrap());
        let whole: [u8; 32] = hasher.finalize().into();
        assert_eq!(record.hash_after(&START), whole);
    }

    #[test]
    fn bytes_are_written_as_two_digits_each() {
        assert_eq!(hex(&[0, 9, 10, 255]), "00090aff");
    }
}

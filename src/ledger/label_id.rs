//! The short id that a bottle's label and the book share.
//!
//! It is worked out from what both know (the session's file and the solution's name), so nothing
//! more need be kept, and a label printed again carries the same id.

use std::collections::BTreeMap;

use sha2::{Digest, Sha256};

use super::Ledger;
use super::chain::Record;
use super::error::LedgerError;

/// The id of a solution that a session made; `session` as the workspace names the file.
pub fn bottle_id(session: &str, solution: &str) -> String {
    label_id(&["bottle", session, solution])
}

/// Six letters and digits that are the same for the same parts, as `HZ7-K2M`. Of 32 signs each,
/// none that is easily taken for another.
pub fn label_id(parts: &[&str]) -> String {
    const SIGNS: &[u8; 32] = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";
    let mut hash = Sha256::new();
    for part in parts {
        hash.update(part.as_bytes());
        hash.update([0]);
    }
    let sign = |byte: &u8| {
        SIGNS
            .get(usize::from(byte % 32))
            .map_or('2', |sign| char::from(*sign))
    };
    let signs: Vec<char> = hash.finalize().iter().take(6).map(sign).collect();
    let (front, back) = signs.split_at(signs.len() / 2);
    format!(
        "{}-{}",
        front.iter().collect::<String>(),
        back.iter().collect::<String>()
    )
}

/// Whether a person means this id: capitals do not matter, nor the number of one of several bottles
/// (`HZ7-K2M/2`).
pub fn is_meant(id: &str, written: &str) -> bool {
    let whole = written.split_once('/').map_or(written, |(id, _)| id);
    whole.trim().eq_ignore_ascii_case(id)
}

impl Record {
    /// The id on the label of what this entry made, if a session made it.
    pub fn label(&self) -> Option<String> {
        let made = self.lines.first().filter(|_| self.kind == "made")?;
        (!self.session.is_empty()).then(|| bottle_id(&self.session, &made.what.name))
    }
}

impl Ledger {
    /// The id on the label of every place that a session filled, by the place's name.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn labelled(&self) -> Result<BTreeMap<String, String>, LedgerError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT b.name, e.session, s.name FROM entry e
             JOIN transfer t ON t.entry = e.number JOIN place b ON b.id = t.destination
             JOIN solution s ON s.id = t.solution
             WHERE e.kind = 'made' AND e.session <> ''
             AND NOT EXISTS (SELECT 1 FROM entry u WHERE u.reverses = e.number)
             ORDER BY e.number",
        )?;
        let rows = statement.query_map([], |row| {
            let (session, solution): (String, String) = (row.get(1)?, row.get(2)?);
            Ok((row.get(0)?, bottle_id(&session, &solution)))
        })?;
        // A later batch in the same bottle carries a label of its own.
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_stable_short_and_apart() {
        let id = bottle_id("sessions/thursday.yaml", "Stop bath");
        assert_eq!(id, bottle_id("sessions/thursday.yaml", "Stop bath"));
        assert_ne!(id, bottle_id("sessions/friday.yaml", "Stop bath"));
        assert_ne!(id, bottle_id("sessions/thursday.yaml", "Fixer"));
        assert_eq!((id.len(), id.find('-')), (7, Some(3)));
    }

    #[test]
    fn an_id_is_heard_however_it_is_written() {
        for written in ["HZ7-K2M", "hz7-k2m", " HZ7-K2M ", "HZ7-K2M/2"] {
            assert!(is_meant("HZ7-K2M", written), "{written}");
        }
        assert!(!is_meant("HZ7-K2M", "HZ7-K2"));
    }
}

//! What a record is about, read off its lines and details.

use serde_json::Value;

use super::amount::Amount;
use super::chain::{Line, Record};

impl Record {
    /// The movement that the entry is about, and how much moved so: what a forced entry first
    /// found to be there stands before it.
    pub fn movement(&self) -> Option<(&Line, Amount)> {
        let last = self.lines.last()?;
        let same = self
            .lines
            .iter()
            .filter(|line| (&line.from, &line.to) == (&last.from, &last.to));
        let amount = Amount {
            unit: last.unit,
            count: same.map(|line| line.amount).sum(),
        };
        Some((last, amount))
    }

    /// The entry that this one was booked instead of.
    pub fn corrects(&self) -> Option<i64> {
        self.facts()["corrects"].as_i64()
    }

    /// What an entry is about that moves nothing: a place, a person, an area in a bath.
    pub fn subject(&self) -> String {
        let details = self.facts();
        let at = |pointer: &str| details.pointer(pointer).and_then(Value::as_str);
        if let (Some(bath), Some(mm2)) = (at("/bath"), details["mm2"].as_i64()) {
            let area = crate::units::significant(mm2 as f64 / 1e6, 4);
            return format!("{bath}: {area} m², {}", at("/material").unwrap_or_default());
        }
        let names = [at("/place/name"), at("/place"), at("/person")];
        let first = names.into_iter().flatten().next();
        first.unwrap_or_default().to_owned()
    }

    fn facts(&self) -> Value {
        serde_json::from_str(&self.details).unwrap_or(Value::Null)
    }
}

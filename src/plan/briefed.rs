//! Who was briefed on what, as the ledger has it: plain facts, read elsewhere.

use chrono::NaiveDate;

use super::Plan;

/// One person, briefed on some chemicals on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Briefed {
    /// Who, as written in the ledger.
    pub person: String,
    /// Ids of the chemicals.
    pub chemicals: Vec<String>,
    /// The day.
    pub day: NaiveDate,
}

impl Plan {
    /// The last day a person was briefed on a chemical, the day of the plan at the latest; nothing
    /// where nobody booked it.
    pub fn last_briefed(&self, person: &str, chemical: &str) -> Option<NaiveDate> {
        let name = person.trim().to_lowercase();
        let told = self.briefed.iter().flatten().filter(|briefed| {
            briefed.person.trim().to_lowercase() == name
                && briefed.chemicals.iter().any(|id| id == chemical)
                && self.date.is_none_or(|date| briefed.day <= date)
        });
        told.map(|briefed| briefed.day).max()
    }
}

//! One book by the rules of several places at once: the strictest counts, all are named.

use super::about;
use super::tally::{CategoryLine, ContainerLine, MonthLine, Tally};

impl Tally {
    /// The same book with the rules of another place beside: of every container the earliest
    /// last day, of the month the greater mass and the lowest limit.
    #[must_use]
    pub fn and(mut self, other: Self) -> Self {
        for (line, more) in self.containers.iter_mut().zip(other.containers) {
            line.and(more);
        }
        self.month.and(other.month);
        self.told()
    }

    /// With what there is to say of it.
    pub(super) fn told(mut self) -> Self {
        self.findings = about::all(&self);
        self
    }
}

impl ContainerLine {
    fn and(&mut self, other: Self) {
        self.deadlines.extend(other.deadlines);
        self.deadlines.sort_by_key(|deadline| deadline.day);
        self.until = self.deadlines.first().map(|first| first.day);
    }
}

impl MonthLine {
    fn and(&mut self, other: Self) {
        // What is hazardous in one place only still counts.
        self.kg = self.kg.max(other.kg);
        self.year_kg = self.year_kg.max(other.year_kg);
        self.held_kg = self.held_kg.max(other.held_kg);
        self.categories.extend(other.categories);
        let limit = |line: &CategoryLine| line.limit_kg.unwrap_or(f64::INFINITY);
        self.categories
            .sort_by(|one, other| limit(one).total_cmp(&limit(other)));
        let first = self.categories.first();
        self.generator = first.map(|first| first.generator.clone());
        self.limit_kg = first.and_then(|first| first.limit_kg);
    }
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;

    use super::*;
    use crate::ledger::tally::Deadline;
    use crate::ledger::{SilverEstimate, Unit};
    use crate::provenance::Origin;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn tally(rules: &str, until: &str, limit_kg: Option<f64>) -> Tally {
        let deadline = Deadline {
            day: day(until),
            what: "days on site".into(),
            rules: rules.into(),
            origin: Origin::Memory,
        };
        let category = CategoryLine {
            generator: format!("class of {rules}"),
            limit_kg,
            rules: rules.into(),
            origin: Origin::Memory,
        };
        Tally {
            as_of: day("2026-12-03"),
            containers: vec![ContainerLine {
                name: "drum".into(),
                stream: "spent-fixer".into(),
                unit: Unit::Microlitre,
                held: 1.0,
                capacity: None,
                since: None,
                days: Some(90),
                full_on: None,
                until: Some(deadline.day),
                deadlines: vec![deadline],
            }],
            streams: Vec::new(),
            month: MonthLine {
                month: "2026-12".into(),
                kg: 1.0,
                year_kg: 1.0,
                held_kg: 1.0,
                generator: Some(category.generator.clone()),
                limit_kg,
                categories: vec![category],
            },
            unaccounted_l: 0.0,
            keeping: Vec::new(),
            silver: SilverEstimate {
                held_g: (0.0, 0.0),
                by_area_g: (0.0, 0.0),
                origins: Vec::new(),
            },
            findings: Vec::new(),
        }
    }

    #[test]
    fn the_lowest_limit_and_the_earliest_day_count_and_both_are_named() {
        let milder = tally("one", "2027-06-01", Some(1000.0));
        let stricter = tally("other", "2026-12-01", Some(100.0));
        let open = tally("third", "2028-01-01", None);
        for all in [
            milder.clone().and(stricter.clone()).and(open.clone()),
            open.and(stricter).and(milder),
        ] {
            let drum = &all.containers[0];
            assert_eq!(drum.until, Some(day("2026-12-01")));
            let named: Vec<&str> = drum
                .deadlines
                .iter()
                .map(|one| one.rules.as_str())
                .collect();
            assert_eq!(named, ["other", "one", "third"]);
            assert_eq!(all.month.limit_kg, Some(100.0));
            assert_eq!(all.month.generator.as_deref(), Some("class of other"));
            assert_eq!(all.month.categories.len(), 3);
            // Told once, by the rules that bite first.
            assert_eq!(all.findings.len(), 1);
            assert_eq!(all.findings[0].facts["rules"], "other");
        }
    }
}

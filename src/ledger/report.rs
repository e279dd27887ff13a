//! What an inspector or a collector asks of the book.

use chrono::NaiveDate;

use super::Ledger;
use super::amount::Unit;
use super::chain::Record;
use super::checks::Content;
use super::entry::NewPlace;
use super::error::LedgerError;
use super::store::Store;

/// Who was briefed on what.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Training {
    /// The entry that keeps it.
    pub entry: i64,
    /// Whether that entry was taken back.
    pub undone: bool,
    /// Who was briefed.
    pub person: String,
    /// Who did it.
    pub by: String,
    /// The day.
    pub day: String,
    /// On which chemicals.
    pub chemicals: Vec<String>,
}

/// What a stream brought into its containers in one month.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MonthVolume {
    /// `2026-12`
    pub month: String,
    /// The stream.
    pub stream: String,
    /// What is counted.
    pub unit: Unit,
    /// How many.
    pub amount: i64,
}

impl Ledger {
    /// Every entry of a span of days, both ends included, in the order they were booked.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn entries(&self, from: NaiveDate, to: NaiveDate) -> Result<Vec<Record>, LedgerError> {
        let store = Store(&self.connection);
        let mut statement = store.0.prepare_cached(
            "SELECT number FROM entry WHERE day BETWEEN ?1 AND ?2 ORDER BY number",
        )?;
        let rows = statement.query_map([from.to_string(), to.to_string()], |row| {
            row.get::<_, i64>(0)
        })?;
        let mut records = Vec::new();
        for number in rows {
            records.extend(store.record(number?)?);
        }
        Ok(records)
    }

    /// One entry.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn entry(&self, number: i64) -> Result<Option<Record>, LedgerError> {
        Store(&self.connection).record(number)
    }

    /// Every part of the corrections among some entries: what was taken back, what took it back,
    /// what was booked instead.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn corrections(&self, records: &[Record]) -> Result<Vec<Record>, LedgerError> {
        let mut all = Vec::new();
        for record in records {
            if let Some(number) = record.reverses {
                all.extend(self.entry(number)?);
            }
            if record.reverses.is_some() || record.corrects().is_some() {
                all.push(record.clone());
            }
        }
        Ok(all)
    }

    /// What every stream brought into its containers, month by month.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn month_volumes(&self) -> Result<Vec<MonthVolume>, LedgerError> {
        let books = super::books::Books::kept(&Store(&self.connection))?;
        let volumes = books
            .months
            .into_iter()
            .map(|((month, stream, unit), amount)| MonthVolume {
                month,
                stream,
                unit,
                amount,
            });
        Ok(volumes.collect())
    }

    /// Every training record, in the order they were booked.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn trainings(&self) -> Result<Vec<Training>, LedgerError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT t.entry, EXISTS (SELECT 1 FROM entry e WHERE e.reverses = t.entry), t.person, t.given_by, t.day, t.chemicals
             FROM training t ORDER BY t.entry",
        )?;
        let rows = statement.query_map([], |row| {
            let chemicals: String = row.get(5)?;
            Ok(Training {
                entry: row.get(0)?,
                undone: row.get(1)?,
                person: row.get(2)?,
                by: row.get(3)?,
                day: row.get(4)?,
                chemicals: serde_json::from_str(&chemicals).unwrap_or_default(),
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The places in the room, in the order they came into use.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn places(&self) -> Result<Vec<NewPlace>, LedgerError> {
        let places = Store(&self.connection).places()?;
        let real = places.into_iter().filter(super::store::Place::is_real);
        Ok(real
            .filter_map(|place| {
                Some(NewPlace {
                    unit: place.unit?,
                    name: place.name,
                    kind: place.kind,
                    stream: place.stream,
                    capacity: place.capacity,
                })
            })
            .collect())
    }

    /// What a place in the room holds, part by part; `None` when there is no such place.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn contents(&self, name: &str) -> Result<Option<Vec<Content>>, LedgerError> {
        let store = Store(&self.connection);
        let Some(place) = store.place(name)? else {
            return Ok(None);
        };
        let unit = place.unit.unwrap_or(Unit::Microlitre);
        let mut contents = Vec::new();
        for part in store.holdings(place.id, unit)? {
            let what = store.solution(part.solution)?;
            contents.push(Content {
                name: what.name,
                stream: what.stream,
                unit,
                amount: part.amount,
            });
        }
        Ok(Some(contents))
    }
}

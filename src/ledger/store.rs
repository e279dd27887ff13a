//! Rows in and out: the only file, beside the tally and the report, that speaks SQL to the book.

use rusqlite::{Connection, OptionalExtension, params};

use super::amount::Unit;
use super::chain::{Record, START};
use super::entry::{NewPlace, Solution};
use super::error::LedgerError;

use super::place::place_row;
pub use super::place::{
    AT_START, CARRIED_OVER, COLLECTED, EVAPORATED, MIXED, Place, SPILLED, UNACCOUNTED,
};

/// A part of what a place holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Holding {
    pub solution: i64,
    pub amount: i64,
}

/// A movement between ids.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Move {
    pub source: i64,
    pub destination: i64,
    pub solution: i64,
    pub unit: Unit,
    pub amount: i64,
}

/// The rows of an open book, inside or outside a transaction.
#[derive(Clone, Copy)]
pub struct Store<'c>(pub &'c Connection);

const PLACE: &str = "SELECT id, name, kind, stream, unit, capacity FROM place";

pub fn solution_at(row: &rusqlite::Row, first: usize) -> rusqlite::Result<Solution> {
    Ok(Solution {
        name: row.get(first)?,
        stream: row.get(first + 1)?,
        keeps_days: row.get(first + 2)?,
        mm2_per_l: row.get(first + 3)?,
    })
}

impl Store<'_> {
    /// A place by its name.
    pub fn place(&self, name: &str) -> Result<Option<Place>, LedgerError> {
        let mut statement = self.0.prepare_cached(&format!("{PLACE} WHERE name = ?1"))?;
        Ok(statement.query_row([name], place_row).optional()?)
    }

    /// A place by its id.
    pub fn place_by_id(&self, id: i64) -> Result<Place, LedgerError> {
        let mut statement = self.0.prepare_cached(&format!("{PLACE} WHERE id = ?1"))?;
        Ok(statement.query_row([id], place_row)?)
    }

    /// Every place in order of id.
    pub fn places(&self) -> Result<Vec<Place>, LedgerError> {
        let mut statement = self.0.prepare_cached(&format!("{PLACE} ORDER BY id"))?;
        let rows = statement.query_map([], place_row)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The id of a solution, entered if it is new.
    pub fn solution_id(&self, what: &Solution) -> Result<i64, LedgerError> {
        let values = params![what.name, what.stream, what.keeps_days, what.mm2_per_l];
        let mut find = self.0.prepare_cached(
            "SELECT id FROM solution WHERE name = ?1 AND stream = ?2 AND keeps_days = ?3 AND mm2_per_l = ?4",
        )?;
        if let Some(id) = find.query_row(values, |row| row.get(0)).optional()? {
            return Ok(id);
        }
        let mut insert = self.0.prepare_cached(
            "INSERT INTO solution (name, stream, keeps_days, mm2_per_l) VALUES (?1, ?2, ?3, ?4)",
        )?;
        Ok(insert.insert(values)?)
    }

    /// A solution by its id.
    pub fn solution(&self, id: i64) -> Result<Solution, LedgerError> {
        let mut statement = self.0.prepare_cached(
            "SELECT name, stream, keeps_days, mm2_per_l FROM solution WHERE id = ?1",
        )?;
        Ok(statement.query_row([id], |row| solution_at(row, 0))?)
    }

    /// What a place holds, part by part, parts of nothing left out.
    pub fn holdings(&self, place: i64, unit: Unit) -> Result<Vec<Holding>, LedgerError> {
        let mut statement = self.0.prepare_cached(
            "SELECT solution, amount FROM holding WHERE place = ?1 AND unit = ?2 AND amount <> 0 ORDER BY solution",
        )?;
        let rows = statement.query_map(params![place, unit.as_str()], |row| {
            Ok(Holding {
                solution: row.get(0)?,
                amount: row.get(1)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// How much a place holds in all.
    pub fn fill(&self, place: i64, unit: Unit) -> Result<i64, LedgerError> {
        let mut statement = self
            .0
            .prepare_cached("SELECT amount FROM fill WHERE place = ?1 AND unit = ?2")?;
        let amount = statement.query_row(params![place, unit.as_str()], |row| row.get(0));
        Ok(amount.optional()?.unwrap_or(0))
    }

    /// Number and hash of the last entry; 0 and the starting hash in a new book.
    pub fn last(&self) -> Result<(i64, [u8; 32]), LedgerError> {
        let mut statement = self
            .0
            .prepare_cached("SELECT number, hash FROM entry ORDER BY number DESC LIMIT 1")?;
        let row = statement
            .query_row([], |row| Ok((row.get(0)?, row.get::<_, [u8; 32]>(1)?)))
            .optional()?;
        Ok(row.unwrap_or((0, START)))
    }

    /// Whether an entry has been taken back already, and by which.
    pub fn reversed_by(&self, number: i64) -> Result<Option<i64>, LedgerError> {
        let mut statement = self
            .0
            .prepare_cached("SELECT number FROM entry WHERE reverses = ?1")?;
        Ok(statement.query_row([number], |row| row.get(0)).optional()?)
    }

    /// The first entry that booked a session as made and was not taken back.
    pub fn standing_made(&self, session: &str) -> Result<Option<i64>, LedgerError> {
        let mut statement = self.0.prepare_cached(
            "SELECT min(number) FROM entry e WHERE kind = 'made' AND session = ?1
             AND NOT EXISTS (SELECT 1 FROM entry u WHERE u.reverses = e.number)",
        )?;
        Ok(statement.query_row([session], |row| row.get(0))?)
    }

    /// The movements of an entry, by id.
    pub fn moves(&self, number: i64) -> Result<Vec<Move>, LedgerError> {
        let mut statement = self.0.prepare_cached(
            "SELECT source, destination, solution, unit, amount FROM transfer WHERE entry = ?1 ORDER BY line",
        )?;
        let rows = statement.query_map([number], |row| {
            let unit: String = row.get(3)?;
            Ok(Move {
                source: row.get(0)?,
                destination: row.get(1)?,
                solution: row.get(2)?,
                unit: Unit::from_stored(&unit).unwrap_or(Unit::Microlitre),
                amount: row.get(4)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Writes an entry and its movements.
    pub fn insert(
        &self,
        record: &Record,
        hash: &[u8; 32],
        moves: &[Move],
    ) -> Result<(), LedgerError> {
        self.0
            .prepare_cached(
                "INSERT INTO entry (number, kind, day, who, note, session, reverses, details, hash)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            )?
            .execute(params![
                record.number,
                record.kind,
                record.day,
                record.who,
                record.note,
                record.session,
                record.reverses,
                record.details,
                hash.as_slice()
            ])?;
        let mut insert = self.0.prepare_cached(
            "INSERT INTO transfer (entry, line, source, destination, solution, unit, amount)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        )?;
        for (line, step) in moves.iter().enumerate() {
            insert.execute(params![
                record.number,
                line as i64 + 1,
                step.source,
                step.destination,
                step.solution,
                step.unit.as_str(),
                step.amount
            ])?;
        }
        Ok(())
    }

    /// Enters a place.
    pub fn insert_place(&self, entry: i64, place: &NewPlace) -> Result<i64, LedgerError> {
        let mut insert = self.0.prepare_cached(
            "INSERT INTO place (entry, name, kind, stream, unit, capacity) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        )?;
        let values = params![
            entry,
            place.name,
            place.kind.as_str(),
            place.stream,
            place.unit.as_str(),
            place.capacity
        ];
        Ok(insert.insert(values)?)
    }

    /// Changes what a place holds of one solution, and its fill; keeps the day of the first drop.
    pub fn add(&self, place: i64, step: &Move, amount: i64, day: &str) -> Result<(), LedgerError> {
        let unit = step.unit.as_str();
        self.0
            .prepare_cached(
                "INSERT INTO holding (place, solution, unit, amount) VALUES (?1, ?2, ?3, ?4)
                 ON CONFLICT (place, solution, unit) DO UPDATE SET amount = amount + excluded.amount",
            )?
            .execute(params![place, step.solution, unit, amount])?;
        self.0
            .prepare_cached(
                "INSERT INTO fill (place, unit, amount, since) VALUES (?1, ?2, ?3, ?4)
                 ON CONFLICT (place, unit) DO UPDATE SET amount = amount + excluded.amount,
                 since = CASE WHEN amount + excluded.amount = 0 THEN NULL
                              WHEN amount = 0 OR since IS NULL THEN excluded.since
                              WHEN excluded.amount > 0 THEN min(since, excluded.since)
                              ELSE since END",
            )?
            .execute(params![place, unit, amount, day])?;
        Ok(())
    }

    /// Forgets the area a bath has processed once it is empty.
    pub fn reset_bath(&self, place: i64) -> Result<(), LedgerError> {
        self.0
            .prepare_cached("DELETE FROM bath WHERE place = ?1")?
            .execute([place])?;
        Ok(())
    }

    /// Adds to what a stream brought into its containers in a month.
    pub fn add_to_month(
        &self,
        month: &str,
        stream: &str,
        unit: Unit,
        amount: i64,
    ) -> Result<(), LedgerError> {
        self.0
            .prepare_cached(
                "INSERT INTO month (month, stream, unit, amount) VALUES (?1, ?2, ?3, ?4)
                 ON CONFLICT (month, stream, unit) DO UPDATE SET amount = amount + excluded.amount",
            )?
            .execute(params![month, stream, unit.as_str(), amount])?;
        Ok(())
    }

    /// The area a bath has processed, mm².
    pub fn bath(&self, place: i64) -> Result<i64, LedgerError> {
        let mut statement = self
            .0
            .prepare_cached("SELECT mm2 FROM bath WHERE place = ?1")?;
        let area = statement.query_row([place], |row| row.get(0)).optional()?;
        Ok(area.unwrap_or(0))
    }

    /// Adds an area to a bath; never below nothing.
    pub fn add_to_bath(&self, place: i64, mm2: i64) -> Result<(), LedgerError> {
        if mm2 == 0 {
            return Ok(());
        }
        self.0
            .prepare_cached(
                "INSERT INTO bath (place, mm2) VALUES (?1, max(?2, 0))
                 ON CONFLICT (place) DO UPDATE SET mm2 = max(mm2 + ?2, 0)",
            )?
            .execute(params![place, mm2])?;
        Ok(())
    }

    /// Adds an area to a bath and a material; never below nothing.
    pub fn add_area(&self, bath: i64, material: &str, mm2: i64) -> Result<(), LedgerError> {
        self.add_to_bath(bath, mm2)?;
        self.0
            .prepare_cached(
                "INSERT INTO film (material, mm2) VALUES (?1, max(?2, 0))
                 ON CONFLICT (material) DO UPDATE SET mm2 = max(mm2 + ?2, 0)",
            )?
            .execute(params![material, mm2])?;
        Ok(())
    }

    /// Enters a training record.
    pub fn insert_training(
        &self,
        entry: i64,
        day: &str,
        person: &str,
        by: &str,
        chemicals: &str,
    ) -> Result<(), LedgerError> {
        self.0
            .prepare_cached("INSERT INTO training (entry, person, given_by, day, chemicals) VALUES (?1, ?2, ?3, ?4, ?5)")?
            .execute(params![entry, person, by, day, chemicals])?;
        Ok(())
    }
}

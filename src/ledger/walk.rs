//! Reading entries back, one or all in order.

use rusqlite::OptionalExtension;

use super::amount::Unit;
use super::books::Names;
use super::chain::{Line, Record, hex};
use super::error::LedgerError;
use super::store::{Move, Store, solution_at};

impl Store<'_> {
    /// One entry, whole.
    pub fn record(&self, number: i64) -> Result<Option<Record>, LedgerError> {
        let mut statement = self.0.prepare_cached(
            "SELECT number, kind, day, who, note, session, reverses, details, hash FROM entry WHERE number = ?1",
        )?;
        let record = statement.query_row([number], record_row).optional()?;
        let Some(mut record) = record else {
            return Ok(None);
        };
        record.lines = self.lines(number)?;
        Ok(Some(record))
    }

    fn lines(&self, number: i64) -> Result<Vec<Line>, LedgerError> {
        let mut statement = self.0.prepare_cached(
            "SELECT a.name, b.name, s.name, s.stream, s.keeps_days, s.mm2_per_l, t.unit, t.amount
             FROM transfer t JOIN place a ON a.id = t.source JOIN place b ON b.id = t.destination
             JOIN solution s ON s.id = t.solution WHERE t.entry = ?1 ORDER BY t.line",
        )?;
        let rows = statement.query_map([number], |row| {
            let unit: String = row.get(6)?;
            Ok(Line {
                from: row.get(0)?,
                to: row.get(1)?,
                what: solution_at(row, 2)?,
                unit: Unit::from_stored(&unit).unwrap_or(Unit::Microlitre),
                amount: row.get(7)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Walks over every entry in order, each whole and with its movements by id.
    pub fn each_entry(
        &self,
        names: &Names,
        mut visit: impl FnMut(&Record, &[Move]) -> Result<(), LedgerError>,
    ) -> Result<(), LedgerError> {
        let mut entries = self.0.prepare_cached(
            "SELECT number, kind, day, who, note, session, reverses, details, hash FROM entry ORDER BY number",
        )?;
        let mut entries = entries.query([])?;
        let mut transfers = self.0.prepare_cached(
            "SELECT entry, source, destination, solution, unit, amount FROM transfer ORDER BY entry, line",
        )?;
        let mut transfers = transfers.query([])?;
        let mut waiting = next_move(&mut transfers)?;
        let mut reached = 0;
        while let Some(row) = at_entry(entries.next(), reached + 1)? {
            let mut record = record_row(row).map_err(|error| bad(reached + 1, &error))?;
            reached = record.number;
            let mut moves = Vec::new();
            while let Some((number, step)) = waiting.take() {
                if number > record.number {
                    waiting = Some((number, step));
                    break;
                }
                if number == record.number {
                    moves.push(step);
                }
                waiting = at_entry(next_move(&mut transfers), record.number)?;
            }
            record.lines = moves
                .iter()
                .map(|step| line_of(names, step, record.number))
                .collect::<Result<_, _>>()?;
            visit(&record, &moves)?;
        }
        Ok(())
    }
}

fn bad(number: i64, error: &rusqlite::Error) -> LedgerError {
    LedgerError::BadEntry {
        number,
        what: format!("it cannot be read ({error})"),
    }
}

/// What cannot be read is the fault of the entry that was to be read.
fn at_entry<T>(result: rusqlite::Result<T>, number: i64) -> Result<T, LedgerError> {
    result.map_err(|error| bad(number, &error))
}

fn next_move(rows: &mut rusqlite::Rows) -> rusqlite::Result<Option<(i64, Move)>> {
    let Some(row) = rows.next()? else {
        return Ok(None);
    };
    let unit: String = row.get(4)?;
    let step = Move {
        source: row.get(1)?,
        destination: row.get(2)?,
        solution: row.get(3)?,
        unit: Unit::from_stored(&unit).unwrap_or(Unit::Microlitre),
        amount: row.get(5)?,
    };
    Ok(Some((row.get(0)?, step)))
}

fn record_row(row: &rusqlite::Row) -> rusqlite::Result<Record> {
    Ok(Record {
        number: row.get(0)?,
        kind: row.get(1)?,
        day: row.get(2)?,
        who: row.get(3)?,
        note: row.get(4)?,
        session: row.get(5)?,
        reverses: row.get(6)?,
        lines: Vec::new(),
        details: row.get(7)?,
        hash: hex(&row.get::<_, Vec<u8>>(8)?),
    })
}

fn line_of(names: &Names, step: &Move, number: i64) -> Result<Line, LedgerError> {
    let missing = |what: &str| LedgerError::BadEntry {
        number,
        what: format!("its {what} is not in the book"),
    };
    let place = |id| {
        names
            .places
            .get(&id)
            .map(|place| place.name.clone())
            .ok_or_else(|| missing("place"))
    };
    Ok(Line {
        from: place(step.source)?,
        to: place(step.destination)?,
        what: names
            .solutions
            .get(&step.solution)
            .cloned()
            .ok_or_else(|| missing("solution"))?,
        unit: step.unit,
        amount: step.amount,
    })
}

//! Reading entries back, one or all in order.

use rusqlite::OptionalExtension;

use super::amount::Unit;
use super::books::Names;
use super::chain::{Line, Record, hex_onto};
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
        // Filled anew for every entry: a million of them need no memory of their own.
        let (mut record, mut moves) = (Record::default(), Vec::new());
        while let Some(row) = at_entry(entries.next(), record.number + 1)? {
            let number = record.number + 1;
            fill_record(&mut record, row).map_err(|error| bad(number, &error))?;
            moves.clear();
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
            fill_lines(&mut record, names, &moves)?;
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
    let unit = Unit::from_stored(row.get_ref(4)?.as_str()?);
    let step = Move {
        source: row.get(1)?,
        destination: row.get(2)?,
        solution: row.get(3)?,
        unit: unit.unwrap_or(Unit::Microlitre),
        amount: row.get(5)?,
    };
    Ok(Some((row.get(0)?, step)))
}

fn record_row(row: &rusqlite::Row) -> rusqlite::Result<Record> {
    let mut record = Record::default();
    fill_record(&mut record, row)?;
    Ok(record)
}

/// Everything of an entry but its lines, into a record that may have held another.
fn fill_record(record: &mut Record, row: &rusqlite::Row) -> rusqlite::Result<()> {
    record.number = row.get(0)?;
    record.reverses = row.get(6)?;
    let texts = [
        (1, &mut record.kind),
        (2, &mut record.day),
        (3, &mut record.who),
        (4, &mut record.note),
        (5, &mut record.session),
        (7, &mut record.details),
    ];
    for (column, text) in texts {
        text.clear();
        text.push_str(row.get_ref(column)?.as_str()?);
    }
    record.hash.clear();
    hex_onto(&mut record.hash, row.get_ref(8)?.as_blob()?);
    Ok(())
}

fn fill_lines(record: &mut Record, names: &Names, moves: &[Move]) -> Result<(), LedgerError> {
    let number = record.number;
    let missing = |what: &str| LedgerError::BadEntry {
        number,
        what: format!("its {what} is not in the book"),
    };
    record.lines.resize_with(moves.len(), Line::default);
    for (line, step) in record.lines.iter_mut().zip(moves) {
        let place = |id| names.places.get(&id).ok_or_else(|| missing("place"));
        let solution = names.solutions.get(&step.solution);
        let what = solution.ok_or_else(|| missing("solution"))?;
        line.from.clone_from(&place(step.source)?.name);
        line.to.clone_from(&place(step.destination)?.name);
        line.what.name.clone_from(&what.name);
        line.what.stream.clone_from(&what.stream);
        line.what.keeps_days = what.keeps_days;
        line.what.mm2_per_l = what.mm2_per_l;
        line.unit = step.unit;
        line.amount = step.amount;
    }
    Ok(())
}

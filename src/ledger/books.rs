//! The balances as plain values: read as they are kept, or added up from the entries.
//!
//! Adding up is written apart from the SQL that keeps the balances, so that one checks the other.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::amount::Unit;
use super::chain::Record;
use super::entry::{PlaceKind, Solution};
use super::error::LedgerError;
use super::store::{Move, Place, Store};

/// How much a place holds, and since when.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Fill {
    pub amount: i64,
    /// The day of the first drop since it was last empty.
    pub since: Option<String>,
}

/// All balances at one moment. Nothing of something is left out.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Books {
    pub fills: BTreeMap<(i64, Unit), Fill>,
    pub holdings: BTreeMap<(i64, i64, Unit), i64>,
    /// Brought into containers by month and stream.
    pub months: BTreeMap<(String, String, Unit), i64>,
    /// Area processed in a bath since it was last empty, mm².
    pub baths: BTreeMap<i64, i64>,
    /// Area processed by material, mm².
    pub films: BTreeMap<String, i64>,
}

/// Names behind the ids.
pub struct Names {
    pub places: BTreeMap<i64, Place>,
    pub solutions: BTreeMap<i64, Solution>,
}

impl Names {
    pub fn read(store: &Store) -> Result<Self, LedgerError> {
        let places = store
            .places()?
            .into_iter()
            .map(|place| (place.id, place))
            .collect();
        let mut statement = store
            .0
            .prepare_cached("SELECT id, name, stream, keeps_days, mm2_per_l FROM solution")?;
        let rows = statement.query_map([], |row| {
            let what = Solution {
                name: row.get(1)?,
                stream: row.get(2)?,
                keeps_days: row.get(3)?,
                mm2_per_l: row.get(4)?,
            };
            Ok((row.get(0)?, what))
        })?;
        Ok(Self {
            places,
            solutions: rows.collect::<Result<_, _>>()?,
        })
    }

    fn stream(&self, place: i64) -> Option<&String> {
        self.places
            .get(&place)
            .and_then(|place| place.stream.as_ref())
    }
}

fn unit(text: &str) -> Unit {
    Unit::from_stored(text).unwrap_or(Unit::Microlitre)
}

impl Books {
    /// The balances as they are kept.
    pub fn kept(store: &Store) -> Result<Self, LedgerError> {
        let mut books = Self::default();
        let mut statement = store
            .0
            .prepare_cached("SELECT place, unit, amount, since FROM fill WHERE amount <> 0")?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let fill = Fill {
                amount: row.get(2)?,
                since: row.get(3)?,
            };
            books
                .fills
                .insert((row.get(0)?, unit(&row.get::<_, String>(1)?)), fill);
        }
        let mut statement = store.0.prepare_cached(
            "SELECT place, solution, unit, amount FROM holding WHERE amount <> 0",
        )?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            books.holdings.insert(
                (row.get(0)?, row.get(1)?, unit(&row.get::<_, String>(2)?)),
                row.get(3)?,
            );
        }
        let mut statement = store
            .0
            .prepare_cached("SELECT month, stream, unit, amount FROM month WHERE amount <> 0")?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            books.months.insert(
                (row.get(0)?, row.get(1)?, unit(&row.get::<_, String>(2)?)),
                row.get(3)?,
            );
        }
        let mut statement = store
            .0
            .prepare_cached("SELECT place, mm2 FROM bath WHERE mm2 <> 0")?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            books.baths.insert(row.get(0)?, row.get(1)?);
        }
        let mut statement = store
            .0
            .prepare_cached("SELECT material, mm2 FROM film WHERE mm2 <> 0")?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            books.films.insert(row.get(0)?, row.get(1)?);
        }
        Ok(books)
    }

    /// The balances added up from every entry of a day or earlier.
    pub fn added_up(
        store: &Store,
        names: &Names,
        until: Option<&str>,
    ) -> Result<Self, LedgerError> {
        let mut books = Self::default();
        store.each_entry(names, |record, moves| {
            if until.is_none_or(|until| record.day.as_str() <= until) {
                books.apply(store, names, record, moves)?;
            }
            Ok(())
        })?;
        books.drop_nothing();
        Ok(books)
    }

    /// Adds one entry.
    pub fn apply(
        &mut self,
        store: &Store,
        names: &Names,
        record: &Record,
        moves: &[Move],
    ) -> Result<(), LedgerError> {
        let look_up = |number| store.record(number);
        for step in moves {
            self.carry_area(names, step);
            self.add(step.source, step, -step.amount, &record.day);
            self.add(step.destination, step, step.amount, &record.day);
            if self
                .fills
                .get(&(step.source, step.unit))
                .is_none_or(|fill| fill.amount == 0)
            {
                self.baths.remove(&step.source);
            }
        }
        self.account_months(names, record, moves, &look_up)?;
        if let Some((bath, material, mm2)) = area_of(record, &look_up)? {
            let place = names
                .places
                .values()
                .find(|place| place.name == bath)
                .map(|place| place.id);
            if let Some(place) = place {
                add_area(self.baths.entry(place).or_default(), mm2);
                add_area(self.films.entry(material).or_default(), mm2);
            }
        }
        Ok(())
    }

    /// What is poured on to be used further takes its share of the processed area along.
    fn carry_area(&mut self, names: &Names, step: &Move) {
        let used = self.baths.get(&step.source).copied().unwrap_or(0);
        let further = names
            .places
            .get(&step.destination)
            .is_some_and(|place| matches!(place.kind, PlaceKind::Bottle | PlaceKind::Tray));
        let fill = self.fills.get(&(step.source, step.unit));
        let held = fill.map_or(0, |fill| fill.amount);
        if used == 0 || !further || held <= 0 {
            return;
        }
        let whole = i128::from(used) * i128::from(step.amount.min(held));
        let share = (whole / i128::from(held)) as i64;
        add_area(self.baths.entry(step.source).or_default(), -share);
        add_area(self.baths.entry(step.destination).or_default(), share);
    }

    fn add(&mut self, place: i64, step: &Move, amount: i64, day: &str) {
        *self
            .holdings
            .entry((place, step.solution, step.unit))
            .or_default() += amount;
        let fill = self.fills.entry((place, step.unit)).or_default();
        let before = fill.amount;
        fill.amount += amount;
        match &fill.since {
            _ if fill.amount == 0 => fill.since = None,
            // Only an earlier drop moves the day back.
            Some(since) if before != 0 && (amount <= 0 || since.as_str() <= day) => {}
            _ => fill.since = Some(day.to_owned()),
        }
    }

    fn account_months(
        &mut self,
        names: &Names,
        record: &Record,
        moves: &[Move],
        look_up: LookUp,
    ) -> Result<(), LedgerError> {
        for step in moves {
            let (stream, amount) = match (names.stream(step.source), names.stream(step.destination))
            {
                (None, Some(stream)) => (stream, step.amount),
                (Some(stream), None) if record.reverses.is_some() => (stream, -step.amount),
                _ => continue,
            };
            let day = first_day(record, look_up)?;
            let month = day.get(..7).unwrap_or(&day).to_owned();
            *self
                .months
                .entry((month, stream.clone(), step.unit))
                .or_default() += amount;
        }
        Ok(())
    }

    pub fn drop_nothing(&mut self) {
        self.fills.retain(|_, fill| fill.amount != 0);
        self.holdings.retain(|_, amount| *amount != 0);
        self.months.retain(|_, amount| *amount != 0);
        self.baths.retain(|_, mm2| *mm2 != 0);
        self.films.retain(|_, mm2| *mm2 != 0);
    }
}

fn add_area(total: &mut i64, mm2: i64) {
    *total = (*total + mm2).max(0);
}

/// Looks an entry up by its number.
pub type LookUp<'a> = &'a dyn Fn(i64) -> Result<Option<Record>, LedgerError>;

/// The day of what a chain of reversals goes back to: a reversal counts in the month of the entry
/// it takes back.
pub fn first_day(record: &Record, look_up: LookUp) -> Result<String, LedgerError> {
    let mut day = record.day.clone();
    let (mut number, mut reverses) = (record.number, record.reverses);
    while let Some(earlier) = reverses.filter(|earlier| *earlier < number) {
        let Some(found) = look_up(earlier)? else {
            break;
        };
        (day, number, reverses) = (found.day, found.number, found.reverses);
    }
    Ok(day)
}

/// The part of a film entry's details that accounts go by.
#[derive(Deserialize)]
struct FilmDetails {
    bath: String,
    material: String,
    mm2: i64,
}

/// Bath, material and area of a film entry; with the sign turned for each reversal.
pub fn area_of(
    record: &Record,
    look_up: LookUp,
) -> Result<Option<(String, String, i64)>, LedgerError> {
    if record.kind != "film" && record.reverses.is_none() {
        return Ok(None);
    }
    let mut sign = 1;
    let mut at = record.clone();
    while let Some(earlier) = at.reverses {
        match look_up(earlier)? {
            Some(found) if found.number < at.number => at = found,
            _ => return Ok(None),
        }
        sign = -sign;
    }
    if at.kind != "film" {
        return Ok(None);
    }
    let details: Option<FilmDetails> = serde_json::from_str(&at.details).ok();
    Ok(details.map(|film| (film.bath, film.material, sign * film.mm2)))
}

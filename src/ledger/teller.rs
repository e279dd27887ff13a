//! The balances told as a tally: fill, dates, limits, and what there is to say.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Days, NaiveDate};

use crate::waste::{self, WasteDescription};

use super::amount::Unit;
use super::books::{Books, Fill, Names};
use super::entry::PlaceKind;
use super::store::{CARRIED_OVER, COLLECTED, EVAPORATED, Place, SPILLED, UNACCOUNTED};
use super::tally::{
    CategoryLine, ContainerLine, Deadline, KeepingLine, MonthLine, StreamLine, Tally, TallyRules,
};

/// Reads a tally off the balances.
pub struct Teller<'a> {
    as_of: NaiveDate,
    books: Books,
    names: Names,
    rules: &'a TallyRules<'a>,
    /// Streams that are hazardous waste, or may be.
    hazardous: BTreeSet<String>,
}

impl<'a> Teller<'a> {
    pub fn new(as_of: NaiveDate, books: Books, names: Names, rules: &'a TallyRules<'a>) -> Self {
        let collected = names
            .places
            .values()
            .filter_map(|place| place.stream.clone());
        let streams: BTreeSet<String> = collected.collect();
        let hazardous = streams
            .into_iter()
            .filter(|stream| is_hazardous(stream, rules))
            .collect();
        Self {
            as_of,
            books,
            names,
            rules,
            hazardous,
        }
    }

    /// The tally of the day, and of a month.
    pub fn tally(&self, month: &str) -> Tally {
        let month = self.month(month);
        let containers = self.containers((month.kg, month.held_kg));
        let keeping = self.keeping();
        let unaccounted = self.outside(UNACCOUNTED, Unit::Microlitre);
        let silver = self
            .rules
            .silver
            .estimate(&self.books, &self.names, &self.rules.pack.streams);
        let tally = Tally {
            as_of: self.as_of,
            containers,
            streams: self.streams(),
            month,
            unaccounted_l: unaccounted,
            keeping,
            silver,
            findings: Vec::new(),
        };
        tally.told()
    }

    fn fill(&self, place: i64, unit: Unit) -> Fill {
        self.books
            .fills
            .get(&(place, unit))
            .cloned()
            .unwrap_or_default()
    }

    /// What went to a place outside the room; below zero what came from it.
    fn outside(&self, place: i64, unit: Unit) -> f64 {
        unit.in_litres_or_kilograms(self.fill(place, unit).amount)
    }

    fn real_places(&self) -> impl Iterator<Item = (&Place, Unit)> {
        self.names
            .places
            .values()
            .filter_map(|place| Some((place, place.unit?)))
            .filter(|(place, _)| place.is_real())
    }

    fn containers(&self, accounts: (f64, f64)) -> Vec<ContainerLine> {
        self.real_places()
            .filter(|(place, _)| place.kind == PlaceKind::Container)
            .map(|(place, unit)| self.container(place, unit, accounts))
            .collect()
    }

    fn container(&self, place: &Place, unit: Unit, accounts: (f64, f64)) -> ContainerLine {
        let fill = self.fill(place.id, unit);
        let since = fill.since.as_deref().and_then(|day| day.parse().ok());
        let days = since.map(|since: NaiveDate| (self.as_of - since).num_days());
        let stream = place.stream.clone().unwrap_or_else(|| "unknown".to_owned());
        let deadlines =
            since.map_or_else(Vec::new, |since| self.deadlines(&stream, since, accounts));
        ContainerLine {
            name: place.name.clone(),
            unit,
            held: unit.in_litres_or_kilograms(fill.amount),
            capacity: place
                .capacity
                .map(|capacity| unit.in_litres_or_kilograms(capacity)),
            since,
            days,
            full_on: self.full_on(place, &fill, days),
            until: deadlines.first().map(|first| first.day),
            deadlines,
            stream,
        }
    }

    /// The day the rest is filled at the mean rate since the first drop.
    fn full_on(&self, place: &Place, fill: &Fill, days: Option<i64>) -> Option<NaiveDate> {
        let room = place.capacity?.checked_sub(fill.amount)?.max(0);
        let days = days.filter(|days| *days > 0)?;
        if fill.amount <= 0 {
            return None;
        }
        let wait = libm::floor(room as f64 * days as f64 / fill.amount as f64);
        // A century from now is never.
        (wait < 36_525.0)
            .then(|| self.as_of.checked_add_days(Days::new(wait as u64)))
            .flatten()
    }

    /// The last days by the limits in force, the earliest first.
    fn deadlines(
        &self,
        stream: &str,
        since: NaiveDate,
        (month_kg, held_kg): (f64, f64),
    ) -> Vec<Deadline> {
        let described = WasteDescription {
            stream: stream.to_owned(),
            holder: Some(self.rules.holder),
            nation: self.rules.nation.clone(),
            since: Some(since),
            made_this_month_kg: Some(month_kg),
            held_kg: Some(held_kg),
            ..WasteDescription::default()
        };
        let found = waste::determine(&described, self.rules.pack);
        let dated = found.limits.into_iter().filter_map(|limit| {
            Some(Deadline {
                day: limit.until?,
                what: limit.what,
                rules: self.rules.pack.title.clone(),
                origin: limit.origin,
            })
        });
        let mut deadlines: Vec<Deadline> = dated.collect();
        deadlines.sort_by_key(|deadline| deadline.day);
        deadlines
    }

    fn kilograms(&self, stream: &str, unit: Unit, amount: i64) -> f64 {
        let density = self
            .rules
            .pack
            .streams
            .get(stream)
            .map_or(1.0, |stream| stream.density.1);
        match unit {
            Unit::Microlitre => unit.in_litres_or_kilograms(amount) * density,
            Unit::Nanogram => unit.in_litres_or_kilograms(amount),
        }
    }

    /// Hazardous waste in all containers, kg.
    fn held_kg(&self) -> f64 {
        let containers = self
            .real_places()
            .filter(|(place, _)| place.kind == PlaceKind::Container);
        containers
            .filter_map(|(place, unit)| {
                let stream = place.stream.as_deref()?;
                let amount = self.fill(place.id, unit).amount;
                self.hazardous
                    .contains(stream)
                    .then(|| self.kilograms(stream, unit, amount))
            })
            .sum()
    }

    /// Hazardous waste made in the months of a prefix, a year or a month, kg.
    fn made_kg(&self, prefix: &str) -> f64 {
        let months = self.books.months.iter();
        let kg: f64 = months
            .filter(|((at, stream, _), _)| {
                at.starts_with(prefix) && self.hazardous.contains(stream)
            })
            .map(|((_, stream, unit), amount)| self.kilograms(stream, *unit, *amount))
            .sum();
        // The sum of nothing is −0, which would be printed.
        kg + 0.0
    }

    fn month(&self, month: &str) -> MonthLine {
        let kg = self.made_kg(month);
        let (pack, nation) = (self.rules.pack, self.rules.nation.as_deref());
        let category = waste::month_category(pack, self.rules.holder, nation, kg);
        MonthLine {
            month: month.to_owned(),
            kg,
            year_kg: self.made_kg(month.get(..4).unwrap_or(month)),
            held_kg: self.held_kg() + 0.0,
            generator: category.as_ref().map(|one| one.name.clone()),
            limit_kg: category.as_ref().and_then(|one| one.limit_kg),
            categories: category
                .into_iter()
                .map(|one| CategoryLine {
                    generator: one.name,
                    limit_kg: one.limit_kg,
                    rules: pack.title.clone(),
                    origin: one.origin,
                })
                .collect(),
        }
    }

    fn streams(&self) -> Vec<StreamLine> {
        let mut lines: BTreeMap<(&str, Unit), StreamLine> = BTreeMap::new();
        for ((place, solution, unit), amount) in &self.books.holdings {
            let (Some(place), Some(what)) = (
                self.names.places.get(place),
                self.names.solutions.get(solution),
            ) else {
                continue;
            };
            let line = lines
                .entry((&what.stream, *unit))
                .or_insert_with(|| StreamLine {
                    stream: what.stream.clone(),
                    unit: *unit,
                    made: 0.0,
                    held: 0.0,
                    collected: 0.0,
                    lost: 0.0,
                    unaccounted: 0.0,
                });
            let amount = unit.in_litres_or_kilograms(*amount);
            match place.id {
                UNACCOUNTED => line.unaccounted += amount,
                COLLECTED => line.collected += amount,
                SPILLED | EVAPORATED | CARRIED_OVER => line.lost += amount,
                _ if place.is_real() => line.held += amount,
                _ => line.made -= amount,
            }
        }
        lines.into_values().collect()
    }

    fn keeping(&self) -> Vec<KeepingLine> {
        self.real_places()
            .filter(|(place, _)| place.kind != PlaceKind::Container)
            .flat_map(|(place, unit)| self.kept_in(place, unit))
            .collect()
    }

    /// What a bottle or tray holds, by name: stock and the water it was thinned with are one.
    fn kept_in(&self, place: &Place, unit: Unit) -> Vec<KeepingLine> {
        let since = self.fill(place.id, unit).since;
        let since: Option<NaiveDate> = since.and_then(|day| day.parse().ok());
        let area_m2 = self.books.baths.get(&place.id).copied().unwrap_or(0) as f64 / 1e6;
        let mut lines: BTreeMap<&str, KeepingLine> = BTreeMap::new();
        let parts = self
            .books
            .holdings
            .range((place.id, i64::MIN, Unit::Microlitre)..);
        for (what, amount) in parts
            .take_while(|((at, _, _), _)| *at == place.id)
            .filter_map(|((_, id, _), amount)| Some((self.names.solutions.get(id)?, *amount)))
        {
            let line = lines.entry(&what.name).or_insert_with(|| KeepingLine {
                place: place.name.clone(),
                what: what.name.clone(),
                label: None,
                since,
                keeps_until: None,
                area_m2,
                capacity_m2: None,
            });
            let days = u64::try_from(what.keeps_days).ok().filter(|days| *days > 0);
            let until = since
                .zip(days)
                .and_then(|(since, days)| since.checked_add_days(Days::new(days)));
            line.keeps_until = [line.keeps_until, until].into_iter().flatten().min();
            let litres = unit.in_litres_or_kilograms(amount);
            let more = (what.mm2_per_l > 0).then(|| litres * what.mm2_per_l as f64 / 1e6);
            line.capacity_m2 = line
                .capacity_m2
                .map_or(more, |m2| Some(m2 + more.unwrap_or(0.0)));
        }
        lines.into_values().collect()
    }
}

/// Whether a stream is hazardous waste, or may be: a figure nobody measured counts as the worse.
fn is_hazardous(stream: &str, rules: &TallyRules) -> bool {
    let described = WasteDescription {
        stream: stream.to_owned(),
        holder: Some(rules.holder),
        nation: rules.nation.clone(),
        ..WasteDescription::default()
    };
    waste::determine(&described, rules.pack).hazardous
}

//! How the concentrations run over the time looked at: exact, stretch by stretch.

use super::release::Schedule;
use super::room::{Feed, Levels, Zones};
use crate::search::highest_between;

/// Which of the three concentrations is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Zone {
    /// The room taken as well mixed.
    Room,
    /// The breathing zone near the source.
    Near,
    /// The rest of the room.
    Far,
}

impl Zone {
    fn of(self, levels: Levels) -> f64 {
        match self {
            Self::Room => levels.room,
            Self::Near => levels.near,
            Self::Far => levels.far,
        }
    }
}

/// A stretch of time in which nothing is switched on or off.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    from_h: f64,
    hours: f64,
    start: Levels,
    feed: Feed,
    /// Dose up to the beginning, mg h/m³.
    before: Levels,
}

/// The concentrations of one gas over time.
#[derive(Debug, Clone)]
pub struct Course {
    zones: Zones,
    until_h: f64,
    stretches: Vec<Stretch>,
    end: Levels,
    dose: Levels,
    let_out: f64,
}

fn add(a: Levels, b: Levels) -> Levels {
    Levels {
        room: a.room + b.room,
        near: a.near + b.near,
        far: a.far + b.far,
    }
}

impl Course {
    /// Runs a schedule in a room whose air is clean at first.
    pub fn run(zones: Zones, schedule: &Schedule, until_h: f64) -> Self {
        let moments = schedule.moments(until_h);
        let mut level = zones.burst(Levels::default(), schedule.burst_at(0.0));
        let mut let_out = schedule.burst_at(0.0);
        let mut dose = Levels::default();
        let mut stretches = Vec::new();
        for pair in moments.windows(2) {
            let [from_h, to_h] = *pair else { continue };
            let (hours, feed) = (to_h - from_h, schedule.feed(from_h, to_h));
            stretches.push(Stretch {
                from_h,
                hours,
                start: level,
                feed,
                before: dose,
            });
            dose = add(dose, zones.dose(level, feed, hours));
            level = zones.burst(zones.after(level, feed, hours), schedule.burst_at(to_h));
            let_out += feed.mg_per_h * hours + schedule.burst_at(to_h);
        }
        Self {
            zones,
            until_h,
            stretches,
            end: level,
            dose,
            let_out,
        }
    }

    /// The length of the time looked at, hours.
    pub fn until_h(&self) -> f64 {
        self.until_h
    }

    /// Levels at the end, mg/m³.
    pub fn end(&self) -> Levels {
        self.end
    }

    /// The moments at which something is switched on or off, and the end.
    pub fn moments(&self) -> Vec<f64> {
        let begins = self.stretches.iter().map(|s| s.from_h);
        begins.chain([self.until_h]).collect()
    }

    fn stretch_at(&self, hour: f64) -> Option<&Stretch> {
        self.stretches
            .iter()
            .rev()
            .find(|stretch| stretch.from_h <= hour)
            .or(self.stretches.first())
    }

    /// Levels at an hour; at a burst, those just after it.
    pub fn at(&self, hour: f64) -> Levels {
        if hour >= self.until_h {
            return self.end;
        }
        self.stretch_at(hour).map_or(self.end, |s| {
            self.zones.after(s.start, s.feed, hour - s.from_h)
        })
    }

    /// The level of one zone at an hour, mg/m³.
    pub fn level(&self, zone: Zone, hour: f64) -> f64 {
        zone.of(self.at(hour))
    }

    /// Dose from the beginning to an hour, mg h/m³.
    pub fn dose_to(&self, hour: f64) -> Levels {
        if hour >= self.until_h {
            return self.dose;
        }
        self.stretch_at(hour).map_or(self.dose, |s| {
            let since = self.zones.dose(s.start, s.feed, hour - s.from_h);
            add(s.before, since)
        })
    }

    /// Hours to look at: every change, and points between that are dense after each change,
    /// where the breathing zone moves fast.
    pub fn hours_to_look_at(&self, per_stretch: u32) -> Vec<f64> {
        let mut hours = Vec::new();
        for stretch in &self.stretches {
            for n in 0..per_stretch {
                let share = f64::from(n) / f64::from(per_stretch);
                hours.push(stretch.from_h + stretch.hours * share * share * share);
            }
            hours.push(stretch.from_h + stretch.hours);
        }
        hours
    }

    /// The highest level of a zone, mg/m³, and its hour.
    ///
    /// The room is monotone between changes, so its peak is exact; the near field may bend once.
    pub fn peak(&self, zone: Zone) -> (f64, f64) {
        let looks = self.hours_to_look_at(64);
        let found = looks.into_iter().map(|hour| (zone.of(self.at(hour)), hour));
        found.fold(
            (0.0, 0.0),
            |best, next| {
                if next.0 > best.0 { next } else { best }
            },
        )
    }

    /// The highest average over a window of so many minutes, mg/m³, nothing being breathed
    /// outside the time looked at. A window of 0 is the peak.
    pub fn highest_average(&self, zone: Zone, minutes: f64) -> f64 {
        let window = minutes / 60.0;
        if window <= 0.0 {
            return self.peak(zone).0;
        }
        if window >= self.until_h {
            return zone.of(self.dose) / window;
        }
        let last = self.until_h - window;
        let breaks = self.window_breaks(window, last);
        let average =
            |start: f64| (self.dose_of(zone, start + window) - self.dose_of(zone, start)) / window;
        let mut best = (average(last), last, 0.0);
        for pair in breaks.windows(2) {
            let [from, to] = *pair else { continue };
            let step = (to - from) / f64::from(LOOKS);
            for n in 0..LOOKS {
                let start = from + step * f64::from(n);
                let found = average(start);
                if found > best.0 {
                    best = (found, start, step);
                }
            }
        }
        let (found, start, step) = best;
        let (low, high) = ((start - step).max(0.0), (start + step).min(last));
        found.max(highest_between(average, low, high))
    }

    /// The starts at which a window begins to take in, or leaves behind, a change; between two of
    /// them its average is smooth.
    fn window_breaks(&self, window: f64, last: f64) -> Vec<f64> {
        let changes = self.moments();
        let ends = changes.iter().map(|change| change - window);
        let mut breaks: Vec<f64> = changes.iter().copied().chain(ends).collect();
        breaks
            .iter_mut()
            .for_each(|start| *start = start.clamp(0.0, last));
        breaks.extend([0.0, last]);
        breaks.sort_by(f64::total_cmp);
        breaks.dedup();
        breaks
    }

    /// Dose of one zone from the beginning to an hour, mg h/m³.
    fn dose_of(&self, zone: Zone, hour: f64) -> f64 {
        let stretch = self.stretch_at(hour).filter(|_| hour < self.until_h);
        stretch.map_or(zone.of(self.dose), |s| {
            let since = hour - s.from_h;
            let breathed = match zone {
                Zone::Room => self.zones.room_dose(s.start.room, s.feed, since),
                Zone::Near => self.zones.near_and_far_dose(s.start, s.feed, since)[0],
                Zone::Far => self.zones.near_and_far_dose(s.start, s.feed, since)[1],
            };
            zone.of(s.before) + breathed
        })
    }

    /// What surfaces held back, reckoned with the air of a zone, mg.
    fn taken_back(&self, zone: Zone) -> f64 {
        self.stretches
            .iter()
            .map(|s| s.feed.uptake_m3_per_h * zone.of(self.zones.dose(s.start, s.feed, s.hours)))
            .sum()
    }

    /// Emitted, removed by fresh air, and still in the room at the end, mg: the books of the
    /// well-mixed room.
    pub fn room_balance(&self) -> Balance {
        Balance {
            emitted_mg: self.let_out - self.taken_back(Zone::Room),
            removed_mg: self.zones.fresh_m3_per_h * self.dose.room,
            remaining_mg: self.zones.room_m3 * self.end.room,
        }
    }

    /// The same books for near and far field.
    pub fn zone_balance(&self) -> Balance {
        Balance {
            emitted_mg: self.let_out - self.taken_back(Zone::Near),
            removed_mg: self.zones.fresh_m3_per_h * self.dose.far,
            remaining_mg: self.zones.near_m3 * self.end.near + self.zones.far_m3 * self.end.far,
        }
    }
}

/// Points at which each smooth piece of a window's average is looked at.
const LOOKS: u32 = 12;

/// Where a gas went, mg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Let into the air.
    pub emitted_mg: f64,
    /// Carried out with the air.
    pub removed_mg: f64,
    /// Still in the room at the end.
    pub remaining_mg: f64,
}

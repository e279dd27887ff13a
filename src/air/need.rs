//! How much fresh air keeps a gas at its limits.

use super::course::{Course, Zone};
use super::dilution;
use super::gases::Limit;
use super::release::{Release, Schedule};
use super::ventilation::Ventilation;

/// No room is aired with more than this; past it fresh air is no answer.
const MOST_M3_PER_H: f64 = 1e5;

/// The highest rate into clean air at any moment, mg/h.
pub fn highest_rate(schedule: &Schedule, until_h: f64) -> f64 {
    let moments = schedule.moments(until_h);
    moments
        .windows(2)
        .map(|pair| match *pair {
            [from, to] => running(schedule, from, to),
            _ => 0.0,
        })
        .fold(0.0, f64::max)
}

fn running(schedule: &Schedule, from: f64, to: f64) -> f64 {
    let during = |r: &&Release| r.begins() <= from && r.ends() >= to;
    schedule
        .releases()
        .iter()
        .filter(during)
        .map(Release::rate_into_clean_air)
        .sum()
}

/// Fresh air for one limit, m³/h; `None` when no flow does it.
///
/// Lasting releases by Q = K G/C, as if they went on for ever. With bursts and puffs besides by
/// searching with the room model, since they are over before a flow can act on their peak.
pub fn fresh_air(
    schedule: &Schedule,
    ventilation: &Ventilation,
    limit: &Limit,
    until_h: f64,
) -> Option<f64> {
    let lasting = schedule.lasting();
    let rate = highest_rate(&lasting, until_h);
    let steady = dilution::flow_for(rate, limit.mg_per_m3, ventilation.mixing);
    if schedule.releases().iter().any(Release::is_brief) {
        search(schedule, ventilation, limit, until_h).map(|found| found.max(steady))
    } else {
        Some(steady)
    }
}

fn search(
    schedule: &Schedule,
    ventilation: &Ventilation,
    limit: &Limit,
    until_h: f64,
) -> Option<f64> {
    let keeps = |flow: f64| {
        let course = Course::run(ventilation.with_fresh_air(flow), schedule, until_h);
        course.highest_average(Zone::Room, limit.minutes) <= limit.mg_per_m3
    };
    let (mut low, mut high) = (0.1, MOST_M3_PER_H);
    if keeps(low) {
        return Some(0.0);
    }
    if !keeps(high) {
        return None;
    }
    for _ in 0..24 {
        let middle = libm::sqrt(low * high);
        if keeps(middle) {
            high = middle
        } else {
            low = middle
        }
    }
    Some(high)
}

//! Which category the holder is in this month, and the limits that come with it.

use chrono::{Days, NaiveDate};

use super::condition::SoFar;
use super::description::{Holder, WasteDescription};
use super::determination::LimitLine;
use super::facts::Facts;
use super::pack::RulePack;
use super::rules::{GeneratorRule, LimitRule, Measure};
use super::when::Answer;

/// The first category that applies, from the largest down.
pub fn category<'p>(
    facts: &Facts,
    pack: &'p RulePack,
    so_far: &SoFar,
) -> Option<&'p GeneratorRule> {
    so_far.month_kg.or(so_far.acute_kg)?;
    pack.generators
        .iter()
        .find(|rule| rule.when.test(facts, so_far).answer == Answer::Yes)
}

/// The limits in force.
pub fn limits(facts: &Facts, pack: &RulePack, so_far: &SoFar) -> Vec<LimitLine> {
    pack.limits
        .iter()
        .filter(|rule| rule.unless.test(facts, so_far).answer != Answer::Yes)
        .filter(|rule| rule.when.test(facts, so_far).answer == Answer::Yes)
        .map(|rule| line(rule, facts, so_far))
        .collect()
}

fn line(rule: &LimitRule, facts: &Facts, so_far: &SoFar) -> LimitLine {
    let waste = facts.waste;
    let value = rule.at_most.or(rule.below).unwrap_or(0.0);
    let actual = match rule.measure {
        Measure::MonthKg => so_far.month_kg,
        Measure::AcuteKg => so_far.acute_kg,
        Measure::HeldKg => waste.held_kg,
        Measure::SatelliteL => waste.satellite_l,
        Measure::Days | Measure::DaysAway | Measure::SatelliteAcuteL => None,
    };
    let kept = actual.is_none_or(|actual| {
        rule.at_most.is_none_or(|limit| actual <= limit)
            && rule.below.is_none_or(|limit| actual < limit)
    });
    let until = match rule.measure {
        Measure::Days => after(waste.since, value),
        Measure::SatelliteL if !kept => {
            let days = rule.excess_days.unwrap_or(0);
            waste
                .satellite_over_since
                .and_then(|day| day.checked_add_days(Days::new(days)))
        }
        _ => None,
    };
    // An excess that may still be moved in time is no breach yet.
    let breached = !kept && !rule.advisory && rule.excess_days.is_none();
    LimitLine {
        id: rule.id.clone(),
        what: rule.what.clone(),
        value,
        unit: rule.unit.clone(),
        strict: rule.below.is_some(),
        actual,
        breached,
        until,
        origin: rule.from.clone(),
    }
}

fn after(since: Option<NaiveDate>, days: f64) -> Option<NaiveDate> {
    since?.checked_add_days(Days::new(days.max(0.0) as u64))
}

/// Category and limit that a month's mass alone makes, kg; `None` where the rules know none or
/// leave the holder out.
pub fn month_category(
    pack: &RulePack,
    holder: Holder,
    month_kg: f64,
) -> Option<(String, Option<f64>)> {
    let waste = WasteDescription {
        holder: Some(holder),
        ..WasteDescription::default()
    };
    let facts = Facts::of(&waste, pack);
    let outside = |rule: &super::rules::TextRule| {
        rule.when.test(&facts, &SoFar::default()).answer == Answer::Yes
    };
    if pack.outside.iter().any(outside) {
        return None;
    }
    let so_far = SoFar {
        month_kg: Some(month_kg),
        hazardous: true,
        ..SoFar::default()
    };
    let name = category(&facts, pack, &so_far)?.name.clone();
    let so_far = SoFar {
        generator: Some(name.clone()),
        ..so_far
    };
    let limit = pack
        .limits
        .iter()
        .filter(|rule| rule.measure == Measure::MonthKg)
        .find(|rule| rule.when.test(&facts, &so_far).answer == Answer::Yes)
        .and_then(|rule| rule.at_most.or(rule.below));
    Some((name, limit))
}

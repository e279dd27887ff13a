//! Which category the holder is in this month, and the limits that come with it.

use chrono::{Days, NaiveDate};

use crate::finding::{Finding, Severity, Subject};
use crate::provenance::Origin;
use crate::units::significant;

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
        measure: rule.measure.as_str(),
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

/// The mass of a waste as described, kg, at the heavier end of its density; `None` where no amount
/// is stated.
pub fn mass_kg(waste: &WasteDescription, pack: &RulePack) -> Option<f64> {
    Facts::of(waste, pack).mass_kg()
}

/// What an account kept elsewhere says of the month, for a waste that does not say it itself.
#[derive(Debug, Clone, PartialEq)]
pub struct MonthAccount {
    /// `2026-12`
    pub month: String,
    /// Hazardous waste made in it, kg.
    pub month_kg: f64,
    /// Hazardous waste held, kg.
    pub held_kg: f64,
    /// The mass of this waste where it is not in the account yet, kg.
    pub added_kg: Option<f64>,
}

impl MonthAccount {
    /// Says that the account was asked, and what it says.
    pub fn finding(&self, waste: &str) -> Finding {
        let figure = |kg: f64| significant(kg, 3);
        let subject = Subject::Solution(waste.to_owned());
        Finding::new("waste/month-from-ledger", Severity::Note, subject)
            .fact("month", self.month.as_str())
            .fact("month_kg", figure(self.month_kg))
            .fact("held_kg", figure(self.held_kg))
            .fact("added_kg", self.added_kg.map(figure))
    }
}

/// A category that a month's mass makes, with its limit.
#[derive(Debug, Clone, PartialEq)]
pub struct MonthCategory {
    /// Its name.
    pub name: String,
    /// Its limit, kg a month.
    pub limit_kg: Option<f64>,
    /// The rule that sets it.
    pub origin: Origin,
}

/// The category that a month's mass alone makes, kg; `None` where the rules know none or leave
/// the holder out.
pub fn month_category(
    pack: &RulePack,
    holder: Holder,
    nation: Option<&str>,
    month_kg: f64,
) -> Option<MonthCategory> {
    let waste = WasteDescription {
        holder: Some(holder),
        nation: nation.map(str::to_owned),
        ..WasteDescription::default()
    };
    let facts = Facts::of(&waste, pack);
    let applies = |when: &super::when::AnyWhen, so_far: &SoFar| {
        when.test(&facts, so_far).answer == Answer::Yes
    };
    if pack
        .outside
        .iter()
        .any(|rule| applies(&rule.when, &SoFar::default()))
    {
        return None;
    }
    let so_far = SoFar {
        month_kg: Some(month_kg),
        hazardous: true,
        ..SoFar::default()
    };
    let rule = category(&facts, pack, &so_far)?;
    let so_far = SoFar {
        generator: Some(rule.name.clone()),
        ..so_far
    };
    // Where two limits stand, a local one beside the country's, the lower one binds.
    let limits = pack
        .limits
        .iter()
        .filter(|rule| rule.measure == Measure::MonthKg && applies(&rule.when, &so_far));
    Some(MonthCategory {
        name: rule.name.clone(),
        limit_kg: limits
            .filter_map(|rule| rule.at_most.or(rule.below))
            .min_by(f64::total_cmp),
        origin: rule.from.clone(),
    })
}

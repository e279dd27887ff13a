//! What a local rule file lays over a pack, and what of the pack it is held against.

use crate::provenance::Origin;

use super::description::Holder;
use super::pack::RulePack;
use super::rules::{DrainRule, Effect, LimitRule, Measure};
use super::when::{AnyWhen, When};

/// How long a stream may stay, by one rule.
#[derive(Debug, Clone, PartialEq)]
pub struct DaysLimit {
    /// Days.
    pub days: f64,
    /// In the rule's words.
    pub what: String,
    /// Where it is from.
    pub origin: Origin,
}

impl RulePack {
    /// Adds a limit of days for a stream. Nothing is replaced: the earliest day counts.
    pub fn add_days(&mut self, stream: &str, days: f64, title: &str, from: &Origin) {
        self.limits.push(LimitRule {
            id: format!("local-days-{stream}"),
            what: format!("days in store here, by {title}"),
            measure: Measure::Days,
            at_most: Some(days),
            below: None,
            unit: "days".to_owned(),
            advisory: false,
            excess_days: None,
            when: of_stream(stream),
            unless: AnyWhen::default(),
            from: from.clone(),
        });
    }

    /// Adds a drain rule for a stream; none allows.
    pub fn add_drain(&mut self, stream: &str, effect: Effect, text: String, from: &Origin) {
        self.drain.push(DrainRule {
            id: format!("local-drain-{stream}"),
            effect,
            when: of_stream(stream),
            unless: AnyWhen::default(),
            text,
            from: from.clone(),
        });
    }

    /// How long a stream may stay with a holder, by every rule that may reach it. What depends on
    /// the month's amount counts as if it applied; acute waste is another matter.
    pub fn days_for(&self, stream: &str, holder: Option<Holder>) -> Vec<DaysLimit> {
        let days = self
            .limits
            .iter()
            .filter(|rule| rule.measure == Measure::Days);
        days.filter(|rule| reaches(&rule.when, stream, holder))
            .filter_map(|rule| {
                Some(DaysLimit {
                    days: rule.at_most?,
                    what: rule.what.clone(),
                    origin: rule.from.clone(),
                })
            })
            .collect()
    }

    /// How long records of waste are kept: years, the duty's words, where it is from.
    pub fn records_kept(&self) -> Vec<(f64, String, Origin)> {
        let kept = self.duties.iter();
        kept.filter_map(|duty| Some((duty.keep_years?, duty.text.clone(), duty.from.clone())))
            .collect()
    }
}

fn of_stream(stream: &str) -> AnyWhen {
    AnyWhen::One(Box::new(When {
        stream: vec![stream.to_owned()],
        ..When::default()
    }))
}

fn reaches(when: &AnyWhen, stream: &str, holder: Option<Holder>) -> bool {
    let alternatives = match when {
        AnyWhen::One(one) => std::slice::from_ref(one.as_ref()),
        AnyWhen::Several(list) => list.as_slice(),
    };
    alternatives.iter().any(|when| {
        let stream_fits = when.stream.is_empty() || when.stream.iter().any(|one| one == stream);
        let holder_fits =
            when.holder.is_empty() || holder.is_none_or(|one| when.holder.contains(&one));
        stream_fits && holder_fits && when.acute_held_kg.is_none()
    })
}

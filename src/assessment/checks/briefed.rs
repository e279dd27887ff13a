//! People of the session who were not briefed on something that is opened today.

use chrono::NaiveDate;

use crate::finding::{Finding, Severity, Subject};
use crate::provenance::{Basis, Origin};

use super::{Context, listed};

/// One finding a person, where the workspace keeps a ledger. A group without names cannot be
/// looked up.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    if context.plan.briefed.is_none() {
        return Vec::new();
    }
    let named = context
        .plan
        .people
        .iter()
        .filter(|person| person.count == 1);
    named.flat_map(|person| of(context, &person.name)).collect()
}

fn of(context: &Context<'_>, person: &str) -> Vec<Finding> {
    let (mut never, mut long_ago) = (Vec::new(), Vec::new());
    let mut oldest: Option<NaiveDate> = None;
    for hazards in context
        .chemicals
        .iter()
        .filter(|h| h.chemical.id != "water")
    {
        let name = hazards.chemical.name.clone();
        match context.plan.last_briefed(person, &hazards.chemical.id) {
            None => never.push(name),
            Some(day) if is_old(context, day) => {
                oldest = Some(oldest.map_or(day, |other| other.min(day)));
                long_ago.push(name);
            }
            Some(_) => {}
        }
    }
    let never = (!never.is_empty()).then(|| {
        let finding = Finding::new("people/not-briefed", Severity::Attention, Subject::Session);
        finding.fact("names", listed(&never))
    });
    let long_ago = oldest.map(|day| {
        let finding = Finding::new(
            "people/briefed-long-ago",
            Severity::Attention,
            Subject::Session,
        );
        let every = context
            .plan
            .setting
            .briefing_every
            .map(|every| every.to_string());
        finding
            .fact("names", listed(&long_ago))
            .fact("day", day.to_string())
            .fact("every", every.unwrap_or_default())
    });
    let told = |finding: Finding| {
        finding
            .fact("person", person)
            .place(&context.plan.top)
            .because(Basis::Fact {
                what: "a new hazard asks for new training".into(),
                origin: Origin::Published {
                    reference: "cfr-29-1910-1200".into(),
                    at: "(h)(1)".into(),
                },
            })
    };
    [never, long_ago].into_iter().flatten().map(told).collect()
}

/// By the place's own rule; where the day of the session is not stated, it cannot be told, and
/// counts as too long ago.
fn is_old(context: &Context<'_>, day: NaiveDate) -> bool {
    let Some(every) = context.plan.setting.briefing_every else {
        return false;
    };
    let days = |today: NaiveDate| (today - day).num_days() as f64;
    context
        .plan
        .date
        .is_none_or(|today| days(today) * 24.0 > every.hours())
}

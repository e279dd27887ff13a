//! What must be there, and is not.

use crate::finding::{Finding, Severity, Subject};
use crate::plan::Setting;
use crate::rules::{Need, Require, Rule, RuleFile, Target};
use crate::units::significant;

use super::super::Context;
use super::{by, present};

/// One stop for each requirement that session and place do not meet; what is not stated is not met.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let chemicals = present(context);
    let files = context.rules.local.files.iter();
    files
        .flat_map(|rules| rules.require.iter().map(move |rule| (rules, rule)))
        .filter(|(_, rule)| Target::concerns_any(&rule.what.about, &chemicals))
        .filter_map(|(rules, rule)| unmet(context, rules, rule))
        .collect()
}

fn unmet(context: &Context<'_>, rules: &RuleFile, rule: &Rule<Require>) -> Option<Finding> {
    let (need, asked, has) = missing(context, &rule.what.need)?;
    let about = rule
        .what
        .about
        .as_ref()
        .map(|target| target.written.clone());
    let finding = Finding::new("rules/required", Severity::Stop, Subject::Session)
        .fact("need", need)
        .fact("asked", asked.clone())
        .fact("has", has)
        .fact("about", about);
    let finding = finding.place(&context.plan.top);
    Some(by(finding, rules, rule, &format!("{need} {asked}")))
}

/// Which need, what was asked, what there is; nothing where it is met.
fn missing(context: &Context<'_>, need: &Need) -> Option<(&'static str, String, Option<String>)> {
    let setting = &context.plan.setting;
    match need {
        Need::Wear(id) => {
            let worn = context.plan.wear.iter().any(|item| item.value == *id);
            let item = context.catalogue.wear_item(id);
            let title = item.map_or(id.clone(), |item| item.title.clone());
            (!worn).then_some(("wear", title, None))
        }
        Need::Changes(asked) => {
            let has = context.air.and_then(|air| air.work.as_ref());
            let has = has
                .map(|work| work.changes_per_hour)
                .filter(|_| setting.room.is_some());
            let met = has.is_some_and(|has| has >= *asked);
            let has = has.map(|has| significant(has, 2));
            (!met).then(|| ("changes", significant(*asked, 3), has))
        }
        Need::FreshAir(asked) => {
            let has = counted(context, setting);
            let met = has.is_some_and(|has| has >= asked.m3_per_h());
            let has = has.map(|has| significant(has, 2));
            (!met).then(|| ("fresh-air", significant(asked.m3_per_h(), 3), has))
        }
        Need::Supervision(role) => {
            (!supervised(context, role)).then(|| ("supervision", role.clone(), None))
        }
        Need::SecondPerson => {
            (setting.alone != Some(false)).then(|| ("second-person", String::new(), None))
        }
        Need::Eyewash => setting
            .eyewash
            .is_none()
            .then(|| ("eyewash", String::new(), None)),
        Need::SpillKit => setting
            .spill_kit
            .is_none()
            .then(|| ("spill-kit", String::new(), None)),
    }
}

/// Fresh air as the room calculator counts it: half of what is printed on a fan.
fn counted(context: &Context<'_>, setting: &Setting) -> Option<f64> {
    let work = context.air.and_then(|air| air.work.as_ref())?;
    let stated = setting.fresh_air.is_some() || setting.fan.is_some();
    stated.then_some(work.fresh_air_m3_per_h)
}

fn supervised(context: &Context<'_>, role: &str) -> bool {
    let roles = context
        .plan
        .people
        .iter()
        .filter_map(|person| person.role.as_deref());
    let fits = |has: &str| {
        if role.is_empty() {
            let known = context.catalogue.supervising();
            known.iter().any(|one| one.eq_ignore_ascii_case(has))
        } else {
            role.eq_ignore_ascii_case(has)
        }
    };
    roles.into_iter().any(fits)
}

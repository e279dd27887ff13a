//! People younger than the rules of the place say.

use crate::finding::{Finding, Severity, Subject};
use crate::rules::{Age, Rule, RuleFile, Target};
use crate::session::Person;

use super::super::{Context, listed};
use super::{by, present};

/// A stop where someone is too young; an attention where an age is not stated.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let chemicals = present(context);
    let files = context.rules.local.files.iter();
    files
        .flat_map(|rules| rules.ages.iter().map(move |rule| (rules, rule)))
        .filter(|(_, rule)| Target::concerns_any(&rule.what.about, &chemicals))
        .filter_map(|(rules, rule)| finding(context, rules, rule))
        .collect()
}

fn finding(context: &Context<'_>, rules: &RuleFile, rule: &Rule<Age>) -> Option<Finding> {
    let least = rule.what.at_least;
    let people = &context.plan.people;
    let names = |of: &dyn Fn(&Person) -> bool| -> Vec<String> {
        let found = people.iter().filter(|person| of(person));
        found.map(|person| person.name.clone()).collect()
    };
    let young = names(&|person| person.age.is_some_and(|age| age < least));
    let unknown = names(&|person| person.age.is_none());
    let severity = match (young.is_empty(), unknown.is_empty() && !people.is_empty()) {
        (false, _) => Severity::Stop,
        (true, false) => Severity::Attention,
        (true, true) => return None,
    };
    let about = rule
        .what
        .about
        .as_ref()
        .map(|target| target.written.clone());
    let finding = Finding::new("rules/age", severity, Subject::Session)
        .fact("young", listed(&young))
        .fact("unknown", listed(&unknown))
        .fact("least", least)
        .fact("about", about)
        .place(&context.plan.top);
    Some(by(finding, rules, rule, &format!("{least} years at least")))
}

//! Two rules of one file that cannot both be meant: both are refused, so that someone decides.

use crate::source::{Mistake, Place};

use super::{Limit, Rule, RuleFile, Target};

/// Takes the contradicting rules out of a file and says where they stand.
pub(super) fn settle(rules: &mut RuleFile) -> Vec<Mistake> {
    let mut found = Vec::new();
    let same_limit = |a: &Limit, b: &Limit| {
        let same_gas = a.gas.is_some() && a.gas == b.gas;
        let same_chemical = a.chemical.is_some() && a.chemical == b.chemical;
        a.kind == b.kind && (same_gas || same_chemical)
    };
    take(&mut rules.limits, &mut found, |a, b| {
        (same_limit(a, b) && a.value != b.value).then(|| format!("{} {}", a.name, a.kind))
    });
    take(&mut rules.drain, &mut found, |a, b| {
        (a.stream == b.stream && a.is != b.is).then(|| format!("the drain for {}", a.stream))
    });
    take(&mut rules.days, &mut found, |a, b| {
        (a.stream == b.stream && a.at_most != b.at_most)
            .then(|| format!("the days of {}", a.stream))
    });
    take(&mut rules.ages, &mut found, |a, b| {
        let subject = || {
            a.about
                .as_ref()
                .map_or("everything", |t| t.written.as_str())
        };
        let same = match (&a.about, &b.about) {
            (Some(one), Some(other)) => one.is_same(other),
            (one, other) => one.is_none() && other.is_none(),
        };
        (same && a.at_least != b.at_least).then(|| format!("the age for {}", subject()))
    });
    take(&mut rules.retention, &mut found, |a, b| {
        (a.records == b.records && a.at_least != b.at_least)
            .then(|| "how long records are kept".to_owned())
    });
    forbidden_yet_used(rules, &mut found);
    found
}

/// Both of a pair that contradicts are taken out.
fn take<T>(
    list: &mut Vec<Rule<T>>,
    found: &mut Vec<Mistake>,
    contradicts: impl Fn(&T, &T) -> Option<String>,
) {
    let mut out = vec![false; list.len()];
    for (at, one) in list.iter().enumerate() {
        for (later, other) in list.iter().enumerate().skip(at + 1) {
            if let Some(what) = contradicts(&one.what, &other.what) {
                found.push(against(&other.place, &one.place, &what));
                out[at] = true;
                out[later] = true;
            }
        }
    }
    let mut out = out.into_iter();
    list.retain(|_| !out.next().unwrap_or(false));
}

fn against(place: &Place, first: &Place, what: &str) -> Mistake {
    let message = format!("this sets {what} otherwise than line {} does", first.line);
    Mistake::at(
        place.clone(),
        message,
        "keep one of the two; neither is in force",
    )
}

/// What is forbidden is not opened: to say how it is opened contradicts that.
fn forbidden_yet_used(rules: &RuleFile, found: &mut Vec<Mistake>) {
    for ban in &rules.forbid {
        let target = &ban.what.target;
        let needs = rules
            .require
            .iter()
            .map(|rule| (rule.what.about.as_ref(), &rule.place));
        let ages = rules
            .ages
            .iter()
            .map(|rule| (rule.what.about.as_ref(), &rule.place));
        let same = |about: Option<&Target>| about.is_some_and(|about| about.is_same(target));
        for (_, place) in needs.chain(ages).filter(|(about, _)| same(*about)) {
            let message = format!(
                "`{}` is forbidden on line {}; here it is said how it may be opened",
                target.written, ban.place.line
            );
            let help = "keep one of the two; the ban is in force meanwhile";
            found.push(Mistake::at(place.clone(), message, help));
        }
    }
}

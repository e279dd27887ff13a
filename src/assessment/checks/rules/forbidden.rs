//! What may not be opened here.

use crate::finding::{Finding, Severity, Subject};
use crate::rules::{Meant, Rule, RuleFile};

use super::super::{Context, listed};
use super::{by, present};

/// One stop for each ban that something of the session falls under; what nobody has classified
/// may fall under a ban by class, and counts as if it did.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let files = context.rules.local.files.iter();
    files
        .flat_map(|rules| rules.forbid.iter().map(move |rule| (rules, rule)))
        .filter_map(|(rules, rule)| finding(context, rules, rule))
        .collect()
}

fn finding(
    context: &Context<'_>,
    rules: &RuleFile,
    rule: &Rule<crate::rules::Forbid>,
) -> Option<Finding> {
    let target = &rule.what.target;
    let (mut named, mut perhaps) = (Vec::new(), Vec::new());
    for chemical in present(context) {
        match target.means(&chemical) {
            Meant::Yes => named.push(chemical.name.clone()),
            Meant::Perhaps => perhaps.push(chemical.name.clone()),
            Meant::No => {}
        }
    }
    let first = named.first().or(perhaps.first())?.clone();
    let finding = Finding::new("rules/forbidden", Severity::Stop, Subject::Chemical(first))
        .fact("names", listed(&named))
        .fact("perhaps", listed(&perhaps))
        .fact("what", target.written.clone());
    Some(by(
        finding,
        rules,
        rule,
        &format!("{} is forbidden", target.written),
    ))
}

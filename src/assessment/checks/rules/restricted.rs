//! Who may hold what is opened: the lists of the law, which only the authority can settle.

use crate::finding::{Finding, Severity, Subject};
use crate::provenance::Basis;
use crate::rules::{Holding, restrictions};
use crate::units::significant;
use crate::waste::Holder;

use super::super::Context;
use super::present;

/// One finding for each list a jar falls under: an attention where it stops this holder.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let lists = &context.rules.local.lists;
    let setting = &context.plan.setting;
    let holder = match setting.holder.as_deref() {
        Some("business") => Some(Holder::Business),
        Some("school") => Some(Holder::School),
        Some("private") => Some(Holder::Private),
        _ => None,
    };
    let mut findings = Vec::new();
    for chemical in present(context) {
        for holding in restrictions(&chemical, &setting.rules, holder, lists) {
            findings.push(finding(&chemical.name, &holding, holder));
        }
    }
    findings
}

fn finding(name: &str, holding: &Holding<'_>, holder: Option<Holder>) -> Finding {
    let severity = if holding.stops {
        Severity::Attention
    } else {
        Severity::Note
    };
    let row = holding.row;
    let private = matches!(holder, None | Some(Holder::Private));
    let list = holding.list;
    let says = list.map(|list| if private { &list.says } else { &list.others });
    let limit = row.above_percent.or(row.from_percent);
    let figure = |percent: f64| significant(percent, 3);
    let code = "rules/restricted";
    Finding::new(code, severity, Subject::Chemical(name.to_owned()))
        .fact("name", name)
        .fact("region", row.region.clone())
        .fact(
            "act",
            list.map_or(row.act.clone(), |list| list.title.clone()),
        )
        .fact("held", limit.map(|_| figure(holding.held_percent)))
        .fact("limit", limit.map(figure))
        .fact("licence_to", row.licence_to_percent.map(figure))
        .fact("says", says.cloned())
        .fact("text", row.text.clone())
        .fact("ask", list.map(|list| list.ask.clone()))
        .fact("since", list.map(|list| list.date.to_string()))
        .fact("private", private)
        .fact("stated", holder.is_some())
        .because(Basis::fact(&row.act, &row.from))
}

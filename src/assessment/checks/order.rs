//! Order of addition: each step held against the state of the vessel at that moment.

use crate::catalogue::{OrderRule, VesselState, Which};
use crate::finding::{Finding, Severity, Subject};
use crate::plan::{Action, Added, Composition, Solution, Step};
use crate::provenance::Basis;
use crate::units::Temperature;

use super::Context;

/// Every rule of `hazards/order.yaml` that a step breaks; of several with one code at one step,
/// the weightiest.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut findings: Vec<Finding> = Vec::new();
    for solution in &context.plan.solutions {
        for (at, step) in solution.steps.iter().enumerate() {
            let Action::Add(added) = &step.action else {
                continue;
            };
            let before = at
                .checked_sub(1)
                .and_then(|at| solution.steps.get(at))
                .map(|step| &step.after);
            findings.extend(broken(context, solution, step, added, before));
            findings.extend(no_water(context, solution, step, added, before));
            findings.extend(heat_unknown(context, solution, step, added, before));
        }
    }
    findings
}

fn broken(
    context: &Context<'_>,
    solution: &Solution,
    step: &Step,
    added: &Added,
    before: Option<&Composition>,
) -> Vec<Finding> {
    let temperature = solution.start_temperature();
    let rules = context.catalogue.order_rules().iter().filter(|rule| {
        is_for(context, rule, solution)
            && rule.adding.includes(&added.jar)
            && adds_enough(rule, step, added)
            && holds(context, &rule.into, before, temperature)
    });
    let mut found: Vec<Finding> = Vec::new();
    for rule in rules {
        match found
            .iter_mut()
            .find(|other| other.code.as_str() == rule.code)
        {
            Some(other) if other.severity >= rule.severity => {}
            Some(other) => *other = finding(rule, solution, step, added),
            None => found.push(finding(rule, solution, step, added)),
        }
    }
    found
}

fn is_for(context: &Context<'_>, rule: &OrderRule, solution: &Solution) -> bool {
    // A recipe that does not say its kind is held against every rule: the worse case.
    rule.kinds.is_empty()
        || solution
            .kind
            .as_ref()
            .is_none_or(|kind| context.catalogue.is_kind(kind, &rule.kinds))
}

fn adds_enough(rule: &OrderRule, step: &Step, added: &Added) -> bool {
    let litres = step.after.litres();
    rule.adding
        .at_least_g_per_l
        .is_none_or(|least| litres <= 0.0 || added.mass.grams() / litres >= least)
}

fn holds(
    context: &Context<'_>,
    state: &VesselState,
    before: Option<&Composition>,
    temperature: Option<Temperature>,
) -> bool {
    let empty = Composition::default();
    let vessel = before.unwrap_or(&empty);
    let without = Which {
        groups: state.without_groups.clone(),
        chemicals: state.without_chemicals.clone(),
        ..Which::default()
    };
    let hot = |limit: f64| temperature.is_some_and(|start| start.celsius() > limit);
    let cold = |limit: f64| temperature.is_some_and(|start| start.celsius() < limit);
    let enough = state.holding().is_none_or(|which| {
        let grams = grams_per_litre(context, vessel, &which);
        grams > 0.0 && grams >= state.at_least_g_per_l.unwrap_or(0.0)
    });
    enough
        && grams_per_litre(context, vessel, &without) == 0.0
        && state.hotter_than_c.is_none_or(hot)
        && state.colder_than_c.is_none_or(cold)
        && (!state.empty || vessel.water_g == 0.0)
}

fn grams_per_litre(context: &Context<'_>, vessel: &Composition, which: &Which) -> f64 {
    let held = vessel
        .solutes
        .keys()
        .filter_map(|id| context.catalogue.chemical(id));
    held.filter(|chemical| which.includes(chemical))
        .map(|chemical| vessel.grams_per_litre(&chemical.id) * pure_share(&chemical))
        .sum()
}

/// The limits are for pure substance: a solution counts by its strength.
fn pure_share(chemical: &crate::catalogue::Chemical) -> f64 {
    chemical
        .strength
        .as_ref()
        .map_or(1.0, |strength| strength.percent / 100.0)
}

fn finding(rule: &OrderRule, solution: &Solution, step: &Step, added: &Added) -> Finding {
    Finding::new(
        &rule.code,
        rule.severity,
        Subject::Step(solution.title.clone(), step.number),
    )
    .fact("name", added.jar.name.clone())
    .fact("what", rule.what.clone())
    .fact("why", rule.why.clone())
    .fact("advice", rule.advice.clone())
    .place(&step.place)
    .because(Basis::fact("order of addition", &rule.from))
}

/// A solid or strong liquid that stands in the vessel before any water.
fn no_water(
    context: &Context<'_>,
    solution: &Solution,
    step: &Step,
    added: &Added,
    before: Option<&Composition>,
) -> Option<Finding> {
    let dry = before.is_none_or(|vessel| vessel.total_g() == 0.0);
    let known = context
        .catalogue
        .order_rules()
        .iter()
        .any(|rule| rule.into.empty && rule.adding.includes(&added.jar));
    // A stock that is only diluted may stand there first; water itself always may.
    let harmless = added.jar.id == "water" || !added.jar.is_solid();
    (dry && !known && !harmless).then(|| {
        Finding::new(
            "order/water-missing",
            Severity::Attention,
            Subject::Step(solution.title.clone(), step.number),
        )
        .fact("name", added.jar.name.clone())
        .place(&step.place)
    })
}

/// How warm the water is is not stated, and one warmth would stop the session.
fn heat_unknown(
    context: &Context<'_>,
    solution: &Solution,
    step: &Step,
    added: &Added,
    before: Option<&Composition>,
) -> Option<Finding> {
    if solution.start_temperature().is_some() || before.is_none_or(|vessel| vessel.water_g == 0.0) {
        return None;
    }
    let boiling = Temperature::from_celsius(100.0).ok();
    let (rule, limit) = context
        .catalogue
        .order_rules()
        .iter()
        .filter(|rule| {
            rule.severity == Severity::Stop
                && is_for(context, rule, solution)
                && rule.adding.includes(&added.jar)
                && adds_enough(rule, step, added)
                && holds(context, &rule.into, before, boiling)
        })
        .filter_map(|rule| Some((rule, rule.into.hotter_than_c?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    let limit = Temperature::from_celsius(limit).ok()?;
    Some(
        Finding::new(
            "order/heat-not-stated",
            Severity::Attention,
            Subject::Step(solution.title.clone(), step.number),
        )
        .fact("name", added.jar.name.clone())
        .fact("limit", limit.to_string())
        .fact("why", rule.why.clone())
        .place(&step.place)
        .because(Basis::fact("order of addition", &rule.from)),
    )
}

//! What must not meet: every pair on the bench held against the reactive groups.

use std::collections::BTreeSet;

use crate::catalogue::{Chemical, Reaction};
use crate::finding::{Finding, Severity, Subject};
use crate::plan::Solution;
use crate::provenance::Basis;
use crate::reaction;

use super::{Context, listed};

/// One finding for each reaction that something on the bench could take part in, naming everything
/// on either side.
///
/// Solutions are held against each other as baths of working strength, jars against the jars of
/// other solutions, and what stands on the bench against everything. What one recipe puts together
/// on purpose is left to the order of addition, unless it makes a toxic gas, a fire or an explosive
/// at once.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let parties = parties(context);
    let rules = context.catalogue.reactions();
    rules
        .iter()
        .filter_map(|rule| met(rule, &parties))
        .chain(rules.iter().filter_map(|rule| alone(rule, &parties)))
        .collect()
}

/// Something that stands on the bench.
struct Party<'a> {
    name: &'a str,
    chemicals: Vec<&'a Chemical>,
    /// The solution it is or belongs to; `None` for what merely stands there.
    solution: Option<usize>,
    diluted: bool,
}

impl Party<'_> {
    fn any(&self, is: impl Fn(&Chemical) -> bool) -> bool {
        self.chemicals.iter().any(|chemical| is(chemical))
    }

    /// Whether these two, in this order, are the two sides of a rule.
    fn meets(&self, other: &Self, rule: &Reaction) -> bool {
        reaction::meets(rule, &self.chemicals, &other.chemicals)
    }
}

fn parties<'a>(context: &Context<'a>) -> Vec<Party<'a>> {
    let mut parties = Vec::new();
    for (at, solution) in context.plan.solutions.iter().enumerate() {
        parties.push(bath(at, solution));
        parties.extend(solution.additions().map(|(_, added)| Party {
            name: &added.jar.name,
            chemicals: vec![&added.jar],
            solution: Some(at),
            diluted: false,
        }));
    }
    parties.extend(context.plan.bench.iter().map(|chemical| Party {
        name: &chemical.name,
        chemicals: vec![chemical],
        solution: None,
        diluted: false,
    }));
    parties
}

fn bath(at: usize, solution: &Solution) -> Party<'_> {
    let chemicals = solution.additions().map(|(_, added)| &*added.jar).collect();
    Party {
        name: &solution.title,
        chemicals,
        solution: Some(at),
        diluted: true,
    }
}

/// How much a pair weighs under a rule; `None` when it need not be said.
fn weight(rule: &Reaction, one: &Party<'_>, other: &Party<'_>) -> Option<Severity> {
    let together_on_purpose = one.solution.is_some() && one.solution == other.solution;
    let grave = rule.severity == Severity::Stop
        && matches!(
            rule.consequence.as_str(),
            "toxic gas" | "fire" | "explosive solid"
        );
    match (together_on_purpose, one.diluted || other.diluted) {
        (true, true) => None,
        (true, false) => grave.then_some(Severity::Stop),
        (false, true) if one.diluted && other.diluted => {
            Some(reaction::severity(rule, true))
        }
        // A bath beside a jar of another recipe: the jars' own pair says it.
        (false, true) if one.solution.is_some() && other.solution.is_some() => None,
        (false, _) => Some(rule.severity),
    }
}

fn met(rule: &Reaction, parties: &[Party<'_>]) -> Option<Finding> {
    let mut pairs: Vec<(&Party<'_>, &Party<'_>)> = Vec::new();
    let mut worst: Option<Severity> = None;
    for (at, one) in parties.iter().enumerate() {
        for other in &parties[at + 1..] {
            let (first, second) = match (one.meets(other, rule), other.meets(one, rule)) {
                (true, _) => (one, other),
                (false, true) => (other, one),
                (false, false) => continue,
            };
            if first.name == second.name {
                continue;
            }
            if let Some(severity) = weight(rule, first, second) {
                pairs.push((first, second));
                worst = worst.max(Some(severity));
            }
        }
    }
    let finding = Finding::new("meet/reaction", worst?, Subject::Session);
    // Where the baths themselves meet, their jars need not be named again.
    let baths_meet = |(first, second): &&(&Party<'_>, &Party<'_>)| first.diluted && second.diluted;
    let of_jars = |(first, second): &&(&Party<'_>, &Party<'_>)| {
        first.solution.is_some() && second.solution.is_some()
    };
    let told_by_baths = pairs.iter().any(|pair| baths_meet(&pair));
    pairs = pairs
        .iter()
        .filter(|pair| !told_by_baths || baths_meet(pair) || !of_jars(pair))
        .copied()
        .collect();
    let names = |side: Vec<&str>| {
        let unique: BTreeSet<&str> = side.into_iter().collect();
        listed(&unique.into_iter().map(str::to_owned).collect::<Vec<_>>())
    };
    let (a, b): (Vec<&str>, Vec<&str>) = pairs
        .iter()
        .map(|(first, second)| (first.name, second.name))
        .unzip();
    Some(told(finding, rule).fact("a", names(a)).fact("b", names(b)))
}

/// What turns dangerous without a partner.
fn alone(rule: &Reaction, parties: &[Party<'_>]) -> Option<Finding> {
    let condition = rule.alone.as_ref()?;
    let names: BTreeSet<String> = parties
        .iter()
        .filter(|party| !party.diluted && party.any(|chemical| rule.is_a(chemical)))
        .map(|party| party.name.to_owned())
        .collect();
    if names.is_empty() {
        return None;
    }
    let finding = Finding::new("meet/alone", rule.severity, Subject::Session);
    Some(
        told(finding, rule)
            .fact("a", listed(&names.into_iter().collect::<Vec<_>>()))
            .fact("alone", condition.clone()),
    )
}

/// The facts every reaction tells.
pub(super) fn told(finding: Finding, rule: &Reaction) -> Finding {
    finding
        .fact("consequence", rule.consequence.clone())
        .fact("gas", rule.gas.clone())
        .fact("text", rule.text.clone())
        .fact("advice", rule.advice.clone())
        .because(Basis::fact(rule.id.replace('-', " "), &rule.from))
}

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
    merged(rules.iter().filter_map(|rule| met(rule, &parties)))
        .into_iter()
        .chain(rules.iter().filter_map(|rule| alone(rule, &parties)))
        .collect()
}

/// Several reactions of the same two with the same outcome are one thing to know: their reasons
/// and advice stand together.
fn merged(findings: impl Iterator<Item = Finding>) -> Vec<Finding> {
    let outcome = |finding: &Finding| {
        let fact = |name: &str| finding.facts.get(name).map(ToString::to_string);
        let mut sides = [fact("a"), fact("b")];
        sides.sort();
        (finding.severity, sides, fact("consequence"), fact("gas"))
    };
    let mut kept: Vec<Finding> = Vec::new();
    for finding in findings {
        match kept
            .iter_mut()
            .find(|other| outcome(other) == outcome(&finding))
        {
            Some(other) => append(other, finding),
            None => kept.push(finding),
        }
    }
    kept
}

fn append(kept: &mut Finding, finding: Finding) {
    for name in ["text", "advice"] {
        let words = |of: &Finding| {
            of.facts
                .get(name)
                .and_then(|v| v.as_str())
                .map(str::to_owned)
        };
        if let (Some(old), Some(new)) = (words(kept), words(&finding))
            && !old.contains(&new)
        {
            kept.facts
                .insert(name.to_owned(), format!("{old} {new}").into());
        }
    }
    kept.basis.extend(finding.basis);
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
        (false, true) if one.diluted && other.diluted => Some(reaction::severity(rule, true)),
        // A bath beside a jar of another recipe: the jars' own pair says it.
        (false, true) if one.solution.is_some() && other.solution.is_some() => None,
        (false, _) => Some(rule.severity),
    }
}

fn met(rule: &Reaction, parties: &[Party<'_>]) -> Option<Finding> {
    let mut pairs: Vec<(&Party<'_>, &Party<'_>, Severity)> = Vec::new();
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
                pairs.push((first, second, severity));
            }
        }
    }
    let worst = pairs.iter().map(|(_, _, severity)| *severity).max()?;
    // What weighs less goes without saying beside what weighs most.
    pairs.retain(|(_, _, severity)| *severity == worst);
    let finding = Finding::new("meet/reaction", worst, Subject::Session);
    // Where the baths themselves meet, their jars need not be named again.
    let baths_meet = |pair: &(&Party<'_>, &Party<'_>, Severity)| pair.0.diluted && pair.1.diluted;
    let told_by_baths = pairs.iter().any(baths_meet);
    pairs.retain(|pair| {
        let of_jars = pair.0.solution.is_some() && pair.1.solution.is_some();
        !told_by_baths || baths_meet(pair) || !of_jars
    });
    let names = |side: Vec<&str>| {
        let unique: BTreeSet<&str> = side.into_iter().collect();
        listed(&unique.into_iter().map(str::to_owned).collect::<Vec<_>>())
    };
    let (a, b): (Vec<&str>, Vec<&str>) = pairs
        .iter()
        .map(|(first, second, _)| (first.name, second.name))
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

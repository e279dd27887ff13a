//! What must not meet in one vessel: by the makeup of the solutions where it is known, by what
//! their waste streams hold as a rule otherwise.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use serde_json::{Value, json};

use crate::catalogue::{Catalogue, Chemical, Reaction, fold};
use crate::finding::{Finding, Severity, Subject};
use crate::provenance::Basis;
use crate::waste::Streams;

use super::checks::{Content, Mixing};
use super::gas::{GasTable, Given};
use super::held::ANYTHING;

/// Answers what comes of pouring together, from the data files and the workspace's recipes.
pub struct Meeting<'a> {
    /// Reactions, kinds of solution and streams.
    pub catalogue: &'a Catalogue,
    /// What the streams bear as a rule.
    pub streams: &'a Streams,
    /// Chemicals of the solutions made here, by folded name.
    pub makeup: BTreeMap<String, Vec<Arc<Chemical>>>,
    /// What amounts of gas are worked out with; without it gases are named only.
    pub gas: Option<GasTable<'a>>,
}

/// What a content may react by.
struct Matter<'m> {
    chemicals: &'m [Arc<Chemical>],
    groups: BTreeSet<&'m str>,
}

impl Matter<'_> {
    fn is(&self, side: &[String], one: impl Fn(&Chemical) -> bool) -> bool {
        let by_group = side.iter().any(|name| self.groups.contains(name.as_str()));
        by_group || self.chemicals.iter().any(|chemical| one(chemical))
    }
}

impl Mixing for Meeting<'_> {
    fn meet(&self, place: &str, held: &[Content], incoming: &[Content]) -> Vec<Finding> {
        let mut findings = Vec::new();
        for new in incoming {
            for old in held.iter().filter(|old| differ(old, new)) {
                // Parts of one name, as stock and the water it was thinned with, are told once.
                let found = self.pair(place, old, new);
                findings.extend(found.filter(|one| !findings.contains(one)));
            }
        }
        if let Some(table) = &self.gas {
            self.with_amounts(table, (place, held, incoming), &mut findings);
        }
        findings
    }
}

fn differ(old: &Content, new: &Content) -> bool {
    old.name != new.name || old.stream != new.stream
}

impl Meeting<'_> {
    /// Adds how much of each gas, and the gases that only the figures show.
    fn with_amounts(
        &self,
        table: &GasTable,
        (place, held, incoming): (&str, &[Content], &[Content]),
        findings: &mut Vec<Finding>,
    ) {
        let present: Vec<Content> = held.iter().filter(|old| old.amount > 0).cloned().collect();
        let meets = |old: &Content| incoming.iter().any(|new| differ(old, new));
        if !present.iter().any(meets) {
            return;
        }
        let both = (present.as_slice(), incoming);
        for given in table.of_pour(place, both, self.catalogue, self.streams) {
            let fact = table.fact(&given.gas);
            let named = |finding: &Finding| {
                let gases = finding.facts.get("gases").and_then(Value::as_array);
                gases.is_some_and(|gases| gases.contains(&json!(given.gas.name)))
            };
            match findings.iter_mut().find(|finding| named(finding)) {
                Some(finding) => add(finding, fact),
                None if given.gas.passes().is_some() => {
                    findings.push(gives_off(place, both, &given, fact));
                }
                None => {}
            }
        }
    }

    fn pair(&self, place: &str, old: &Content, new: &Content) -> Option<Finding> {
        let subject = || Subject::Solution(place.to_owned());
        if old.stream == "unknown" || new.stream == "unknown" {
            let severity = limited(Severity::Stop, old, new);
            let finding = Finding::new("ledger/unknown-contents", severity, subject());
            return Some(finding.fact("place", place));
        }
        let reactions = self.reactions(old, new);
        let stream = self.catalogue.stream(&old.stream);
        let never = stream.is_some_and(|stream| stream.never_with.contains(&new.stream));
        let worst = reactions.iter().map(|reaction| weight(reaction)).max();
        let worst = if never { Some(Severity::Stop) } else { worst };
        let severity = limited(worst.filter(|worst| *worst > Severity::Note)?, old, new);
        let weighty = reactions.iter().filter(|one| weight(one) > Severity::Note);
        let gases: BTreeSet<&str> = weighty
            .clone()
            .filter_map(|one| one.gas.as_deref())
            .collect();
        let why = match weighty.clone().max_by_key(|one| weight(one)) {
            Some(reaction) => reaction.text.as_str(),
            None => stream.map_or("", |stream| stream.why_never.as_str()),
        };
        let finding = Finding::new("ledger/must-not-meet", severity, subject())
            .fact("place", place)
            .fact("held", old.name.as_str())
            .fact("incoming", new.name.as_str())
            .fact("unwashed", old.amount <= 0)
            .fact("gases", gases.into_iter().collect::<Vec<_>>())
            .fact("amounts", Vec::<Value>::new())
            .fact("why", why);
        Some(weighty.fold(finding, |finding, one| {
            finding.because(Basis::fact(&one.id, &one.from))
        }))
    }

    fn reactions(&self, old: &Content, new: &Content) -> Vec<&Reaction> {
        let (a, b) = (self.matter(old), self.matter(new));
        let meets = |reaction: &Reaction, one: &Matter, other: &Matter| {
            one.is(&reaction.a, |chemical| reaction.is_a(chemical))
                && other.is(&reaction.b, |chemical| reaction.is_b(chemical))
        };
        let of_two = self
            .catalogue
            .reactions()
            .iter()
            .filter(|one| !one.b.is_empty());
        of_two
            .filter(|reaction| meets(reaction, &a, &b) || meets(reaction, &b, &a))
            .collect()
    }

    /// A solution made here is what its recipe says, and has taken up what its stream bears; of
    /// another nothing is known but what solutions of its stream hold.
    fn matter<'m>(&'m self, content: &Content) -> Matter<'m> {
        let chemicals = self.makeup.get(&fold(&content.name));
        let bears = self.streams.get(&content.stream);
        let mut groups: BTreeSet<&str> = bears
            .iter()
            .flat_map(|s| &s.bears)
            .map(String::as_str)
            .collect();
        if chemicals.is_none() {
            let kinds = self.catalogue.kinds();
            let kinds = kinds.filter(|kind| kind.stream.as_ref() == Some(&content.stream));
            groups.extend(
                kinds
                    .flat_map(|kind| &kind.needs_groups)
                    .map(String::as_str),
            );
        }
        Matter {
            chemicals: chemicals.map_or(&[], Vec::as_slice),
            groups,
        }
    }
}

fn add(finding: &mut Finding, amount: Value) {
    if let Some(Value::Array(amounts)) = finding.facts.get_mut("amounts") {
        amounts.push(amount);
    }
}

/// A gas above a limit that no pair of groups tells of.
fn gives_off(
    place: &str,
    (held, incoming): (&[Content], &[Content]),
    given: &Given,
    amount: Value,
) -> Finding {
    let pairs = held
        .iter()
        .flat_map(|old| incoming.iter().map(move |new| (old, new)));
    let severity = pairs
        .map(|(old, new)| limited(given.severity, old, new))
        .max();
    let severity = severity.unwrap_or(given.severity);
    Finding::new(
        "ledger/gives-off-gas",
        severity,
        Subject::Solution(place.to_owned()),
    )
    .fact("place", place)
    .fact("amounts", vec![amount])
}

/// How much a reaction weighs for matter poured together and left.
fn weight(reaction: &Reaction) -> Severity {
    reaction.in_waste.unwrap_or(reaction.severity)
}

/// An unwashed vessel holds a trace, and one stream is collected together on purpose: both are
/// something to take care of, no reason to stop. What may be anything is never milder.
fn limited(severity: Severity, old: &Content, new: &Content) -> Severity {
    let together = old.stream == new.stream && !ANYTHING.contains(&new.stream.as_str());
    if old.amount <= 0 || together {
        severity.min(Severity::Attention)
    } else {
        severity
    }
}

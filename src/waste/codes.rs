//! The codes of a waste by the rules of a place.

use super::condition::{Outcome, SoFar};
use super::determination::CodeLine;
use super::facts::Facts;
use super::pack::RulePack;
use super::rules::{Choose, CodeRule};
use super::when::Answer;

/// What the code rules came to.
pub struct Codes {
    /// Codes the waste takes, certain or assumed.
    pub given: Vec<CodeLine>,
    /// Entries a collector may choose among where the list has none of its own.
    pub candidates: Vec<CodeLine>,
    /// Codes that a missing figure may bring.
    pub possible: Vec<CodeLine>,
}

/// Runs every code rule over a waste.
pub fn determine(facts: &Facts, pack: &RulePack, so_far: &SoFar) -> Codes {
    let mut codes = Codes {
        given: Vec::new(),
        candidates: Vec::new(),
        possible: Vec::new(),
    };
    for rule in &pack.codes {
        let outcome = test(rule, facts, so_far);
        let list = match outcome.answer {
            Answer::No => continue,
            _ if rule.candidate => &mut codes.candidates,
            Answer::Possible => &mut codes.possible,
            Answer::Assumed | Answer::Yes => &mut codes.given,
        };
        add(list, line(rule, &outcome));
    }
    if pack.choose == Choose::First {
        codes.given.truncate(1);
        codes.possible.clear();
        if !codes.given.is_empty() {
            codes.candidates.clear();
        }
    }
    codes.given.sort_by(|a, b| a.code.cmp(&b.code));
    let given: Vec<String> = codes.given.iter().map(|line| line.code.clone()).collect();
    codes.possible.retain(|line| !given.contains(&line.code));
    codes
}

fn test(rule: &CodeRule, facts: &Facts, so_far: &SoFar) -> Outcome {
    // Only an exclusion that certainly holds excludes.
    if rule.unless.test(facts, so_far).answer == Answer::Yes {
        return Outcome {
            answer: Answer::No,
            because: Vec::new(),
        };
    }
    let mut outcome = rule.when.test(facts, so_far);
    outcome.answer = outcome.answer.min(rule.certainty);
    outcome
}

fn line(rule: &CodeRule, outcome: &Outcome) -> CodeLine {
    let mut because = outcome.because.join("; ");
    if !rule.title.is_empty() {
        let separator = if because.is_empty() { "" } else { ": " };
        because = format!("{because}{separator}{}", rule.title);
    }
    CodeLine {
        code: rule.code.clone(),
        because,
        acute: rule.acute,
        assumed: outcome.answer != Answer::Yes,
        origin: rule.from.clone(),
    }
}

/// One line a code; of two the surer one stays.
fn add(list: &mut Vec<CodeLine>, line: CodeLine) {
    match list.iter_mut().find(|other| other.code == line.code) {
        Some(other) if other.assumed && !line.assumed => *other = line,
        Some(_) => {}
        None => list.push(line),
    }
}

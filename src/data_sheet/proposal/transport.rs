//! Section 14: UN number, class and packing group.

use super::figures::value;
use super::hazards::in_section;
use super::sections::Line;
use super::terms::{Terms, tokens};
use super::{Doubt, Field, Proposal, Why};

/// `UN 1789, class 8, group II`, where all numbers of section 14 agree.
pub(super) fn propose(lines: &[Line<'_>], terms: &Terms, proposal: &mut Proposal) {
    let section = in_section(lines, 14);
    let mut numbers: Vec<(String, Line<'_>)> = Vec::new();
    // By carriers, each with its name before it; the next subsection has a number.
    let is_value = |line: Line<'_>| line.bare().len() == line.text.len();
    let labelled = value(lines, 14, &terms.labels.un, is_value).into_iter();
    let labelled = labelled.flat_map(|(text, line)| {
        let numbers = tokens(text).into_iter().filter(is_un);
        numbers.map(move |number| (number.to_owned(), line))
    });
    let written = section.iter().flat_map(|line| {
        let numbers = un_numbers(line.text).into_iter();
        numbers.map(move |number| (number, *line))
    });
    for (number, line) in written.chain(labelled) {
        if !numbers.iter().any(|(other, _)| *other == number) {
            numbers.push((number, line));
        }
    }
    let first = |labels: &[String], fits: fn(&str) -> bool| {
        let mut found: Vec<(&str, Line<'_>)> = Vec::new();
        for (text, line) in value(lines, 14, labels, is_value) {
            let words = text.split(|c: char| c.is_whitespace() || ",;:".contains(c));
            for word in words.filter(|word| fits(word)) {
                if !found.iter().any(|(other, _)| *other == word) {
                    found.push((word, line));
                }
            }
        }
        // Carriers that disagree settle nothing.
        let only = found.len() == 1;
        found.pop().filter(|_| only)
    };
    match numbers.as_slice() {
        [] => {
            let said = section
                .iter()
                .filter(|line| terms.unregulated.are_in(line.text));
            let doubts = said.map(|line| Doubt::of(*line, Why::SaysUnregulated));
            proposal.doubts.extend(doubts);
        }
        [(number, line)] => {
            let (mut said, mut from) = (format!("UN {number}"), vec![*line]);
            let class = |word: &str| word.starts_with(|c: char| c.is_ascii_digit());
            if let Some((class, line)) = first(&terms.labels.transport_class, class) {
                said.push_str(&format!(", class {class}"));
                from.push(line);
            }
            let group = |word: &str| ["I", "II", "III"].contains(&word);
            if let Some((group, line)) = first(&terms.labels.packing_group, group) {
                said.push_str(&format!(", group {group}"));
                from.push(line);
            }
            proposal.add(Field::Transport, said, &from);
        }
        several => proposal.disagree(several.iter().map(|(_, line)| *line)),
    }
}

fn is_un(word: &&str) -> bool {
    word.len() == 4 && word.bytes().all(|b| b.is_ascii_digit())
}

/// `UN 1789` and `UN1789`.
fn un_numbers(text: &str) -> Vec<String> {
    let words = tokens(text);
    let apart = words
        .windows(2)
        .filter(|pair| pair[0] == "UN")
        .map(|pair| pair[1]);
    let joined = words.iter().filter_map(|word| word.strip_prefix("UN"));
    apart
        .chain(joined)
        .filter(is_un)
        .map(str::to_owned)
        .collect()
}

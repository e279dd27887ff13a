//! Section 2: hazard statements and the classes they belong to.

use std::sync::Arc;

use super::sections::Line;
use super::terms::{Terms, spell, tokens};
use super::{Doubt, Field, Proposal, Why};
use crate::catalogue::fold;
use crate::classify::{Category, Classes};

/// A class named on a line; several rows where its route is open.
struct Mention<'a> {
    line: Line<'a>,
    rows: Vec<&'a Arc<Category>>,
}

/// Proposes the classes of section 2 whose statement and category the sheet settles.
pub(super) fn propose<'t>(
    lines: &'t [Line<'t>],
    terms: &Terms,
    classes: &'t Classes,
    proposal: &mut Proposal,
) {
    let section: Vec<Line<'t>> = in_section(lines, 2);
    let mentions: Vec<Mention<'t>> = section
        .iter()
        .flat_map(|line| mentions(*line, terms, classes))
        .collect();
    let mut settled: Vec<&Arc<Category>> = Vec::new();
    let mut seen: Vec<String> = Vec::new();
    for line in &section {
        for code in statements(line.text) {
            if seen.contains(&code) {
                continue;
            }
            seen.push(code.clone());
            if code.starts_with("EUH") {
                proposal.add(Field::Supplemental, code, &[*line]);
                continue;
            }
            match class_of(&code, *line, &mentions, classes) {
                Ok((row, by)) => {
                    settled.push(row);
                    let mut from = vec![*line];
                    if let By::Line(other) = by {
                        from.push(other);
                    }
                    from.sort_by_key(|line| line.number);
                    proposal.add(
                        Field::Classification,
                        format!("{} {code}", row.class),
                        &from,
                    );
                    if by == By::Statement {
                        proposal.by_statement.push(code);
                    }
                }
                Err(why) => proposal.open_class(*line, why),
            }
        }
    }
    // A class that names its statement by itself.
    for mention in &mentions {
        let is_told = mention.rows.iter().any(|row| settled.contains(row));
        match (mention.rows.as_slice(), is_told) {
            (_, true) => {}
            ([row], false) => {
                settled.push(row);
                let code = row.statement.clone().unwrap_or_default();
                let value = format!("{} {code}", row.class).trim_end().to_owned();
                proposal.add(Field::Classification, value, &[mention.line]);
            }
            (rows, false) => {
                settled.extend(rows);
                proposal.open_class(mention.line, Why::ClassOpen(each(rows)));
            }
        }
    }
    for line in &section {
        if has_category(line.text, terms) && !mentions.iter().any(|m| m.line.number == line.number)
        {
            proposal.open_class(*line, Why::ClassUnread);
        }
    }
    for (code, line) in in_words(&section, terms) {
        let is_told = seen.iter().any(|other| other.starts_with(&code))
            || settled
                .iter()
                .any(|row| row.statement.as_ref() == Some(&code));
        if !is_told {
            proposal.open_class(line, Why::StatementInWords(code));
        }
    }
    let unclassified = section
        .iter()
        .filter(|line| terms.unclassified.are_in(line.text));
    let said = unclassified.map(|line| Doubt::of(*line, Why::SaysUnclassified));
    proposal.doubts.extend(said);
}

/// Whether a line names a category, of whatever class.
fn has_category(text: &str, terms: &Terms) -> bool {
    let words = tokens(text);
    let is_one =
        |word: &&str| word.starts_with(|c: char| ('1'..='5').contains(&c)) && word.len() <= 2;
    (0..words.len()).any(|at| {
        let rest = words.get(at..).unwrap_or(&[]);
        let spelt = terms.categories.words.iter().map(|word| spell(rest, word));
        let taken = spelt.max().filter(|taken| *taken > 0);
        taken.and_then(|taken| rest.get(taken)).is_some_and(is_one)
    })
}

/// Statements that stand there in words, each with the line it begins on, or the first. One that is
/// part of a longer one is that one.
fn in_words<'t>(section: &[Line<'t>], terms: &Terms) -> Vec<(String, Line<'t>)> {
    let folded: Vec<String> = section.iter().map(|line| fold(line.text)).collect();
    let text = folded.concat();
    let there = terms
        .statements
        .iter()
        .filter(|(_, words)| text.contains(words.as_str()));
    let there: Vec<&(String, String)> = there.collect();
    let is_part = |words: &str| {
        let mut others = there.iter();
        others.any(|(_, other)| other.len() > words.len() && other.contains(words))
    };
    let whole = there.iter().filter(|(_, words)| !is_part(words));
    whole
        .filter_map(|(code, words)| {
            let begins = folded.iter().position(|line| line.contains(words.as_str()));
            Some((code.clone(), *section.get(begins.unwrap_or(0))?))
        })
        .collect()
}

/// What a class follows from, besides the line of its statement.
#[derive(Clone, Copy, PartialEq, Eq)]
enum By<'a> {
    /// It is named beside it.
    SameLine,
    /// It is named there.
    Line(Line<'a>),
    /// No other class has the statement.
    Statement,
}

pub(super) fn in_section<'t>(lines: &[Line<'t>], section: u8) -> Vec<Line<'t>> {
    let of = |line: &&Line<'t>| line.section == Some(section);
    lines.iter().filter(of).copied().collect()
}

/// The one row that a statement belongs to: named on its line, or elsewhere in the section, or the
/// only one there is.
fn class_of<'a>(
    code: &str,
    line: Line<'_>,
    mentions: &[Mention<'a>],
    classes: &'a Classes,
) -> Result<(&'a Arc<Category>, By<'a>), Why> {
    let having: Vec<&Arc<Category>> = classes
        .iter()
        .filter(|row| row.has_statement(code))
        .collect();
    if having.is_empty() {
        return Err(Why::StatementUnknown(code.to_owned()));
    }
    let named = |same_line: bool| {
        let near = mentions
            .iter()
            .filter(move |mention| !same_line || mention.line.number == line.number);
        let mut found: Vec<(&'a Arc<Category>, Line<'a>)> = Vec::new();
        for mention in near {
            for row in mention.rows.iter().filter(|row| having.contains(row)) {
                if !found.iter().any(|(other, _)| other == row) {
                    found.push((row, mention.line));
                }
            }
        }
        found
    };
    for found in [named(true), named(false)] {
        match found.as_slice() {
            [] => {}
            [(row, at)] if at.number == line.number => return Ok((row, By::SameLine)),
            [(row, at)] => return Ok((row, By::Line(*at))),
            several => {
                let rows: Vec<_> = several.iter().map(|(row, _)| *row).collect();
                return Err(Why::ClassOpen(each(&rows)));
            }
        }
    }
    match having.as_slice() {
        [row] => Ok((row, By::Statement)),
        rows => Err(Why::ClassOpen(each(rows))),
    }
}

fn each(rows: &[&Arc<Category>]) -> Vec<String> {
    let said = rows.iter().map(|row| {
        let code = row.statement.as_deref().unwrap_or_default();
        format!("{} {code}", row.class).trim_end().to_owned()
    });
    said.collect()
}

/// `H302`, `H360FD`, `EUH066`, in order.
fn statements(text: &str) -> Vec<String> {
    let is_code = |word: &&str| {
        let number = word.strip_prefix("EUH").or(word.strip_prefix('H'));
        number.is_some_and(|number| {
            let digits = number.chars().take_while(char::is_ascii_digit).count();
            let rest = number.get(3..).unwrap_or_default();
            digits == 3 && rest.len() <= 2 && rest.chars().all(|c| c.is_ascii_alphabetic())
        })
    };
    tokens(text)
        .into_iter()
        .filter(is_code)
        .map(str::to_owned)
        .collect()
}

/// The classes a line names, short (`Skin Corr. 1B`) or long (`Skin corrosion, Category 1B`).
fn mentions<'a>(line: Line<'a>, terms: &Terms, classes: &'a Classes) -> Vec<Mention<'a>> {
    let words = tokens(line.text);
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(rest) = words.get(at..).filter(|rest| !rest.is_empty()) {
        let short = short_name(rest, classes);
        let (taken, rows) = short
            .or_else(|| long_name(rest, terms, classes))
            .unwrap_or((1, Vec::new()));
        if !rows.is_empty() {
            found.push(Mention { line, rows });
        }
        at += taken;
    }
    found
}

fn short_name<'a>(words: &[&str], classes: &'a Classes) -> Option<(usize, Vec<&'a Arc<Category>>)> {
    let length = |row: &Arc<Category>| {
        let names = std::iter::once(&row.class).chain(&row.names);
        names.map(|name| spell(words, name)).max().unwrap_or(0)
    };
    let longest = classes
        .iter()
        .map(length)
        .max()
        .filter(|taken| *taken > 0)?;
    let rows = classes.iter().filter(|row| length(row) == longest);
    Some((longest, rows.collect()))
}

/// A long name, and the category after it.
fn long_name<'a>(
    words: &[&str],
    terms: &Terms,
    classes: &'a Classes,
) -> Option<(usize, Vec<&'a Arc<Category>>)> {
    let names = terms.classes.iter().flat_map(|class| {
        let spelt = class.names.iter().map(|name| spell(words, name));
        spelt.map(move |taken| (taken, class))
    });
    let (taken, named) = names.max_by_key(|(taken, _)| *taken)?;
    let rest = words.get(taken..).filter(|_| taken > 0)?;
    // Nothing but the route may stand between the name and its category.
    const BETWEEN: usize = 3;
    let category = (0..=BETWEEN.min(rest.len())).find_map(|skipped| {
        let rest = rest.get(skipped..)?;
        let mut spelt = terms.categories.words.iter();
        let word = spelt.find_map(|word| Some(spell(rest, word)).filter(|taken| *taken > 0))?;
        rest.get(word).copied()
    })?;
    let class = format!("{} {}", named.class, category.to_uppercase());
    let rows: Vec<_> = classes
        .iter()
        .filter(|row| row.class == class && (named.kind.is_none() || row.kind == named.kind))
        .collect();
    Some((taken, rows))
}

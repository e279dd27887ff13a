//! Dates, pH, flash point and limits, as data sheets print them.

use chrono::NaiveDate;

use super::hazards::in_section;
use super::sections::Line;
use super::terms::{Terms, after, spell, tokens, within};
use super::{Doubt, Field, Proposal, Why};
use crate::units::parse_number;

/// The day of the last revision. Sheets repeat it on every page, so all must agree.
pub(super) fn revised(lines: &[Line<'_>], terms: &Terms, proposal: &mut Proposal) {
    let mut found: Vec<(NaiveDate, Line<'_>)> = Vec::new();
    for line in lines {
        let Some(rest) = within(line.text, &terms.labels.revised) else {
            continue;
        };
        let before = line.text.len() - rest.len();
        let is_earlier = line
            .text
            .get(..before)
            .is_some_and(|before| terms.earlier.are_in(before));
        if is_earlier {
            continue;
        }
        match date(rest, terms) {
            Some(Ok(day)) if found.iter().any(|(other, _)| *other == day) => {}
            Some(Ok(day)) => found.push((day, *line)),
            Some(Err(why)) => proposal.doubts.push(Doubt::of(*line, why)),
            None => {}
        }
    }
    match found.as_slice() {
        [(day, line)] => proposal.add(Field::Revised, day.to_string(), &[*line]),
        several => proposal.disagree(several.iter().map(|(_, line)| *line)),
    }
}

/// A date that begins a text. Day and month in figures alone are open unless one is above 12; with
/// points between them the day stands first.
fn date(text: &str, terms: &Terms) -> Option<Result<NaiveDate, Why>> {
    let end = text.find([';', '(', '|']).unwrap_or(text.len());
    let text = text.get(..end)?;
    let words = tokens(text);
    let [first, second, third, ..] = words.as_slice() else {
        return None;
    };
    let number = |word: &str| word.parse::<u32>().ok();
    let month = |word: &str| terms.months.names.get(&word.to_lowercase()).copied();
    let day = |year: &str, month: u32, day: u32| {
        let year = year.parse().ok().filter(|_| year.len() == 4)?;
        NaiveDate::from_ymd_opt(year, month, day)
    };
    let of_figures = |a: u32, b: u32| match (a > 12, b > 12) {
        _ if text.contains('.') || a == b => Some((a, b)),
        (true, false) => Some((a, b)),
        (false, true) => Some((b, a)),
        _ => None,
    };
    let read = match (number(first), number(second), number(third)) {
        (Some(_), Some(month), Some(of_month)) if first.len() == 4 => day(first, month, of_month),
        (Some(a), Some(b), Some(_)) => match of_figures(a, b) {
            Some((of_month, month)) => day(third, month, of_month),
            None => return Some(Err(Why::DateOpen)),
        },
        (Some(of_month), None, Some(_)) => day(third, month(second)?, of_month),
        (None, Some(of_month), Some(_)) => day(third, month(first)?, of_month),
        _ => None,
    };
    read.map(Ok)
}

/// The value after a label of a section: on its line, or on the next if that is one.
pub(super) fn value<'t>(
    lines: &[Line<'t>],
    section: u8,
    labels: &[String],
    is_value: impl Fn(Line<'t>) -> bool,
) -> Vec<(&'t str, Line<'t>)> {
    let section = in_section(lines, section);
    let mut found = Vec::new();
    for (index, line) in section.iter().enumerate() {
        match after(line.bare(), labels) {
            Some("") => {
                let next = section.get(index + 1..).unwrap_or(&[]);
                let next = next.iter().find(|line| !line.text.is_empty());
                let next = next.filter(|line| is_value(**line));
                found.extend(next.map(|line| (line.text, *line)));
            }
            Some(rest) => found.push((rest, *line)),
            None => {}
        }
    }
    found
}

/// Whether a line begins with a figure: the next property has a letter or a number before its name.
fn is_figure(line: Line<'_>, terms: &Terms) -> bool {
    let signed = |c: char| c.is_ascii_digit() || "<>≤≥~:".contains(c);
    let begins = line.text.starts_with(signed) || after(line.text, &terms.about.words).is_some();
    begins && !line.text.contains(':')
}

/// The pH of the goods. That of a solution made from them is another figure.
pub(super) fn ph(lines: &[Line<'_>], terms: &Terms, proposal: &mut Proposal) {
    for (text, line) in value(lines, 9, &terms.labels.ph, |line| is_figure(line, terms)) {
        if !text.contains(|c: char| c.is_ascii_digit()) {
            continue;
        }
        if terms.dilution.are_in(text) {
            proposal.doubts.push(Doubt::of(line, Why::PhOfDilution));
            continue;
        }
        match range(text, terms) {
            Some(range) => proposal.add(Field::Ph, range, &[line]),
            None => proposal.doubts.push(Doubt::of(line, Why::NoPlainFigure)),
        }
    }
    proposal.one_only(Field::Ph);
}

/// A figure or two from 0 to 14, with at most the temperature beside them.
fn range(text: &str, terms: &Terms) -> Option<String> {
    let text = without_brackets(text);
    let text = text.trim_start_matches(|c: char| c.is_alphabetic() || ".:~ ".contains(c));
    let (low, rest) = parse_number(text).filter(|_| !text.starts_with(['-', '−']))?;
    let rest = rest.trim_start();
    let mut joined = terms.between.words.iter();
    let second = joined.find_map(|sign| rest.strip_prefix(sign.as_str()));
    let (values, rest) = match second.map(|rest| parse_number(rest.trim_start())) {
        Some(Some((high, rest))) => (vec![low, high], rest),
        Some(None) => return None,
        None => (vec![low], rest),
    };
    let is_plain = rest.is_empty()
        || terms
            .beside
            .words
            .iter()
            .any(|word| rest.starts_with(word.as_str()));
    let fits = values.iter().all(|value| (0.0..=14.0).contains(value)) && values.is_sorted();
    let shown: Vec<String> = values.iter().map(ToString::to_string).collect();
    (is_plain && fits).then(|| shown.join("-"))
}

fn without_brackets(text: &str) -> String {
    let mut depth = 0_usize;
    let outside = text.chars().filter(|c| {
        match c {
            '(' => depth += 1,
            ')' => {
                depth = depth.saturating_sub(1);
                return false;
            }
            _ => {}
        }
        depth == 0
    });
    outside.collect::<String>().trim().to_owned()
}

/// The flash point: a plain temperature with its unit.
pub(super) fn flash_point(lines: &[Line<'_>], terms: &Terms, proposal: &mut Proposal) {
    for (text, line) in value(lines, 9, &terms.labels.flash_point, |line| {
        is_figure(line, terms)
    }) {
        if !text.contains(|c: char| c.is_ascii_digit()) {
            continue;
        }
        match temperature(text) {
            Some(value) => proposal.add(Field::FlashPoint, value, &[line]),
            None => proposal.doubts.push(Doubt::of(line, Why::NoPlainFigure)),
        }
    }
    proposal.one_only(Field::FlashPoint);
}

fn temperature(text: &str) -> Option<String> {
    let text = without_brackets(text);
    let text = text.trim_start_matches(|c: char| c.is_alphabetic() || ".:~ ".contains(c));
    let (value, rest) = parse_number(text)?;
    let unit = rest.trim_start_matches(['°', 'º', ' ']).chars().next()?;
    matches!(unit, 'C' | 'F').then(|| format!("{value} °{unit}"))
}

/// Workplace limits whose body, averaging time and unit stand on their line.
pub(super) fn limits(lines: &[Line<'_>], terms: &Terms, proposal: &mut Proposal) {
    let names = &terms.limits;
    for line in in_section(lines, 8) {
        let words = tokens(line.text);
        let is_on = |name: &String| (0..words.len()).any(|at| spell(&words[at..], name) > 0);
        let Some((value, unit)) = concentration(line.text) else {
            continue;
        };
        if names.others.iter().any(is_on) {
            continue;
        }
        let body = longest(&names.bodies, &words);
        let kinds: Vec<&String> = names
            .kinds
            .iter()
            .filter(|(_, spelt)| spelt.iter().any(is_on))
            .map(|(kind, _)| kind)
            .collect();
        match (body, kinds.as_slice()) {
            (Some(body), [kind]) => {
                let said = format!("{body} {kind} {value} {unit}");
                proposal.add(Field::Limit, said, &[line]);
            }
            (Some(_), _) => proposal.doubts.push(Doubt::of(line, Why::LimitKindOpen)),
            (None, [_, ..]) => proposal.doubts.push(Doubt::of(line, Why::LimitBodyOpen)),
            (None, []) => {}
        }
    }
}

/// The body with the longest name on a line.
fn longest<'n>(
    bodies: &'n std::collections::BTreeMap<String, Vec<String>>,
    words: &[&str],
) -> Option<&'n String> {
    let spelt = |names: &Vec<String>| {
        let places = (0..words.len()).flat_map(|at| names.iter().map(move |name| (at, name)));
        places
            .map(|(at, name)| spell(&words[at..], name))
            .max()
            .unwrap_or(0)
    };
    let longest = bodies.iter().max_by_key(|(_, names)| spelt(names))?;
    (spelt(longest.1) > 0).then_some(longest.0)
}

/// The first figure of a line that has a unit of concentration in air.
fn concentration(text: &str) -> Option<(f64, &'static str)> {
    let mut before = ' ';
    for (at, c) in text.char_indices() {
        let begins = c.is_ascii_digit() && !before.is_alphanumeric() && !".,".contains(before);
        before = c;
        let number = text.get(at..).filter(|_| begins).and_then(parse_number);
        let Some((value, rest)) = number else {
            continue;
        };
        let rest = rest.to_lowercase();
        let units = [("mg/m3", "mg/m3"), ("mg/m³", "mg/m3"), ("ppm", "ppm")];
        let unit = units.iter().find(|(written, _)| rest.starts_with(written));
        if let Some((_, unit)) = unit.filter(|_| value > 0.0) {
            return Some((value, unit));
        }
    }
    None
}

//! A data sheet's text in lines, each with the section it stands in.

use super::terms::{Terms, after};
use crate::catalogue::fold;

/// A line of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Line<'t> {
    /// From 1.
    pub number: usize,
    /// 1 to 16; nothing before the first heading.
    pub section: Option<u8>,
    /// As it stands there.
    pub text: &'t str,
}

impl<'t> Line<'t> {
    /// Without the number of its subsection and what stands before it: `14.1. UN number` → `UN number`.
    pub fn bare(self) -> &'t str {
        let text = self.text.trim_start_matches(|c: char| !c.is_alphanumeric());
        let number = text.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
        let lettered = |text: &'t str| {
            let mut letters = text.char_indices();
            let (_, first) = letters.next()?;
            let (_, sign) = letters.next()?;
            let (rest, _) = letters.next()?;
            (first.is_alphabetic() && sign == ')').then(|| &text[rest..])
        };
        let is_numbered = number.len() < text.len() && number.starts_with([' ', '\t', ')']);
        let text = if is_numbered { number } else { text };
        let text = text.trim_start_matches(|c: char| !c.is_alphanumeric());
        lettered(text).map_or(text, |text| {
            text.trim_start_matches(|c: char| !c.is_alphanumeric())
        })
    }
}

/// Every line with its section.
pub fn lines<'t>(text: &'t str, terms: &Terms) -> Vec<Line<'t>> {
    let mut section = None;
    let numbered = text.lines().enumerate();
    numbered
        .map(|(index, text)| {
            section = heading(text, terms).or(section);
            Line {
                number: index + 1,
                section,
                text: text.trim(),
            }
        })
        .collect()
}

/// The section that begins on a line: its number, perhaps after a word, and how its heading begins.
fn heading(line: &str, terms: &Terms) -> Option<u8> {
    let line = line.trim_start_matches(|c: char| !c.is_alphanumeric());
    let line = after(line, &terms.sections.words).unwrap_or(line);
    let digits = line.len() - line.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let number: u8 = line.get(..digits)?.parse().ok()?;
    let rest = line.get(digits..)?;
    let is_subsection = rest
        .strip_prefix('.')
        .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
    let begins = fold(rest);
    let headings = terms.sections.headings.get(&number)?;
    let is_heading = headings
        .iter()
        .any(|words| begins.starts_with(&fold(words)));
    (is_heading && !is_subsection).then_some(number)
}

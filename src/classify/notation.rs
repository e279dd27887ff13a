//! `Acute Tox. 4* H302`, `STOT RE 2* H373**`, `Skin Corr. 1B H314 >= 5`: text → hazards and limits.

use std::fmt;

use super::{Category, Classes, HazardClass};
use crate::source::nearest;
use crate::units::parse_number;

/// Why a text is not a classification or limit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotationError(String);

impl fmt::Display for NotationError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for NotationError {}

/// A specific concentration limit of one ingredient, in per cent by weight.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// What the ingredient is from this share on.
    pub of: Limited,
    /// At this share and above.
    pub from: f64,
    /// Below this share; `None`: to 100 %.
    pub below: Option<f64>,
}

/// What a specific limit is for.
#[derive(Debug, Clone, PartialEq)]
pub enum Limited {
    /// A hazard class.
    Class(HazardClass),
    /// A supplemental statement: `EUH031`.
    Supplemental(String),
}

impl Classes {
    /// Reads a classification as Annex VI of CLP writes it.
    ///
    /// The statement may be left out where the class has only one; `*`, `**` and organs named in
    /// brackets are kept.
    ///
    /// # Errors
    /// When the class is not known, the statement is not the class's, or the route is open.
    pub fn parse(&self, text: &str) -> Result<HazardClass, NotationError> {
        let (head, detail) = split_detail(text);
        let (class, statement) = split_statement(&head);
        let statement_stars = statement
            .as_deref()
            .map_or(0, |code| code.matches('*').count());
        let category = self.category(&class.replace('*', ""), statement.as_deref())?;
        let plain = HazardClass::plain(category);
        Ok(HazardClass {
            statement: statement.map_or(plain.statement, |code| code.replace('*', "")),
            minimum: class.contains('*') || statement_stars == 1,
            route_open: statement_stars > 1,
            detail,
            category: plain.category,
        })
    }

    /// Reads a specific limit: a class or supplemental code, then `>= 5` or `0.5..2`, in per cent.
    ///
    /// # Errors
    /// As [`Classes::parse`], or when a share is not above 0 and up to 100, or the band is empty.
    pub fn parse_limit(&self, text: &str) -> Result<Limit, NotationError> {
        let (what, band) = split_band(text).ok_or_else(|| no_band(text))?;
        let (from, below) = read_band(band).ok_or_else(|| no_band(text))?;
        let what = what.trim();
        let of = if what.starts_with("EUH") && self.parse(what).is_err() {
            Limited::Supplemental(what.to_owned())
        } else {
            Limited::Class(self.parse(what)?)
        };
        Ok(Limit { of, from, below })
    }

    fn category(
        &self,
        class: &str,
        statement: Option<&str>,
    ) -> Result<&std::sync::Arc<Category>, NotationError> {
        let statement = statement.map(|text| text.trim_end_matches('*'));
        match (self.spelled(class), statement) {
            ([], _) => Err(self.unknown(class)),
            ([row], None) => Ok(row),
            (rows, None) => Err(open_route(class, rows.iter().map(|row| &**row))),
            (rows, Some(code)) => rows
                .iter()
                .find(|row| row.has_statement(code))
                .ok_or_else(|| wrong_statement(class, code, rows.iter().map(|row| &**row))),
        }
    }

    fn unknown(&self, class: &str) -> NotationError {
        let class = class.trim();
        let known = self.iter().map(|row| row.class.as_str());
        let help = match nearest(class, known) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "write it as on the data sheet: `Eye Dam. 1 H318`".to_owned(),
        };
        NotationError(format!("`{class}` is not a hazard class; {help}"))
    }
}

/// The text before a last bracket, and what stands in it.
fn split_detail(text: &str) -> (String, Option<String>) {
    let text = text.trim();
    let found = text
        .strip_suffix(')')
        .and_then(|inner| inner.rsplit_once('('))
        // `Press. Gas (Comp.)` is a class; a detail stands behind a statement.
        .filter(|(head, _)| split_statement(head).1.is_some());
    match found {
        Some((head, detail)) => (head.trim().to_owned(), Some(detail.trim().to_owned())),
        None => (text.to_owned(), None),
    }
}

/// Class and statement code, the stars still on them.
fn split_statement(text: &str) -> (String, Option<String>) {
    let mut class = Vec::new();
    let mut statement: Option<String> = None;
    for word in text.split_whitespace() {
        let is_code = is_statement(word.trim_end_matches('*'));
        match &mut statement {
            None if is_code => statement = Some(word.to_owned()),
            // `H373 **`: the mark set apart from the code.
            Some(code) if word.chars().all(|c| c == '*') => code.push_str(word),
            _ => class.push(word),
        }
    }
    (class.join(" "), statement)
}

fn is_statement(word: &str) -> bool {
    let digits = word.strip_prefix("EUH").or_else(|| word.strip_prefix('H'));
    digits.is_some_and(|rest| {
        rest.get(..3)
            .is_some_and(|d| d.bytes().all(|b| b.is_ascii_digit()))
            && rest.len() <= 5
            && rest.bytes().skip(3).all(|b| b.is_ascii_alphabetic())
    })
}

/// Letters and digits only: `acute tox 4` and `Acute Tox. 4` are the same.
pub(super) fn fold(class: &str) -> String {
    class
        .chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

/// Every way a category is written, folded.
pub(super) fn spellings(row: &Category) -> impl Iterator<Item = String> {
    let class = fold(&row.class);
    let kind = row.kind.iter().map(|kind| fold(&row.class) + &fold(kind));
    let others = row.names.iter().map(|name| fold(name));
    std::iter::once(class).chain(kind).chain(others)
}

/// Splits a limit where the band begins: at `>=`, `≥`, or the last word that holds `..`.
fn split_band(text: &str) -> Option<(&str, &str)> {
    let text = text.trim().trim_end_matches('%').trim_end();
    if let Some(at) = text.find(">=").or_else(|| text.find('≥')) {
        return text.split_at_checked(at);
    }
    let dots = text.find("..")?;
    let start = text.get(..dots)?.trim_end().rfind(' ')?;
    text.split_at_checked(start)
}

fn read_band(band: &str) -> Option<(f64, Option<f64>)> {
    let share = |text: &str| {
        let (value, rest) = parse_number(text)?;
        let is_share = value > 0.0 && value <= 100.0 && rest.trim_matches(['%', ' ']).is_empty();
        is_share.then_some(value)
    };
    let band = band.trim();
    if let Some(from) = band.strip_prefix(">=").or_else(|| band.strip_prefix('≥')) {
        return Some((share(from)?, None));
    }
    let (from, below) = band.split_once("..")?;
    let (from, below) = (share(from)?, share(below)?);
    (from < below).then_some((from, Some(below)))
}

fn no_band(text: &str) -> NotationError {
    NotationError(format!(
        "`{text}` is not a limit in per cent; write it like `Skin Corr. 1B H314 >= 5` or `Eye Irrit. 2 H319 0.5..2`"
    ))
}

fn codes<'a>(rows: impl Iterator<Item = &'a Category>) -> String {
    let codes: Vec<&str> = rows
        .flat_map(|row| row.statement.iter().chain(&row.variants))
        .map(String::as_str)
        .collect();
    codes.join(", ")
}

fn open_route<'a>(class: &str, rows: impl Iterator<Item = &'a Category>) -> NotationError {
    NotationError(format!(
        "`{}` needs its statement: which of {}?",
        class.trim(),
        codes(rows)
    ))
}

fn wrong_statement<'a>(
    class: &str,
    code: &str,
    rows: impl Iterator<Item = &'a Category>,
) -> NotationError {
    let known = codes(rows);
    let class = class.trim();
    NotationError(if known.is_empty() {
        format!("`{class}` has no statement; here stands {code}")
    } else {
        format!("{code} is not a statement of `{class}`; it has {known}")
    })
}

//! Whether what a data sheet says asks for more or less care than what stood there.

use crate::catalogue::{Change, fold};
use crate::classify::{HazardClass, Limit, Limited};

/// Whether one of the others is as severe: of the same family, and not below it in rank or letters.
fn is_covered(class: &HazardClass, by: &[HazardClass]) -> bool {
    by.iter().any(|other| {
        other.more_cautious(class).is_some_and(|both| {
            both.category.rank == other.category.rank && both.statement == other.statement
        })
    })
}

/// Which way a classification went; nothing where both say the same.
pub(super) fn classes(before: &[HazardClass], after: &[HazardClass]) -> Option<Change> {
    let milder = before.iter().any(|class| !is_covered(class, after));
    let stricter = after.iter().any(|class| !is_covered(class, before));
    way(stricter, milder)
}

/// Whether two ways of writing mean the same class.
pub(super) fn is_same(a: &HazardClass, b: &HazardClass) -> bool {
    a.category == b.category && a.statement == b.statement
}

/// Which way specific limits went; a lower limit is the stricter.
pub(super) fn limits(before: &[Limit], after: &[Limit]) -> Option<Change> {
    let covered = |limit: &Limit, by: &[Limit]| {
        by.iter()
            .any(|other| is_for_same(&limit.of, &other.of) && other.from <= limit.from)
    };
    let milder = before.iter().any(|limit| !covered(limit, after));
    let stricter = after.iter().any(|limit| !covered(limit, before));
    way(stricter, milder)
}

fn is_for_same(a: &Limited, b: &Limited) -> bool {
    match (a, b) {
        (Limited::Class(a), Limited::Class(b)) => is_same(a, b),
        (Limited::Supplemental(a), Limited::Supplemental(b)) => a == b,
        _ => false,
    }
}

/// Which way a list went of which every entry is a caution.
pub(super) fn cautions(before: &[String], after: &[String]) -> Option<Change> {
    let lacks =
        |list: &[String], word: &String| !list.iter().any(|other| fold(other) == fold(word));
    way(
        after.iter().any(|word| lacks(before, word)),
        before.iter().any(|word| lacks(after, word)),
    )
}

/// Less care anywhere counts as less care.
fn way(stricter: bool, milder: bool) -> Option<Change> {
    match (stricter, milder) {
        (_, true) => Some(Change::Milder),
        (true, false) => Some(Change::Stricter),
        (false, false) => None,
    }
}

/// A figure below which something is asked: the lower, the stricter.
pub(super) fn lower_is_stricter(before: f64, after: f64) -> Change {
    if after > before {
        Change::Milder
    } else {
        Change::Stricter
    }
}

/// The longest time a sentence names, in minutes: `Rinse for 15 minutes`, `at least 15-20 min`.
pub fn minutes(text: &str) -> Option<u32> {
    let words: Vec<&str> = text
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    let is_unit = |word: &str| {
        matches!(
            word.to_lowercase().as_str(),
            "min" | "minute" | "minutes" | "minuten"
        )
    };
    let figures = words.windows(2).filter_map(|pair| match pair {
        [figure, unit] if is_unit(unit) => figure.parse::<u32>().ok(),
        _ => None,
    });
    figures.max()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::DataFiles;
    use crate::classify::Classes;

    #[test]
    fn less_care_anywhere_is_milder() {
        let table = Classes::read(&DataFiles::embedded()).unwrap();
        let read = |list: &[&str]| -> Vec<HazardClass> {
            list.iter()
                .map(|class| table.parse(class).unwrap())
                .collect()
        };
        let base = ["Skin Corr. 1B H314", "Acute Tox. 4 H302"];
        for (before, after, change) in [
            (&base[..], &base[..], None),
            // The star of a minimum classification is no other class.
            (&["Acute Tox. 4* H302"], &["Acute Tox. 4 H302"], None),
            (
                &base,
                &["Skin Corr. 1A H314", "Acute Tox. 4 H302"],
                Some(Change::Stricter),
            ),
            (
                &base,
                &["Skin Irrit. 2 H315", "Acute Tox. 4 H302"],
                Some(Change::Milder),
            ),
            (&base, &["Skin Corr. 1B H314"], Some(Change::Milder)),
            // More here, less there: the less is what must be seen.
            (&base, &["Skin Corr. 1A H314"], Some(Change::Milder)),
            (
                &["Repr. 1B H360FD"],
                &["Repr. 1B H360F"],
                Some(Change::Milder),
            ),
            (
                &["Repr. 1B H360F"],
                &["Repr. 1B H360FD"],
                Some(Change::Stricter),
            ),
            (&[], &["Skin Sens. 1 H317"], Some(Change::Stricter)),
        ] {
            assert_eq!(
                classes(&read(before), &read(after)),
                change,
                "{before:?} → {after:?}"
            );
        }
    }

    #[test]
    fn a_lower_limit_is_the_stricter() {
        let table = Classes::read(&DataFiles::embedded()).unwrap();
        let read = |text: &str| vec![table.parse_limit(text).unwrap()];
        let (five, one) = (
            read("Skin Corr. 1B H314 >= 5"),
            read("Skin Corr. 1B H314 >= 1"),
        );
        assert_eq!(limits(&five, &one), Some(Change::Stricter));
        assert_eq!(limits(&one, &five), Some(Change::Milder));
        assert_eq!(limits(&one, &one), None);
        assert_eq!(limits(&one, &[]), Some(Change::Milder));
    }

    #[test]
    fn times_are_found_in_sentences() {
        for (text, expected) in [
            ("Rinse for 15 minutes at least.", Some(15)),
            ("At least 15-20 min; call a doctor.", Some(20)),
            ("Mindestens 10 Minuten spülen.", Some(10)),
            ("Rinse thoroughly. Call 112.", None),
        ] {
            assert_eq!(minutes(text), expected, "{text}");
        }
    }
}

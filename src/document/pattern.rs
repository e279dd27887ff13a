//! An English sentence with facts in it, `{gas} above {limit#} mg/m³`, and which facts one that has
//! its form holds. `#`: a figure; other signs behind a name are for whoever fills it in.

/// Words with facts between them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pattern {
    /// Before the first fact.
    start: String,
    /// Each fact's name, and the words behind it.
    facts: Vec<(String, String)>,
}

impl Pattern {
    /// `{name}` stands for a fact; a brace that is not closed is a brace.
    pub fn read(text: &str) -> Self {
        let mut pieces = text.trim().split('{');
        let start = pieces.next().unwrap_or_default().to_owned();
        let facts = pieces.map(|piece| match piece.split_once('}') {
            Some((name, words)) => (name.to_owned(), words.to_owned()),
            None => (piece.to_owned(), String::new()),
        });
        let facts = facts.collect();
        Self { start, facts }
    }

    /// How many bytes of it are words and not facts.
    pub fn literals(&self) -> usize {
        self.words().map(str::len).sum()
    }

    /// The words, without the facts between them.
    pub fn words(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.start.as_str())
            .chain(self.facts.iter().map(|(_, words)| words.as_str()))
    }

    /// The facts of a sentence that has this form; each is as short as it can be, and never empty.
    pub fn facts<'s>(&'s self, sentence: &'s str) -> Option<Vec<(&'s str, &'s str)>> {
        let mut found = Vec::new();
        matches(
            &self.facts,
            sentence.strip_prefix(self.start.as_str())?,
            &mut found,
        )
        .then_some(found)
    }
}

/// Whether the rest is these facts with the words behind them.
fn matches<'s>(
    facts: &'s [(String, String)],
    rest: &'s str,
    found: &mut Vec<(&'s str, &'s str)>,
) -> bool {
    let Some(((name, words), others)) = facts.split_first() else {
        return rest.is_empty();
    };
    let ends: Vec<usize> = match (words.is_empty(), others.is_empty()) {
        (true, _) => vec![rest.len()],
        // The last words end the sentence.
        (false, true) => rest
            .strip_suffix(words.as_str())
            .map(str::len)
            .into_iter()
            .collect(),
        (false, false) => rest
            .match_indices(words.as_str())
            .map(|(at, _)| at)
            .collect(),
    };
    for end in ends.into_iter().filter(|end| *end > 0) {
        let (fact, behind) = rest.split_at(end);
        if name.ends_with('#') && !is_figure(fact) {
            continue;
        }
        found.push((name, fact));
        if matches(others, &behind[words.len()..], found) {
            return true;
        }
        found.pop();
    }
    false
}

/// A number, with its unit or without.
fn is_figure(fact: &str) -> bool {
    let number = fact.trim_start_matches(['-', '−', '+']);
    let words = fact.split([' ', '\u{a0}']).count();
    number.starts_with(|c: char| c.is_ascii_digit()) && words <= 2
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_facts_are_what_stands_between_the_words() {
        let pattern = Pattern::read("{a} of {b} in {c}");
        type Facts<'f> = Vec<(&'f str, &'f str)>;
        let rows: &[(&str, Option<Facts>)] = &[
            (
                "1 L of fixer in a jug",
                Some(vec![("a", "1 L"), ("b", "fixer"), ("c", "a jug")]),
            ),
            (
                "a of of in in in",
                Some(vec![("a", "a"), ("b", "of"), ("c", "in in")]),
            ),
            ("1 L of fixer", None),
            (" of fixer in a jug", None),
        ];
        for (sentence, facts) in rows {
            assert_eq!(&pattern.facts(sentence), facts, "{sentence}");
        }
        let pattern = Pattern::read("pH {low} to {high}.");
        assert_eq!(
            pattern.facts("pH 3 to 4."),
            Some(vec![("low", "3"), ("high", "4")])
        );
        assert_eq!(pattern.facts("pH 3 to 4"), None);
        let times = Pattern::read("{n#} days");
        assert_eq!(times.facts("30 days"), Some(vec![("n#", "30")]));
        assert_eq!(times.facts("for some days"), None);
        assert_eq!(
            Pattern::read("no facts").facts("no facts"),
            Some(Vec::new())
        );
    }
}

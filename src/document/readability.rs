//! How hard an English text is to read.
//!
//! Flesch–Kincaid grade level, Kincaid and others, Research Branch Report 8-75 (1975):
//! `0.39 · words/sentences + 11.8 · syllables/words − 15.59`, the school year in which the text is
//! understood. Syllables are counted from the spelling, which is off by one in a few words of a hundred.

use std::collections::BTreeSet;

use serde::Serialize;

use super::blocks::{Block, Inline, plain};

/// A sentence longer than this is hard to follow when read aloud.
const LONG: usize = 15;

/// The fewest words that count as a sentence.
const SHORTEST: usize = 3;

/// What was counted, and the grade.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Score {
    /// Sentences; every paragraph, list item and heading ends one.
    pub sentences: usize,
    /// Words.
    pub words: usize,
    /// Sentences of more than fifteen words.
    pub long_sentences: usize,
    /// The grade, with words of the reader's dictionary counted as two syllables at most.
    pub grade: f64,
    /// The grade with every word counted as it is spelled.
    pub grade_of_every_word: f64,
}

/// Scores passages. Words of the dictionary, in lower case, are those the reader has been told.
pub fn score<'t>(
    passages: impl IntoIterator<Item = &'t str>,
    dictionary: &BTreeSet<String>,
) -> Score {
    let mut score = Score::default();
    let (mut told, mut spelled) = (0, 0);
    for sentence in passages.into_iter().flat_map(sentences) {
        let words: Vec<String> = words(sentence);
        // One or two words are a name or a tick, and would only lower the grade.
        if words.len() < SHORTEST {
            continue;
        }
        score.sentences += 1;
        score.words += words.len();
        score.long_sentences += usize::from(words.len() > LONG);
        for word in &words {
            let syllables = syllables(word);
            spelled += syllables;
            told += if dictionary.contains(word) {
                syllables.min(2)
            } else {
                syllables
            };
        }
    }
    score.grade = grade(score.words, score.sentences, told);
    score.grade_of_every_word = grade(score.words, score.sentences, spelled);
    score
}

/// The grade by the counts; 0 of nothing.
pub fn grade(words: usize, sentences: usize, syllables: usize) -> f64 {
    if words == 0 || sentences == 0 {
        return 0.0;
    }
    let (words, sentences, syllables) = (words as f64, sentences as f64, syllables as f64);
    0.39 * words / sentences + 11.8 * syllables / words - 15.59
}

/// What is read as sentences: paragraphs, list items, and of tables the first column; headings and
/// the other columns are words and names that would make the score look better than the reading is.
pub fn passages(blocks: &[Block]) -> Vec<String> {
    let mut found = Vec::new();
    gather(blocks, &mut found);
    found
}

fn gather(blocks: &[Block], found: &mut Vec<String>) {
    for block in blocks {
        match block {
            Block::Section(section) => {
                gather(&section.blocks, found);
            }
            Block::Paragraph(inlines) => found.push(words_of(inlines)),
            Block::List(list) => list
                .items
                .iter()
                .for_each(|item| gather(&item.blocks, found)),
            Block::Table(table) => {
                let rows = table.rows.iter().filter_map(|row| row.first());
                found.extend(rows.map(|cell| words_of(cell)));
            }
            Block::Quote(blocks) => gather(blocks, found),
            Block::Rule => {}
        }
    }
}

/// A picture's words stand for it where it cannot be seen: they are no sentence.
fn words_of(inlines: &[Inline]) -> String {
    let seen: Vec<Inline> = inlines
        .iter()
        .filter(|inline| !matches!(inline, Inline::Picture(_)))
        .cloned()
        .collect();
    plain(&seen)
}

fn sentences(passage: &str) -> impl Iterator<Item = &str> {
    passage.split(['.', '!', '?'])
}

/// Runs of letters, digits and apostrophes, in lower case.
fn words(sentence: &str) -> Vec<String> {
    let parts = sentence.split(|c: char| !(c.is_alphanumeric() || c == '\'' || c == '’'));
    parts
        .filter(|word| word.chars().any(char::is_alphanumeric))
        .map(str::to_lowercase)
        .collect()
}

/// Groups of vowels; a silent `e` at the end is none, `le` after a consonant is one.
pub fn syllables(word: &str) -> usize {
    let letters: Vec<char> = word.chars().filter(|c| c.is_alphabetic()).collect();
    let vowel = |at: usize| letters.get(at).is_some_and(|c| "aeiouy".contains(*c));
    let groups = (0..letters.len())
        .filter(|at| vowel(*at) && (*at == 0 || !vowel(at - 1)))
        .count();
    let ends = |ending: &str| word.ends_with(ending);
    let spoken_es = ["ses", "zes", "xes", "ches", "shes", "ces", "ges", "les"];
    let silent = (ends("e") && !ends("ee") && (!ends("le") || vowel_before_le(&letters)))
        || (ends("es") && !spoken_es.iter().any(|e| ends(e)))
        || (ends("ed") && !ends("ted") && !ends("ded") && !ends("eed"));
    let counted = groups - usize::from(silent && groups > 1);
    // io, ia, ua, eo are two syllables but for -tion, -sion, -cial and the like.
    let split = ["ia", "io", "iu", "eo", "ua"]
        .iter()
        .map(|pair| word.matches(pair).count())
        .sum::<usize>();
    let one = [
        "tio", "sio", "cia", "tia", "cio", "gio", "qua", "gua", "people",
    ]
    .iter()
    .map(|group| word.matches(group).count())
    .sum::<usize>();
    (counted + split.saturating_sub(one)).max(1)
}

fn vowel_before_le(letters: &[char]) -> bool {
    let before = letters.len().checked_sub(3).and_then(|at| letters.get(at));
    before.is_some_and(|c| "aeiouy".contains(*c))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The two examples that encyclopaedias print with the formula: 6 words of one syllable, and
    /// 13 words counted as 24 syllables.
    #[test]
    fn the_formula_gives_the_grades_printed_with_it() {
        assert!((grade(6, 1, 6) - -1.45).abs() < 0.01);
        assert!((grade(13, 1, 24) - 11.3).abs() < 0.05);
        let cat = score(["The cat sat on the mat."], &BTreeSet::new());
        assert_eq!((cat.words, cat.sentences), (6, 1));
        assert!((cat.grade - -1.45).abs() < 0.01);
    }

    /// Syllables as an English dictionary divides the words.
    #[test]
    fn syllables_are_those_of_a_dictionary() {
        let known: &[(&str, usize)] = &[
            ("acid", 2),
            ("water", 2),
            ("bottle", 2),
            ("breathe", 1),
            ("rinse", 1),
            ("rinsed", 1),
            ("eyes", 1),
            ("eyewash", 2),
            ("goggles", 2),
            ("gloves", 1),
            ("danger", 2),
            ("emergency", 4),
            ("chemical", 3),
            ("solution", 3),
            ("developer", 4),
            ("fixer", 2),
            ("people", 2),
            ("wheeze", 1),
            ("allergy", 3),
            ("closed", 1),
            ("needed", 2),
            ("wanted", 2),
            ("free", 1),
            ("table", 2),
            ("whole", 1),
            ("noses", 2),
            ("lungs", 1),
            ("doctor", 2),
            ("region", 2),
            ("radio", 3),
        ];
        for (word, count) in known {
            assert_eq!(syllables(word), *count, "{word}");
        }
    }

    #[test]
    fn a_word_the_reader_was_told_is_a_plain_one() {
        let told: BTreeSet<String> = ["hydroquinone".to_owned()].into();
        let score = score(["Hydroquinone burns the eyes."], &told);
        assert!(score.grade < score.grade_of_every_word);
    }
}

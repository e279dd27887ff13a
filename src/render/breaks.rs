//! Where a line of text may end.
//!
//! Where Unicode allows it (UAX #14), so never at a no-break space; and not between a number
//! and the unit after it, where a reader in a hurry would lose one of them.

use unicode_linebreak::{BreakOpportunity, linebreaks};

/// Letters of the longest unit kept with its number: `minutes`.
const LONGEST_UNIT: usize = 7;

/// Whether a line may, or must, end before a character.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Break {
    Never,
    May,
    Must,
}

/// What holds before each character of a text.
pub fn breaks(text: &[char]) -> Vec<Break> {
    let string: String = text.iter().collect();
    let mut opportunities = linebreaks(&string).peekable();
    let mut offset = 0;
    let mut breaks = Vec::with_capacity(text.len());
    for c in text {
        let here = opportunities.next_if(|(place, _)| *place == offset);
        breaks.push(match here {
            Some((_, BreakOpportunity::Mandatory)) => Break::Must,
            Some((_, BreakOpportunity::Allowed)) => Break::May,
            None => Break::Never,
        });
        offset += c.len_utf8();
    }
    keep_units(text, &mut breaks);
    keep_options(text, &mut breaks);
    breaks
}

/// Takes the break out between a number and the short word after it, and between a sign
/// such as ≥ and its number.
fn keep_units(text: &[char], breaks: &mut [Break]) {
    for (index, window) in text.windows(3).enumerate() {
        let [before, ' ', _] = window else { continue };
        let bound = before.is_ascii_digit() || matches!(before, '≥' | '≤' | '<' | '>' | '±' | '≈');
        let start = index + 2;
        let word = text[start..]
            .iter()
            .take_while(|c| !c.is_whitespace())
            .count();
        if bound && word <= LONGEST_UNIT && breaks[start] == Break::May {
            breaks[start] = Break::Never;
        }
    }
}

/// Takes the breaks out after the dashes that begin a word: those of `--all`, `-o` and −5.
fn keep_options(text: &[char], breaks: &mut [Break]) {
    let mut begins = true;
    for (index, c) in text.iter().enumerate() {
        let after = index + 1;
        if begins && *c == '-' && breaks.get(after) == Some(&Break::May) {
            breaks[after] = Break::Never;
        }
        begins = c.is_whitespace() || begins && *c == '-';
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parts(text: &str) -> Vec<String> {
        let characters: Vec<char> = text.chars().collect();
        let mut parts = vec![String::new()];
        for (c, before) in characters.iter().zip(breaks(&characters)) {
            if before != Break::Never {
                parts.push(String::new());
            }
            if let Some(last) = parts.last_mut() {
                last.push(*c);
            }
        }
        parts
    }

    #[test]
    fn amounts_keep_their_units() {
        assert_eq!(parts("weigh 2.5 g now"), ["weigh ", "2.5 g ", "now"]);
        assert_eq!(
            parts("rinse 15 min at least"),
            ["rinse ", "15 min ", "at ", "least"]
        );
        assert_eq!(parts("nitrile ≥ 0.1 mm"), ["nitrile ", "≥ 0.1 mm"]);
        assert_eq!(parts("3 decahydrates"), ["3 ", "decahydrates"]);
    }

    #[test]
    fn an_option_of_a_command_stays_whole() {
        assert_eq!(parts("with --all or -o"), ["with ", "--all ", "or ", "-o"]);
    }

    #[test]
    fn no_break_spaces_hold_and_line_ends_part() {
        assert_eq!(parts("pH\u{A0}meter on"), ["pH\u{A0}meter ", "on"]);
        assert_eq!(parts("a\nb"), ["a\n", "b"]);
    }
}

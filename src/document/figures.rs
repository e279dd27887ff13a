//! Numbers as a language writes them. Figures are made with a point; a page has the language's sign.

/// What may stand before and behind a figure that is a quantity, and not a clause or a telephone.
const UNITS: [&str; 43] = [
    "%", "‰", "°C", "°F", "g", "kg", "mg", "µg", "t", "L", "mL", "µL", "m", "cm", "mm", "m2", "m²",
    "m3", "m³", "km", "h", "min", "s", "d", "K", "J", "kJ", "mol", "mmol", "ppm", "bar", "mbar",
    "Pa", "hPa", "kPa", "W", "cfm", "ft³", "ft3", "gal", "oz", "lb", "N",
];

/// Words before a figure that has no unit of its own.
const HEADS: [&str; 5] = ["pH", "TWA", "STEL", "IDLH", "ceiling"];

/// Signs between which a number is a figure.
const SIGNS: [char; 11] = ['×', '=', '±', '/', '<', '>', '≤', '≥', '–', '+', '·'];

/// How a language writes numbers, by an example: `1234,5`.
#[derive(Debug, Clone, Default)]
pub(super) struct NumberForm {
    /// What stands in place of the point, where it is another sign.
    decimal: Option<char>,
}

impl NumberForm {
    /// The form of an example, `1234,5`; without one as the figures are.
    pub fn like(example: &str) -> Self {
        let sign = example.chars().rev().find(|c| !c.is_ascii_digit());
        Self {
            decimal: sign.filter(|sign| *sign != '.'),
        }
    }

    /// The text with its figures in this form. A number is a figure where all the text is numbers, or
    /// where a unit or a sign of reckoning stands beside it; clauses, dates and versions stay.
    pub fn of(&self, text: &str) -> String {
        let Some(decimal) = self
            .decimal
            .filter(|_| text.contains('.') && !text.contains('^'))
        else {
            return text.to_owned();
        };
        let all = !text.chars().any(char::is_alphabetic);
        let mut own = String::with_capacity(text.len());
        let mut done = 0;
        for (at, _) in text.match_indices('.') {
            let (before, behind) = (&text[..at], &text[at + 1..]);
            if is_decimal(before, behind) && (all || is_figure(before, behind)) {
                own.push_str(&text[done..at]);
                own.push(decimal);
                done = at + 1;
            }
        }
        own.push_str(&text[done..]);
        own
    }
}

/// Digits on both sides, and no other point, letter or slash in the number.
fn is_decimal(before: &str, behind: &str) -> bool {
    let whole = before.trim_end_matches(|c: char| c.is_ascii_digit());
    let rest = behind.trim_start_matches(|c: char| c.is_ascii_digit());
    let joined = |c: char| c == '.' || c == ',' || c.is_alphanumeric();
    let goes_on = rest
        .strip_prefix('.')
        .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
    whole.len() < before.len() && rest.len() < behind.len() && !whole.ends_with(joined) && !goes_on
}

fn is_figure(before: &str, behind: &str) -> bool {
    let space = |c: char| c == ' ' || c == '\u{a0}';
    let whole = before.trim_end_matches(|c: char| c.is_ascii_digit());
    let rest = behind
        .trim_start_matches(|c: char| c.is_ascii_digit())
        .trim_start_matches(space);
    let unit = |unit: &str| {
        rest.strip_prefix(unit)
            .is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
    };
    let head = whole.trim_end_matches(space);
    UNITS.iter().any(|one| unit(one))
        || rest.starts_with(SIGNS)
        || head.ends_with(SIGNS)
        || head.ends_with(['(', '~'])
        || HEADS.iter().any(|word| head.ends_with(word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantities_change_and_clauses_stay() {
        let german = NumberForm::like("1234,5");
        let rows = [
            ("0.5", "0,5"),
            ("10.1 (9.8–10.6)", "10,1 (9,8–10,6)"),
            ("1.076 ± 0.005\u{a0}kg/L", "1,076 ± 0,005\u{a0}kg/L"),
            (
                "100 g × 286.14 / 124.00 = 231 g",
                "100 g × 286,14 / 124,00 = 231 g",
            ),
            ("UK WEL 0.5 mg/m³ (TWA 8 h)", "UK WEL 0,5 mg/m³ (TWA 8 h)"),
            ("pH 2.6", "pH 2,6"),
            ("CLP Annex I, Table 3.3.3", "CLP Annex I, Table 3.3.3"),
            (
                "29 CFR 1910.1200(h), 1910.1200 (h)",
                "29 CFR 1910.1200(h), 1910.1200 (h)",
            ),
            ("Art. 8(1)", "Art. 8(1)"),
            ("3.12.2026", "3.12.2026"),
            ("call Ilse, 555.0142", "call Ilse, 555.0142"),
            ("wetside 0.1.0", "wetside 0.1.0"),
            ("0.5 Gramm", "0.5 Gramm"),
            ("5 g. 3 g.", "5 g. 3 g."),
        ];
        for (text, own) in rows {
            assert_eq!(german.of(text), own);
            assert_eq!(NumberForm::like("1234.5").of(text), text);
            assert_eq!(NumberForm::default().of(text), text);
        }
    }
}

//! Formula → molar mass.

use std::collections::BTreeMap;
use std::fmt;

use super::{DataError, DataFiles};

/// Standard atomic weights by symbol, from `hazards/elements.yaml`.
#[derive(Debug, Clone)]
pub struct Elements(BTreeMap<String, f64>);

/// Why a formula has no molar mass.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormulaError {
    formula: String,
    at: usize,
    what: &'static str,
}

impl fmt::Display for FormulaError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "formula `{}`, character {}: {}",
            self.formula,
            self.at + 1,
            self.what
        )
    }
}

impl std::error::Error for FormulaError {}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct ElementsFile {
    #[allow(
        dead_code,
        reason = "every datum names its source; the bibliography test reads it"
    )]
    from: crate::provenance::Origin,
    weights: BTreeMap<String, f64>,
}

impl Elements {
    /// Reads the table.
    ///
    /// # Errors
    /// When the file is missing or misshapen.
    pub fn load(files: &DataFiles) -> Result<Self, DataError> {
        Ok(Self(
            files.read::<ElementsFile>("hazards/elements.yaml")?.weights,
        ))
    }

    /// Molar mass in g/mol of a formula such as `Na2CO3.10H2O` or `(C7H9NO)2.H2SO4`.
    ///
    /// # Errors
    /// When the formula has an unknown symbol, an open parenthesis, or nothing in it.
    pub fn molar_mass(&self, formula: &str) -> Result<f64, FormulaError> {
        Ok(self.masses(formula)?.values().sum())
    }

    /// Mass fraction of each element, 0 to 1, by symbol.
    ///
    /// # Errors
    /// As [`Elements::molar_mass`].
    pub fn mass_fractions(&self, formula: &str) -> Result<BTreeMap<String, f64>, FormulaError> {
        let masses = self.masses(formula)?;
        let whole: f64 = masses.values().sum();
        Ok(masses
            .into_iter()
            .map(|(symbol, mass)| (symbol.to_owned(), mass / whole))
            .collect())
    }

    /// Mass of each element in a mole, g, by symbol.
    fn masses(&self, formula: &str) -> Result<Masses<'_>, FormulaError> {
        let mut total = Masses::new();
        let mut start = 0;
        for part in formula.split(['.', '·']) {
            let digits = part.bytes().take_while(u8::is_ascii_digit).count();
            let count = if digits == 0 {
                1.0
            } else {
                part[..digits].parse().unwrap_or(1.0)
            };
            let mut reader = Reader {
                elements: self,
                formula,
                text: part.as_bytes(),
                at: digits,
                start,
            };
            add(&mut total, reader.group(0)?, count);
            start += part.len() + 1;
        }
        if total.values().sum::<f64>() > 0.0 {
            Ok(total)
        } else {
            Err(FormulaError {
                formula: formula.into(),
                at: 0,
                what: "it is empty",
            })
        }
    }
}

/// Grams of each element, by symbol.
type Masses<'e> = BTreeMap<&'e str, f64>;

fn add<'e>(total: &mut Masses<'e>, part: Masses<'e>, times: f64) {
    for (symbol, mass) in part {
        *total.entry(symbol).or_default() += times * mass;
    }
}

struct Reader<'e, 'f> {
    elements: &'e Elements,
    formula: &'f str,
    text: &'f [u8],
    at: usize,
    start: usize,
}

impl<'e> Reader<'e, '_> {
    /// Reads symbols and parenthesised groups up to a closing parenthesis or the end.
    fn group(&mut self, depth: usize) -> Result<Masses<'e>, FormulaError> {
        let mut mass = Masses::new();
        while let Some(&byte) = self.text.get(self.at) {
            let unit = match byte {
                b'(' | b'[' if depth < 4 => {
                    self.at += 1;
                    let inner = self.group(depth + 1)?;
                    if !matches!(self.text.get(self.at), Some(b')' | b']')) {
                        return Err(self.wrong("a parenthesis is not closed"));
                    }
                    self.at += 1;
                    inner
                }
                b')' | b']' if depth > 0 => return Ok(mass),
                b'A'..=b'Z' => self.symbol()?,
                _ => return Err(self.wrong("an element symbol is expected")),
            };
            let count = self.count();
            add(&mut mass, unit, count);
        }
        Ok(mass)
    }

    fn symbol(&mut self) -> Result<Masses<'e>, FormulaError> {
        let end = self.at
            + 1
            + usize::from(
                self.text
                    .get(self.at + 1)
                    .is_some_and(u8::is_ascii_lowercase),
            );
        let symbol = std::str::from_utf8(&self.text[self.at..end]).unwrap_or("");
        let (symbol, weight) = self
            .elements
            .0
            .get_key_value(symbol)
            .ok_or_else(|| self.wrong("no such element here"))?;
        self.at = end;
        Ok(Masses::from([(symbol.as_str(), *weight)]))
    }

    fn count(&mut self) -> f64 {
        let digits = self.text[self.at..]
            .iter()
            .take_while(|b| b.is_ascii_digit())
            .count();
        let text = std::str::from_utf8(&self.text[self.at..self.at + digits]).unwrap_or("");
        self.at += digits;
        if digits == 0 {
            1.0
        } else {
            text.parse().unwrap_or(1.0)
        }
    }

    fn wrong(&self, what: &'static str) -> FormulaError {
        FormulaError {
            formula: self.formula.to_owned(),
            at: self.start + self.at,
            what,
        }
    }
}

/// The formula with subscript digits, for people: `Na₂CO₃·10 H₂O`.
pub fn pretty(formula: &str) -> String {
    let mut out = String::new();
    let mut previous = '.';
    for c in formula.chars() {
        let after_symbol = previous.is_alphabetic() || matches!(previous, ')' | ']' | '₀'..='₉');
        match c {
            '.' => out.push('·'),
            '0'..='9' if after_symbol => {
                out.push(char::from_u32('₀' as u32 + (c as u32 - '0' as u32)).unwrap_or(c))
            }
            'A'..='Z'
                if previous.is_ascii_digit() && !out.ends_with(|c| ('₀'..='₉').contains(&c)) =>
            {
                out.push('\u{a0}');
                out.push(c);
            }
            _ => out.push(c),
        }
        previous = out.chars().last().unwrap_or(c);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn elements() -> Elements {
        Elements::load(&DataFiles::embedded()).unwrap()
    }

    /// Atomic weights against the library `mendeleev` 0.8 (standard atomic weights).
    #[test]
    fn weights_agree_with_a_reference_library() {
        for element in mendeleev::Element::iter() {
            if let Some(weight) = elements().0.get(element.symbol()) {
                let theirs = f64::from(element.atomic_weight());
                assert!(
                    (weight - theirs).abs() < 0.006,
                    "{}: {weight} {theirs}",
                    element.symbol()
                );
            }
        }
    }

    #[test]
    fn hydrates_and_parentheses() {
        let e = elements();
        // tests/reference/molar-masses.csv: periodictable 2.1.0.
        for (formula, mass) in [
            ("Na2CO3.10H2O", 286.138),
            ("(C7H9NO)2.H2SO4", 344.382),
            ("Na2B4O7.10H2O", 381.363),
            ("KAl(SO4)2.12H2O", 474.372),
            ("H2O", 18.015),
        ] {
            assert!(
                (e.molar_mass(formula).unwrap() - mass).abs() < 0.02,
                "{formula}"
            );
        }
        for bad in ["", "Xx2", "Na2(CO3", "na", "H2O)", "((((((H))))))"] {
            assert!(e.molar_mass(bad).is_err(), "{bad}");
        }
    }

    /// Potassium dichromate is 35.35 % chromium, silver nitrate 63.50 % silver (formula masses).
    #[test]
    fn shares_of_the_elements() {
        for (formula, symbol, share) in [("K2Cr2O7", "Cr", 0.3535), ("AgNO3", "Ag", 0.6350)] {
            let shares = elements().mass_fractions(formula).unwrap();
            assert!((shares[symbol] - share).abs() < 5e-5, "{shares:?}");
            assert!((shares.values().sum::<f64>() - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn formulas_for_people() {
        assert_eq!(pretty("Na2CO3.10H2O"), "Na₂CO₃·10\u{a0}H₂O");
        assert_eq!(pretty("(C7H9NO)2.H2SO4"), "(C₇H₉NO)₂·H₂SO₄");
        assert_eq!(pretty("C12H22O11"), "C₁₂H₂₂O₁₁");
    }
}

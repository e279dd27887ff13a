//! How a stock becomes a working solution.

use std::fmt;
use std::str::FromStr;

use super::{UnitError, parse_number};

/// How a stock becomes a working solution: parts of stock in parts of the whole.
///
/// `1+9` is one part of stock and nine of water; `1:10` is one part in ten, the chemist's
/// reading. The two differ, so `1:9` is taken as one part in nine and shown back as `1+8`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dilution {
    stock_parts: f64,
    water_parts: f64,
}

impl Dilution {
    /// Used as it is.
    pub const STOCK: Self = Self {
        stock_parts: 1.0,
        water_parts: 0.0,
    };

    /// The share of the working solution that is stock, above 0 up to 1.
    pub fn stock_share(self) -> f64 {
        self.stock_parts / (self.stock_parts + self.water_parts)
    }

    /// Whether water is added at all.
    pub fn dilutes(self) -> bool {
        self.water_parts > 0.0
    }
}

impl fmt::Display for Dilution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.dilutes() {
            write!(f, "{}+{}", self.stock_parts, self.water_parts)
        } else {
            f.write_str("stock")
        }
    }
}

impl FromStr for Dilution {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Self, UnitError> {
        let wrong = || UnitError::NotADilution {
            text: text.trim().to_owned(),
        };
        let folded = text.trim().to_lowercase();
        if matches!(
            folded.as_str(),
            "stock" | "undiluted" | "as is" | "full strength"
        ) {
            return Ok(Self::STOCK);
        }
        let plus = folded.split_once('+');
        let (first, second) = plus.or_else(|| folded.split_once(':')).ok_or_else(wrong)?;
        let part = |text: &str| match parse_number(text) {
            Some((value, "")) if (0.0..=1e6).contains(&value) => Ok(value),
            _ => Err(wrong()),
        };
        let (stock_parts, second) = (part(first)?, part(second)?);
        let water_parts = if plus.is_some() {
            second
        } else {
            second - stock_parts
        };
        if stock_parts <= 0.0 || water_parts < 0.0 {
            return Err(wrong());
        }
        Ok(Self {
            stock_parts,
            water_parts,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dilutions_say_parts_of_water_or_of_the_whole() {
        for (text, share) in [
            ("1+9", 0.1),
            ("1:10", 0.1),
            ("1 + 2", 1.0 / 3.0),
            ("stock", 1.0),
            ("1+0", 1.0),
        ] {
            assert!(
                (text.parse::<Dilution>().unwrap().stock_share() - share).abs() < 1e-9,
                "{text}"
            );
        }
        for text in ["0+9", "1", "a+b", "2:1", "1+9 L", ""] {
            assert!(text.parse::<Dilution>().is_err(), "{text}");
        }
    }
}

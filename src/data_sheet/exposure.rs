//! A workplace limit as a data sheet's section 8 prints it: `OSHA PEL TWA 2 mg/m3`.

use std::fmt;
use std::str::FromStr;

use crate::units::parse_number;

/// A limit as written.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitSaid {
    /// Whose: `OSHA PEL`.
    pub body: String,
    /// TWA, STEL or ceiling.
    pub kind: &'static str,
    /// The figure, above 0.
    pub value: f64,
    /// mg/m3 or ppm.
    pub unit: &'static str,
    /// Inhalable, respirable …
    pub fraction: Option<String>,
}

impl LimitSaid {
    /// Averaging time in minutes: a shift of 8 h, 15 min, or at no moment.
    pub fn minutes(&self) -> f64 {
        match self.kind {
            "TWA" => 480.0,
            "STEL" => 15.0,
            _ => 0.0,
        }
    }
}

impl FromStr for LimitSaid {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || {
            format!(
                "`{text}` is not a limit; write it like `OSHA PEL TWA 2 mg/m3` or `UK WEL STEL 5 ppm`"
            )
        };
        let words: Vec<&str> = text.split_whitespace().collect();
        let at = words.iter().position(|word| kind(word).is_some());
        let at = at.filter(|at| *at > 0).ok_or_else(wrong)?;
        let kind = words
            .get(at)
            .and_then(|word| kind(word))
            .ok_or_else(wrong)?;
        let rest = words.get(at + 1..).unwrap_or(&[]).join(" ");
        let (value, rest) = parse_number(&rest).ok_or_else(wrong)?;
        let mut rest = rest.splitn(2, ' ');
        let unit = rest.next().and_then(unit).ok_or_else(wrong)?;
        let fraction = rest.next().map(|word| word.trim_matches(['(', ')', ' ']));
        if value.is_nan() || value <= 0.0 || value > 1e6 {
            return Err(format!("`{value}` cannot be a limit; it stands above 0"));
        }
        Ok(Self {
            body: words.get(..at).unwrap_or(&[]).join(" "),
            kind,
            value,
            unit,
            fraction: fraction.filter(|word| !word.is_empty()).map(str::to_owned),
        })
    }
}

impl fmt::Display for LimitSaid {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            body,
            kind,
            value,
            unit,
            fraction,
        } = self;
        write!(f, "{body} {kind} {value} {unit}")?;
        fraction
            .as_ref()
            .map_or(Ok(()), |fraction| write!(f, " ({fraction})"))
    }
}

fn kind(word: &str) -> Option<&'static str> {
    match word.trim_end_matches(':').to_lowercase().as_str() {
        "twa" => Some("TWA"),
        "stel" => Some("STEL"),
        "ceiling" => Some("ceiling"),
        _ => None,
    }
}

fn unit(word: &str) -> Option<&'static str> {
    match word.to_lowercase().as_str() {
        "mg/m3" | "mg/m³" => Some("mg/m3"),
        "ppm" => Some("ppm"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_are_read_as_sheets_print_them() {
        for (text, shown) in [
            ("OSHA PEL TWA 2 mg/m3", "OSHA PEL TWA 2 mg/m3"),
            ("UK WEL STEL: 1,5 ppm", "UK WEL STEL 1.5 ppm"),
            (
                "DE AGW TWA 0.5 mg/m³ (inhalable)",
                "DE AGW TWA 0.5 mg/m3 (inhalable)",
            ),
            ("NIOSH REL ceiling 2mg/m3", "NIOSH REL ceiling 2 mg/m3"),
        ] {
            assert_eq!(text.parse::<LimitSaid>().unwrap().to_string(), shown);
        }
        for text in [
            "TWA 2 ppm",
            "OSHA PEL 2 ppm",
            "OSHA PEL TWA",
            "OSHA PEL TWA 0 ppm",
            "OSHA PEL TWA -1 ppm",
            "OSHA PEL TWA 2 g",
        ] {
            assert!(text.parse::<LimitSaid>().is_err(), "{text}");
        }
    }
}

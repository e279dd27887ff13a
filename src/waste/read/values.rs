//! Single values of a waste file.

use chrono::NaiveDate;

use crate::source::Fields;
use crate::source::yaml::Node;
use crate::units::{Mass, parse_number};
use crate::waste::description::{DrainKind, Holder};

use super::Reader;

impl Reader<'_> {
    pub(super) fn number(
        &mut self,
        fields: &Fields,
        name: &str,
        (low, high): (f64, f64),
    ) -> Option<f64> {
        let node = fields.get(name)?;
        let text = node.plain(&mut self.mistakes)?.trim().trim_end_matches('%');
        match parse_number(text) {
            Some((value, "")) if (low..=high).contains(&value) => Some(value),
            Some((value, "")) => {
                self.note(
                    node,
                    format!("{value} is outside what `{name}` can be ({low} to {high})"),
                    "correct this value",
                );
                None
            }
            _ => {
                self.note(
                    node,
                    format!("`{text}` is not a plain number"),
                    &format!("write `{name}` as a number without a unit"),
                );
                None
            }
        }
    }

    pub(super) fn kilograms(&mut self, fields: &Fields, name: &str) -> Option<f64> {
        let mass: Option<Mass> = fields.parse(name, &mut self.mistakes);
        mass.map(|mass| mass.grams() / 1000.0)
    }

    pub(super) fn date(&mut self, fields: &Fields, name: &str) -> Option<NaiveDate> {
        let node = fields.get(name)?;
        let text = node.plain(&mut self.mistakes)?;
        let date = NaiveDate::parse_from_str(text, "%Y-%m-%d").ok();
        if date.is_none() {
            self.note(
                node,
                format!("`{text}` is not a date"),
                "write it as `2026-12-03`",
            );
        }
        date
    }

    pub(super) fn distance(&mut self, node: &Node) -> Option<f64> {
        /// Kilometres in an international mile, exact (NIST SP 811, Appendix B).
        const KM_PER_MILE: f64 = 1.609_344;
        let text = node.plain(&mut self.mistakes)?;
        match parse_number(text) {
            Some((value, "miles" | "mile" | "mi")) => Some(value),
            Some((value, "km")) => Some(value / KM_PER_MILE),
            _ => {
                self.note(
                    node,
                    format!("`{text}` is not a distance"),
                    "write it as `120 miles` or `190 km`",
                );
                None
            }
        }
    }

    pub(super) fn yes_or_no(&mut self, fields: &Fields, name: &str) -> bool {
        let Some(node) = fields.get(name) else {
            return false;
        };
        match node.text() {
            Some("yes" | "true") => true,
            Some("no" | "false") => false,
            _ => {
                self.note(
                    node,
                    format!("`{name}` is `yes` or `no`"),
                    "write one of the two",
                );
                false
            }
        }
    }

    pub(super) fn holder(&mut self, node: &Node) -> Option<Holder> {
        self.choice(
            node,
            "holder",
            &[
                ("business", Holder::Business),
                ("school", Holder::School),
                ("private", Holder::Private),
            ],
        )
    }

    pub(super) fn drain_kind(&mut self, node: &Node) -> Option<DrainKind> {
        self.choice(
            node,
            "drain",
            &[
                ("sewer", DrainKind::Sewer),
                ("septic", DrainKind::Septic),
                ("none", DrainKind::None),
            ],
        )
    }

    pub(super) fn nation(&mut self, node: &Node) -> Option<String> {
        let names = ["england", "wales", "scotland", "northern-ireland"];
        let choices: Vec<(&str, String)> = names
            .iter()
            .map(|name| (*name, (*name).to_owned()))
            .collect();
        self.choice(node, "nation", &choices)
    }

    pub(super) fn choice<T: Clone>(
        &mut self,
        node: &Node,
        what: &str,
        choices: &[(&str, T)],
    ) -> Option<T> {
        let text = node
            .plain(&mut self.mistakes)?
            .trim()
            .to_lowercase()
            .replace(' ', "-");
        let found = choices.iter().find(|(name, _)| *name == text);
        if found.is_none() {
            let names: Vec<&str> = choices.iter().map(|(name, _)| *name).collect();
            self.note(
                node,
                format!("`{text}` is no {what}"),
                &format!("write one of {}", names.join(", ")),
            );
        }
        found.map(|(_, value)| value.clone())
    }
}

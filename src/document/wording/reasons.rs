//! Why a mixture is classified as it is, in words.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::Wording;
use crate::classify::Reason;

impl Wording {
    /// Why a mixture is classified as it is, in words. A template that fails says so.
    pub fn reason(&self, reason: &Reason) -> String {
        self.reason_told(reason.code, &json!(reason.facts))
    }

    /// A fact in words where it is a reason.
    pub(super) fn as_reason(&self, fact: &Value) -> Option<String> {
        let code = fact.get("code")?.as_str()?;
        Some(self.reason_told(code, fact.get("facts")?))
    }

    fn reason_told(&self, code: &str, facts: &Value) -> String {
        let mut facts = facts.clone();
        self.named(&mut facts);
        if let Some(behind) = facts.get("behind").and_then(|fact| self.as_reason(fact)) {
            facts["behind"] = behind.into();
        }
        let Some(template) = self.reasons.get(code) else {
            return code.to_owned();
        };
        let told = self
            .environment
            .render_str(template, minijinja::value::Serde(&facts))
            .unwrap_or_else(|error| format!("{code}: the wording cannot be filled in: {error:#}"));
        // Templates are broken into lines to be read; what they tell is one line.
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
        if self.foreign_reasons.contains(code) {
            format!("{told} {}", self.word("foreign"))
        } else {
            told
        }
    }

    /// Several, in the order of their words, each once.
    pub fn reasons(&self, reasons: &[Reason]) -> Vec<String> {
        let told: BTreeSet<String> = reasons.iter().map(|reason| self.reason(reason)).collect();
        told.into_iter().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::DataFiles;

    /// Every sentence has its German, and German has none of its own; both fill in what they ask for.
    #[test]
    fn reasons_are_told_in_both_languages() {
        let files = DataFiles::embedded();
        let english = Wording::load(&files, "en").unwrap();
        let german = Wording::load(&files, "de").unwrap();
        assert!(german.foreign_reasons.is_empty());
        assert_eq!(english.reasons.len(), german.reasons.len());
        let part = json!({"name": "lye", "percent": "8", "estimate": "125", "weight": null, "own": null,
            "with_its_like": false, "sign": ">=", "limit": "5"});
        let facts = json!({"parts": [part], "names": ["lye"], "routes": ["gas", "dust"], "route": "oral",
            "name": "lye", "percent": "8", "value": "8", "sign": ">=", "limit": "5", "unit": "mg/kg",
            "unknown": null, "low": "3", "high": "4", "given": "3", "class": "Acute Tox. 4", "taken": "500",
            "behind": {"code": "ph", "facts": {"value": "1", "sign": "<=", "limit": "2"}}});
        for code in english.reasons.keys() {
            let (one, other) = (
                english.reason_told(code, &facts),
                german.reason_told(code, &facts),
            );
            assert!(!one.contains("cannot be filled in"), "{one}");
            assert!(!other.contains("cannot be filled in"), "{other}");
        }
        assert_eq!(
            english.reason_told("sum", &facts),
            "sum of lye 8 %: 8 % >= 5 %"
        );
        assert_eq!(
            english.reason_told("corrosive", &facts),
            "corrosive to the skin: pH 1 <= 2"
        );
    }
}

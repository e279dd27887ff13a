//! Why a result is as it is, as facts: the words stand in `templates/reasons.yaml`.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::{Value, json};

/// Which sentence, and what is filled in. A reason may be a fact of another.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reason {
    /// The sentence's name in `templates/reasons.yaml`.
    pub code: &'static str,
    /// What is filled in.
    pub facts: BTreeMap<&'static str, Value>,
}

impl Reason {
    /// A sentence with nothing filled in.
    pub(super) fn new(code: &'static str) -> Self {
        Self {
            code,
            facts: BTreeMap::new(),
        }
    }

    /// The same with a fact more.
    #[must_use]
    pub(super) fn fact(mut self, name: &'static str, value: impl Into<Value>) -> Self {
        self.facts.insert(name, value.into());
        self
    }

    /// As a fact of something else.
    pub fn to_value(&self) -> Value {
        json!({"code": self.code, "facts": self.facts})
    }
}

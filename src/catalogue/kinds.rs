//! Kinds of solution, vessels and waste streams.

use serde::Deserialize;

use crate::provenance::Origin;

use super::Text;

/// A kind of solution: `hazards/kinds.yaml`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Kind {
    /// Stable id.
    pub id: String,
    /// The name printed.
    pub title: String,
    /// Names taken on the way in.
    #[serde(default)]
    pub names: Vec<String>,
    /// The kind this is a kind of.
    #[serde(default)]
    pub parent: Option<String>,
    /// The waste stream it becomes.
    #[serde(default)]
    pub stream: Option<String>,
}

/// A waste stream: `hazards/streams.yaml`.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stream {
    /// Stable id.
    pub id: String,
    /// The name printed.
    pub title: String,
    /// What it is, one sentence.
    pub what: String,
    /// Kinds of solution that become it.
    #[serde(default)]
    pub kinds: Vec<String>,
    /// Streams it must not share a container with.
    #[serde(default)]
    pub never_with: Vec<String>,
    /// What would come of it.
    #[serde(default)]
    pub why_never: String,
    /// What it is collected in.
    #[serde(default)]
    pub container: String,
    /// Words for the container's label.
    #[serde(default)]
    pub label_words: Vec<String>,
    /// What limits a drain and whom to ask; never that a drain is allowed.
    pub disposal: Text,
    /// What to ask the sewer works or collector.
    #[serde(default)]
    pub drain_question: String,
    /// Remarks.
    #[serde(default)]
    pub note: Option<Text>,
}

//! What a kind of solution can be made with instead: `hazards/alternatives.yaml`.

use serde::Deserialize;

use crate::provenance::Origin;

use super::Chemical;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AlternativesFile {
    pub alternatives: Vec<Alternative>,
}

/// Another chemical for the same work.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Alternative {
    /// A root entry, with all its forms, or one form.
    pub instead_of: String,
    /// What to take.
    pub take: String,
    /// Kinds of solution it works in; none: any.
    pub kinds: Vec<String>,
    /// What changes in use.
    pub costs: String,
    /// On whose word.
    pub from: Origin,
}

impl Alternative {
    /// Whether it stands for a chemical in the jar.
    pub fn is_for(&self, chemical: &Chemical) -> bool {
        self.instead_of == chemical.id || self.instead_of == chemical.root()
    }
}

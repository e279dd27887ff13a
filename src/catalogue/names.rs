//! Names as people write them → entries.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::{Chemical, DataError};

/// What a name leads to.
#[derive(Debug, Clone)]
pub enum Named {
    /// One entry.
    Entry(Arc<Chemical>),
    /// A substance whose hydrate or strength the name leaves open; all its forms, root first.
    Bare(Vec<Arc<Chemical>>),
    /// Several entries share this formula.
    Several(Vec<Arc<Chemical>>),
}

/// Every name, number and formula, folded so that case, spacing and punctuation do not matter.
#[derive(Debug, Clone, Default)]
pub struct NameIndex {
    exact: BTreeMap<String, String>,
    bare: BTreeMap<String, String>,
    formulas: BTreeMap<String, Vec<String>>,
    /// Every name as written, for the nearest one.
    written: Vec<(String, String)>,
}

/// `Sodium Carbonate, Monohydrate` and `sodium-carbonate monohydrate` are the same name, and so
/// are `sulphite` and `sulfite`.
pub fn fold(name: &str) -> String {
    let plain: String = name.to_lowercase().chars().filter(|c| c.is_alphanumeric()).collect();
    plain.replace("sulph", "sulf")
}

impl NameIndex {
    /// Indexes all entries.
    ///
    /// # Errors
    /// When one name would lead to two entries.
    pub fn build<'c>(chemicals: impl Iterator<Item = &'c Arc<Chemical>>) -> Result<Self, DataError> {
        let mut index = Self::default();
        for chemical in chemicals {
            index.enter(chemical)?;
        }
        let clash = index.bare.iter().find_map(|(name, id)| index.exact.get(name).map(|other| (name, id, other)));
        if let Some((name, id, other)) = clash {
            let message = format!("`{name}` is a bare name here and the name of `{other}`");
            return Err(DataError::new(format!("hazards/chemicals/{id}.yaml"), message));
        }
        Ok(index)
    }

    fn enter(&mut self, chemical: &Chemical) -> Result<(), DataError> {
        let own = [&chemical.id, &chemical.name];
        let names = own.into_iter().chain(&chemical.names).chain(chemical.translations.values()).chain(&chemical.cas);
        for name in names {
            Self::insert(&mut self.exact, name, &chemical.id)?;
            self.written.push((name.clone(), chemical.id.clone()));
        }
        for name in &chemical.bare_names {
            Self::insert(&mut self.bare, name, &chemical.id)?;
            self.written.push((name.clone(), chemical.id.clone()));
        }
        // A solution shares its solute's formula; the formula means the substance itself.
        if let (Some(formula), None) = (&chemical.formula, &chemical.strength) {
            self.formulas.entry(fold(formula)).or_default().push(chemical.id.clone());
        }
        Ok(())
    }

    fn insert(map: &mut BTreeMap<String, String>, name: &str, id: &str) -> Result<(), DataError> {
        match map.insert(fold(name), id.to_owned()) {
            Some(other) if other != id => {
                let message = format!("the name `{name}` also leads to `{other}`");
                Err(DataError::new(format!("hazards/chemicals/{id}.yaml"), message))
            }
            _ => Ok(()),
        }
    }

    /// The ids a name leads to: one exactly, one left open (`true`), or several by formula.
    pub fn find(&self, name: &str) -> Option<Found<'_>> {
        let key = fold(name);
        if let Some(id) = self.exact.get(&key) {
            return Some(Found::Entry(id));
        }
        if let Some(id) = self.bare.get(&key) {
            return Some(Found::Bare(id));
        }
        match self.formulas.get(&key)?.as_slice() {
            [id] => Some(Found::Entry(id)),
            ids => Some(Found::Several(ids)),
        }
    }

    /// The known name nearest to one that is not known.
    pub fn nearest(&self, name: &str) -> Option<&str> {
        crate::source::nearest(name, self.written.iter().map(|(written, _)| written.as_str()))
    }
}

/// What the index holds under a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Found<'i> {
    /// One entry.
    Entry(&'i str),
    /// A root entry, hydrate or strength left open.
    Bare(&'i str),
    /// Entries that share a formula.
    Several(&'i [String]),
}

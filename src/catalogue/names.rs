//! Names as people write them → entries.

use std::collections::{BTreeMap, BTreeSet};
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
    ids: BTreeSet<String>,
    exact: BTreeMap<String, String>,
    bare: BTreeMap<String, String>,
    /// CAS numbers and formulas: several forms or isomers may share one.
    shared: BTreeMap<String, Vec<Sharer>>,
    /// Every name as written, and whether an entry is called by it, for the nearest one.
    written: Vec<(String, bool)>,
}

/// `Sodium Carbonate, Monohydrate` and `sodium-carbonate monohydrate` are the same name, and so
/// are `sulphite` and `sulfite`.
pub fn fold(name: &str) -> String {
    let mut plain = String::with_capacity(name.len());
    for c in name.chars() {
        match c {
            'a'..='z' | '0'..='9' => plain.push(c),
            'A'..='Z' => plain.push(c.to_ascii_lowercase()),
            _ if c.is_alphanumeric() => plain.extend(c.to_lowercase()),
            _ => {}
        }
    }
    if plain.contains("sulph") {
        plain.replace("sulph", "sulf")
    } else {
        plain
    }
}

impl NameIndex {
    /// Indexes all entries.
    ///
    /// # Errors
    /// When one name would lead to two entries.
    pub fn build<'c>(
        chemicals: impl Iterator<Item = &'c Arc<Chemical>>,
    ) -> Result<Self, DataError> {
        let mut index = Self::default();
        for chemical in chemicals {
            index.enter(chemical)?;
        }
        let clash = index
            .bare
            .iter()
            .find_map(|(name, id)| index.exact.get(name).map(|other| (name, id, other)));
        if let Some((name, id, other)) = clash {
            let message = format!("`{name}` is a bare name here and the name of `{other}`");
            return Err(DataError::new(
                format!("hazards/chemicals/{id}.yaml"),
                message,
            ));
        }
        Ok(index)
    }

    fn enter(&mut self, chemical: &Chemical) -> Result<(), DataError> {
        self.ids.insert(chemical.id.clone());
        let bare = |name: &&String| {
            chemical
                .bare_names
                .iter()
                .any(|bare| fold(bare) == fold(name))
        };
        let own = [&chemical.id, &chemical.name]
            .into_iter()
            .filter(|name| !bare(name));
        let main = own.chain(chemical.translations.values());
        let names = main
            .map(|name| (name, true))
            .chain(chemical.names.iter().map(|name| (name, false)));
        for (name, is_main) in names {
            Self::insert(&mut self.exact, name, &chemical.id)?;
            self.written.push((name.clone(), is_main));
        }
        for name in &chemical.bare_names {
            Self::insert(&mut self.bare, name, &chemical.id)?;
            self.written.push((name.clone(), *name == chemical.name));
        }
        let sharer = || Sharer {
            id: chemical.id.clone(),
            root: chemical.root().to_owned(),
        };
        if let Some(cas) = &chemical.cas {
            self.shared.entry(fold(cas)).or_default().push(sharer());
        }
        // A solution has its solute's formula; the formula means the substance itself.
        if let (Some(formula), None) = (&chemical.formula, &chemical.strength) {
            self.shared.entry(fold(formula)).or_default().push(sharer());
        }
        Ok(())
    }

    fn insert(map: &mut BTreeMap<String, String>, name: &str, id: &str) -> Result<(), DataError> {
        match map.insert(fold(name), id.to_owned()) {
            Some(other) if other != id => {
                let message = format!("the name `{name}` also leads to `{other}`");
                Err(DataError::new(
                    format!("hazards/chemicals/{id}.yaml"),
                    message,
                ))
            }
            _ => Ok(()),
        }
    }

    /// What a name leads to.
    ///
    /// An id of several words, written exactly (`acetic-acid`), is that entry even where the same
    /// words as a name (`acetic acid`) leave the strength open.
    pub fn find(&self, name: &str) -> Option<Found<'_>> {
        if let Some(id) = self.ids.get(name).filter(|id| id.contains('-')) {
            return Some(Found::Entry(id));
        }
        let key = fold(name);
        if let Some(id) = self.exact.get(&key) {
            return Some(Found::Entry(id));
        }
        if let Some(id) = self.bare.get(&key) {
            return Some(Found::Bare(id));
        }
        match self.shared.get(&key)?.as_slice() {
            [one] => Some(Found::Entry(&one.id)),
            [first, rest @ ..] if rest.iter().all(|other| other.root == first.root) => {
                Some(Found::Bare(&first.root))
            }
            several => Some(Found::Several(
                several.iter().map(|sharer| sharer.id.as_str()).collect(),
            )),
        }
    }

    /// The known name nearest to one that is not known; of several as near, one that an entry is
    /// called by before its other names.
    pub fn nearest(&self, name: &str) -> Option<&str> {
        let ranked = self.written.iter();
        let ranked = ranked.map(|(written, is_main)| (usize::from(!is_main), written.as_str()));
        crate::source::nearest_ranked(name, ranked)
    }
}

#[derive(Debug, Clone)]
struct Sharer {
    id: String,
    root: String,
}

/// What the index holds under a name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Found<'i> {
    /// One entry.
    Entry(&'i str),
    /// A root entry, hydrate or strength left open.
    Bare(&'i str),
    /// Entries of different substances that share a formula.
    Several(Vec<&'i str>),
}

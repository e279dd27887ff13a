//! Names as people write them → entries.

use std::collections::HashMap;
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

/// Every name, number and formula, folded so that case, spacing and punctuation do not matter; each
/// leads to the place of its entry.
#[derive(Debug, Clone, Default)]
pub struct NameIndex {
    entries: Vec<Arc<Chemical>>,
    ids: HashMap<String, usize>,
    exact: HashMap<String, usize>,
    bare: HashMap<String, usize>,
    /// CAS numbers and formulas: several forms or isomers may share one.
    shared: HashMap<String, Vec<usize>>,
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
        let bare = index.bare.iter();
        let clashes = bare.filter_map(|(name, at)| Some((name, *at, *index.exact.get(name)?)));
        if let Some((name, at, other)) = clashes.min() {
            let other = index.id(other);
            let message = format!("`{name}` is a bare name here and the name of `{other}`");
            return Err(index.fault(at, message));
        }
        Ok(index)
    }

    fn id(&self, at: usize) -> &str {
        &self.entries[at].id
    }

    fn fault(&self, at: usize, message: String) -> DataError {
        DataError::new(format!("hazards/chemicals/{}.yaml", self.id(at)), message)
    }

    fn enter(&mut self, chemical: &Arc<Chemical>) -> Result<(), DataError> {
        let at = self.entries.len();
        self.entries.push(Arc::clone(chemical));
        self.ids.insert(chemical.id.clone(), at);
        for (name, kind) in names_of(chemical) {
            let map = match kind {
                Kind::Bare => &mut self.bare,
                Kind::Main | Kind::Other => &mut self.exact,
            };
            if let Some(other) = map.insert(fold(name), at).filter(|other| *other != at) {
                let other = self.id(other);
                return Err(self.fault(at, format!("the name `{name}` also leads to `{other}`")));
            }
        }
        // A solution has its solute's formula; the formula means the substance itself.
        let formula = chemical.formula.as_ref();
        let formula = formula.filter(|_| chemical.strength.is_none());
        for shared in chemical.cas.iter().chain(formula) {
            self.shared.entry(fold(shared)).or_default().push(at);
        }
        Ok(())
    }

    /// What a name leads to.
    ///
    /// An id of several words, written exactly (`acetic-acid`), is that entry even where the same
    /// words as a name (`acetic acid`) leave the strength open.
    pub fn find(&self, name: &str) -> Option<Found<'_>> {
        if let Some(at) = self.ids.get(name).filter(|_| name.contains('-')) {
            return Some(Found::Entry(self.id(*at)));
        }
        let key = fold(name);
        if let Some(at) = self.exact.get(&key) {
            return Some(Found::Entry(self.id(*at)));
        }
        if let Some(at) = self.bare.get(&key) {
            return Some(Found::Bare(self.id(*at)));
        }
        let sharers = self.shared.get(&key)?;
        let roots = || sharers.iter().map(|at| self.entries[*at].root());
        match sharers.as_slice() {
            [one] => Some(Found::Entry(self.id(*one))),
            [first, ..] => {
                let root = self.entries[*first].root();
                Some(if roots().all(|other| other == root) {
                    Found::Bare(root)
                } else {
                    Found::Several(sharers.iter().map(|at| self.id(*at)).collect())
                })
            }
            [] => None,
        }
    }

    /// The known name nearest to one that is not known; of several as near, one that an entry is
    /// called by before its other names.
    pub fn nearest(&self, name: &str) -> Option<&str> {
        let ranked = self.entries.iter().flat_map(|chemical| {
            let rank = |name, kind| usize::from(kind != Kind::Main && name != chemical.name);
            names_of(chemical).map(move |(name, kind)| (rank(name, kind), name))
        });
        crate::source::nearest_ranked(name, ranked)
    }
}

/// What an entry's name is to it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// It is called so.
    Main,
    /// A synonym.
    Other,
    /// It leaves the hydrate or strength open.
    Bare,
}

/// Every name of an entry. What is both its own and a bare name is bare.
fn names_of(chemical: &Chemical) -> impl Iterator<Item = (&str, Kind)> {
    let is_bare = |name: &str| {
        let mut bare = chemical.bare_names.iter();
        bare.any(|bare| fold(bare) == fold(name))
    };
    let own = [&chemical.id, &chemical.name].into_iter();
    let own = own.filter(move |name| !is_bare(name));
    let main = own.chain(chemical.translations.values());
    let main = main.map(|name| (name.as_str(), Kind::Main));
    let other = chemical
        .names
        .iter()
        .map(|name| (name.as_str(), Kind::Other));
    let bare = chemical
        .bare_names
        .iter()
        .map(|name| (name.as_str(), Kind::Bare));
    main.chain(other).chain(bare)
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

//! One assigned hazard class, and putting several lists of them together.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use super::Category;
use super::reproduction::joined_statement;

/// A hazard class assigned to a chemical or mixture: `Acute Tox. 4* H302`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HazardClass {
    /// Class and category.
    pub category: Arc<Category>,
    /// The statement with its letters (`H360FD`); empty for the few categories without one.
    pub statement: String,
    /// A minimum classification (`*`): the true one may be more severe (CLP Annex VI, 1.2.1).
    pub minimum: bool,
    /// The route is not known to be the only one (`**`, CLP Annex VI, 1.2.2).
    pub route_open: bool,
    /// Organs, routes or effects named behind the statement.
    pub detail: Option<String>,
}

impl HazardClass {
    /// A category with its plain statement.
    pub fn plain(category: &Arc<Category>) -> Self {
        Self {
            category: Arc::clone(category),
            statement: category.statement.clone().unwrap_or_default(),
            minimum: false,
            route_open: false,
            detail: None,
        }
    }

    /// Class and category as written: `Skin Corr. 1B`.
    pub fn name(&self) -> &str {
        &self.category.class
    }

    /// Hazards of one family exclude one another.
    pub fn family(&self) -> &str {
        &self.category.family
    }

    /// The more cautious of two of one family, `None` when they are of different families.
    ///
    /// Of equal severity, both are heard: letters are joined, named organs listed together, and
    /// a mark that leaves more open stays.
    pub fn more_cautious(&self, other: &Self) -> Option<Self> {
        if self.family() != other.family() {
            return None;
        }
        let (first, second) = if other.category.rank < self.category.rank {
            (other, self)
        } else {
            (self, other)
        };
        let equal = first.category.rank == second.category.rank;
        Some(Self {
            category: Arc::clone(&first.category),
            statement: joined_statement(first, second),
            minimum: first.minimum || (equal && second.minimum),
            route_open: first.route_open || (equal && second.route_open),
            detail: joined_detail(first, second, equal),
        })
    }
}

impl fmt::Display for HazardClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let minimum = if self.minimum { "*" } else { "" };
        let open = if self.route_open { "**" } else { "" };
        write!(f, "{}{minimum}", self.name())?;
        if !self.statement.is_empty() {
            write!(f, " {}{open}", self.statement)?;
        }
        match &self.detail {
            Some(detail) => write!(f, " ({detail})"),
            None => Ok(()),
        }
    }
}

/// Organs named by both of two equal hazards; naming those of only one would hide the other's.
fn joined_detail(first: &HazardClass, second: &HazardClass, equal: bool) -> Option<String> {
    if !equal {
        return first.detail.clone();
    }
    match (&first.detail, &second.detail) {
        (Some(a), Some(b)) if a != b => Some(format!("{a}; {b}")),
        (Some(a), Some(_)) => Some(a.clone()),
        _ => None,
    }
}

/// Several lists as one: of every family the most severe, in the order of the table.
pub fn union<'a>(lists: impl IntoIterator<Item = &'a [HazardClass]>) -> Vec<HazardClass> {
    let mut kept: BTreeMap<String, HazardClass> = BTreeMap::new();
    for hazard in lists.into_iter().flatten() {
        let stronger = match kept.get(hazard.family()) {
            Some(there) => there.more_cautious(hazard),
            None => Some(hazard.clone()),
        };
        if let Some(stronger) = stronger {
            kept.insert(hazard.family().to_owned(), stronger);
        }
    }
    let mut list: Vec<HazardClass> = kept.into_values().collect();
    list.sort_by_key(|hazard| hazard.category.order);
    list
}

//! What is known of chemicals, statements and rules: `hazards/`, overlaid by the workspace.

mod chemical;
mod data_files;
mod edition;
mod families;
pub mod formula;
mod guidance;
mod kinds;
mod load;
mod names;
mod numbers;
mod order;
mod alternatives;
mod people;
mod reactions;
mod spelling;
mod statements;
mod superseded;
mod vessels;
mod wear;

pub use alternatives::Alternative;
pub use chemical::{
    AcuteToxicity, Added, Basis as StrengthBasis, Cautions, Chemical, ClassificationData,
    DensityDatum, ExposureLimit, Gloves, Harmonised, LookAlike, MFactors, OwnFirstAid, Restriction,
    Sensitiser, Storage, Text, Transport, Unclassified,
};
pub use data_files::{DataError, DataFiles, NoData, json_of};
pub use edition::{Edition, day};
pub use families::{Family, FirstAid, Rinse};
pub use formula::Elements;
pub use guidance::{AirGuidance, Emergency, Guidance, Recommendation, Region, Sign, Symptoms};
pub use kinds::{Coat, Kind, Stream};
pub use names::{Named, fold};
pub use numbers::{cas_checks, ec_checks};
pub use order::{CodeText, OrderRule, VesselState, Which};
pub use people::{PeopleGroup, PeopleReason, Sensitising};
pub use reactions::{Group, Reaction};
pub use spelling::Spelling;
pub use statements::Statements;
pub use superseded::{Change, Datum, Superseded};
pub use vessels::{StorageRule, Vessel};
pub use wear::{Asked, NotEnough, Part, WearItem, WearList, WearStep};

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::provenance::Bibliography;

use names::{Found, NameIndex};

/// Everything in `hazards/` that the flow asks for, checked on loading: every id leads somewhere.
#[derive(Debug)]
pub struct Catalogue {
    files: DataFiles,
    chemicals: BTreeMap<String, Arc<Chemical>>,
    /// By id, what of an entry was replaced by something of greater authority.
    superseded: BTreeMap<String, Vec<Superseded>>,
    index: NameIndex,
    elements: Elements,
    bibliography: Bibliography,
    families: Vec<Family>,
    groups: Vec<Group>,
    reactions: Vec<Reaction>,
    order_codes: Vec<CodeText>,
    order_rules: Vec<OrderRule>,
    wear: WearList,
    kinds: Vec<Kind>,
    streams: Vec<Stream>,
    vessels: Vec<Vessel>,
    storage_rules: Vec<StorageRule>,
    alternatives: Vec<Alternative>,
    people: Vec<PeopleGroup>,
    supervising: Vec<String>,
    edition: Edition,
}

impl Catalogue {
    /// The data files the catalogue was read from, for rooms with data of their own.
    pub fn files(&self) -> &DataFiles {
        &self.files
    }

    /// The entry of an id.
    pub fn chemical(&self, id: &str) -> Option<Arc<Chemical>> {
        self.chemicals.get(id).map(Arc::clone)
    }

    /// All entries in order of id.
    pub fn chemicals(&self) -> impl Iterator<Item = &Arc<Chemical>> {
        self.chemicals.values()
    }

    /// All forms of an entry's substance, the root first.
    pub fn forms(&self, root: &str) -> Vec<Arc<Chemical>> {
        let mut forms: Vec<_> = self
            .chemicals()
            .filter(|chemical| chemical.root() == root)
            .cloned()
            .collect();
        forms.sort_by_key(|form| form.form_of.is_some());
        forms
    }

    /// What a name, number or formula leads to.
    pub fn named(&self, name: &str) -> Option<Named> {
        Some(match self.index.find(name)? {
            Found::Entry(id) => Named::Entry(self.chemical(id)?),
            Found::Bare(root) => Named::Bare(self.forms(root)),
            Found::Several(ids) => {
                Named::Several(ids.into_iter().filter_map(|id| self.chemical(id)).collect())
            }
        })
    }

    /// The known name nearest to one that is not known.
    pub fn nearest(&self, name: &str) -> Option<&str> {
        self.index.nearest(name)
    }

    /// Molar mass in g/mol, when the entry has a formula.
    pub fn molar_mass(&self, chemical: &Chemical) -> Option<f64> {
        self.elements.molar_mass(chemical.formula.as_deref()?).ok()
    }

    /// Atomic weights.
    pub fn elements(&self) -> &Elements {
        &self.elements
    }

    /// Mass fraction of each element, 0 to 1, by symbol; nothing when the entry has no formula.
    pub fn mass_fractions(&self, chemical: &Chemical) -> BTreeMap<String, f64> {
        let formula = chemical.formula.as_deref();
        formula
            .and_then(|formula| self.elements.mass_fractions(formula).ok())
            .unwrap_or_default()
    }

    /// The sources data refer to.
    pub fn bibliography(&self) -> &Bibliography {
        &self.bibliography
    }

    /// A hazard family.
    pub fn family(&self, id: &str) -> Option<&Family> {
        self.families.iter().find(|family| family.id == id)
    }

    /// A reactive group.
    pub fn group(&self, id: &str) -> Option<&Group> {
        self.groups.iter().find(|group| group.id == id)
    }

    /// What must not meet.
    pub fn reactions(&self) -> &[Reaction] {
        &self.reactions
    }

    /// Rules of addition within a vessel.
    pub fn order_rules(&self) -> &[OrderRule] {
        &self.order_rules
    }

    /// Finding codes whose texts stand with the order rules.
    pub fn order_codes(&self) -> &[CodeText] {
        &self.order_codes
    }

    /// The wear list.
    pub fn wear(&self) -> &WearList {
        &self.wear
    }

    /// A thing to wear by id or name.
    pub fn wear_item(&self, name: &str) -> Option<&WearItem> {
        self.wear.item(name)
    }

    /// Everything that can be worn.
    pub fn wear_items(&self) -> impl Iterator<Item = &WearItem> {
        self.wear.items.iter()
    }

    /// A kind of solution by id or name.
    pub fn kind(&self, name: &str) -> Option<&Kind> {
        let key = fold(name);
        let is = |kind: &&Kind| {
            fold(&kind.id) == key || kind.names.iter().any(|other| fold(other) == key)
        };
        self.kinds.iter().find(is)
    }

    /// All kinds.
    pub fn kinds(&self) -> impl Iterator<Item = &Kind> {
        self.kinds.iter()
    }

    /// Whether a kind is one of these or below one of them.
    pub fn is_kind(&self, kind: &Kind, wanted: &[String]) -> bool {
        // A chain of parents is never longer than the list, even if a data error made it a ring.
        let mut current = Some(kind);
        for _ in 0..=self.kinds.len() {
            let Some(kind) = current else { return false };
            if wanted.contains(&kind.id) {
                return true;
            }
            current = kind
                .parent
                .as_ref()
                .and_then(|parent| self.kinds.iter().find(|other| other.id == *parent));
        }
        false
    }

    /// A waste stream by id or title.
    pub fn stream(&self, name: &str) -> Option<&Stream> {
        let exact = self.streams.iter().find(|stream| stream.id == name);
        exact.or_else(|| {
            let key = fold(name);
            self.streams
                .iter()
                .find(|stream| fold(&stream.id) == key || fold(&stream.title) == key)
        })
    }

    /// All waste streams.
    pub fn streams(&self) -> impl Iterator<Item = &Stream> {
        self.streams.iter()
    }

    /// The vessel whose name is made of most of these words, folded; all its words must be there.
    pub fn vessel(&self, words: &[String]) -> Option<Vessel> {
        let fits = |name: &str| {
            let parts: Vec<String> = name.split_whitespace().map(fold).collect();
            parts
                .iter()
                .all(|part| words.contains(part))
                .then_some(parts.len())
        };
        let best = |vessel: &Vessel| vessel.names.iter().filter_map(|name| fits(name)).max();
        let found = self
            .vessels
            .iter()
            .filter_map(|vessel| Some((best(vessel)?, vessel)));
        // The first of equals stands: the list is in order of how common a vessel is.
        found
            .reduce(|kept, next| if next.0 > kept.0 { next } else { kept })
            .map(|(_, vessel)| vessel.clone())
    }

    /// Which bottles do not suit which solutions.
    pub fn storage_rules(&self) -> &[StorageRule] {
        &self.storage_rules
    }

    /// Other chemicals for the same work.
    pub fn alternatives(&self) -> &[Alternative] {
        &self.alternatives
    }

    /// Ids of all hazard families.
    pub fn family_ids(&self) -> impl Iterator<Item = &str> {
        self.families.iter().map(|family| family.id.as_str())
    }

    /// Ids of all reactive groups.
    pub fn group_ids(&self) -> impl Iterator<Item = &str> {
        self.groups.iter().map(|group| group.id.as_str())
    }

    /// When the catalogue was looked at, and when it must be again.
    pub fn edition(&self) -> &Edition {
        &self.edition
    }

    /// Roles that supervise.
    pub fn supervising(&self) -> &[String] {
        &self.supervising
    }

    /// Adds an exposure limit to all forms of a substance, such as a rule of the place sets.
    pub fn add_limit(&mut self, root: &str, limit: &ExposureLimit) {
        let forms = self.chemicals.values_mut().filter(|one| one.root() == root);
        for chemical in forms {
            Arc::make_mut(chemical).limits.push(limit.clone());
        }
    }

    /// Groups of people for whom a hazard weighs more.
    pub fn people_groups(&self) -> &[PeopleGroup] {
        &self.people
    }
}

//! Chemicals that no catalogue holds but a rule names: enough to give them the code of their list.

use crate::catalogue::fold;

use super::chemical::{Chemicals, WasteChemical};
use super::pack::RulePack;

/// The catalogue's chemicals, and those that only the lists of a place name.
pub struct Listed<'a> {
    /// Asked first.
    pub chemicals: &'a dyn Chemicals,
    /// The rules whose lists are looked through.
    pub pack: &'a RulePack,
}

impl Chemicals for Listed<'_> {
    fn find(&self, name: &str) -> Result<WasteChemical, (String, String)> {
        let known = self.chemicals.find(name);
        known.or_else(|error| self.pack.listed(name).ok_or(error))
    }
}

impl RulePack {
    /// A chemical that a code's title names, with its CAS number; of the rest nothing is known.
    fn listed(&self, name: &str) -> Option<WasteChemical> {
        let key = fold(name);
        let rule = self.codes.iter().find(|rule| fold(&rule.title) == key)?;
        let cas = rule.when.unused_cas()?;
        Some(WasteChemical {
            name: rule.title.clone(),
            cas: Some(cas.to_owned()),
            ..WasteChemical::default()
        })
    }
}

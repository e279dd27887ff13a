//! Rules of addition within one vessel: `hazards/order.yaml`.

use serde::Deserialize;

use crate::finding::Severity;
use crate::provenance::Origin;

/// One rule: adding this to a vessel in that state.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OrderRule {
    /// Stable id.
    pub id: String,
    /// Finding code.
    pub code: String,
    /// What goes in.
    pub adding: Which,
    /// The state of the vessel; all conditions given must hold.
    pub into: VesselState,
    /// Recipe kinds it is for, all kinds below them included; all kinds where empty.
    #[serde(default)]
    pub kinds: Vec<String>,
    /// How much it weighs.
    pub severity: Severity,
    /// What is done.
    pub what: String,
    /// Why it matters.
    pub why: String,
    /// What to do instead.
    pub advice: String,
    /// Where it is from.
    pub from: Origin,
}

/// Some chemicals: by id (a root stands for its forms) or group, some left out.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Which {
    /// Ids.
    #[serde(default)]
    pub chemicals: Vec<String>,
    /// Reactive groups.
    #[serde(default)]
    pub groups: Vec<String>,
    /// Ids left out.
    #[serde(default)]
    pub except: Vec<String>,
    /// For a step: that it adds at least so much to a litre of the vessel.
    #[serde(default)]
    pub at_least_g_per_l: Option<f64>,
}

/// What a vessel is at the moment of adding.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VesselState {
    /// Holds any of these ids …
    #[serde(default)]
    pub chemicals: Vec<String>,
    /// … or groups …
    #[serde(default)]
    pub groups: Vec<String>,
    /// … these left out …
    #[serde(default)]
    pub except: Vec<String>,
    /// … together at least so much.
    #[serde(default)]
    pub at_least_g_per_l: Option<f64>,
    /// Holds none of these groups.
    #[serde(default)]
    pub without_groups: Vec<String>,
    /// Holds none of these ids.
    #[serde(default)]
    pub without_chemicals: Vec<String>,
    /// Is hotter than this.
    #[serde(default)]
    pub hotter_than_c: Option<f64>,
    /// Is colder than this.
    #[serde(default)]
    pub colder_than_c: Option<f64>,
    /// No water yet: the chemical stands there and water comes next.
    #[serde(default)]
    pub empty: bool,
}

impl Which {
    /// Whether a chemical is one of these.
    pub fn includes(&self, chemical: &super::Chemical) -> bool {
        let named = |names: &[String]| names.iter().any(|name| chemical.belongs_to(name));
        let left_out = self
            .except
            .iter()
            .any(|name| chemical.id == *name || chemical.root() == name);
        !left_out && (named(&self.chemicals) || named(&self.groups))
    }
}

impl VesselState {
    /// The chemicals that must be in the vessel, as one selection; `None` when none need be.
    pub fn holding(&self) -> Option<Which> {
        (!self.chemicals.is_empty() || !self.groups.is_empty()).then(|| Which {
            chemicals: self.chemicals.clone(),
            groups: self.groups.clone(),
            except: self.except.clone(),
            at_least_g_per_l: self.at_least_g_per_l,
        })
    }
}

/// A finding code that stands in a data file, with its explanation.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CodeText {
    /// The code.
    pub code: String,
    /// A few words.
    pub title: String,
    /// What `explain` prints.
    pub explanation: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OrderFile {
    pub codes: Vec<CodeText>,
    pub rules: Vec<OrderRule>,
}

//! The small language in which the rule files say when a rule holds.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer};
use serde_json::Value;

use super::bound::Bound;
use super::description::{DrainKind, Form, Holder};

/// How surely a condition holds; of two that must both hold, the less sure one counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Answer {
    /// It does not.
    No,
    /// It may: the figure that decides is not known.
    Possible,
    /// Not measured, but usual for this kind of waste: taken as so.
    Assumed,
    /// It does.
    Yes,
}

impl From<bool> for Answer {
    fn from(holds: bool) -> Self {
        if holds { Self::Yes } else { Self::No }
    }
}

/// All of these must hold; what is not named does not matter.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct When {
    pub stream: Vec<String>,
    pub unused: Option<bool>,
    pub form: Option<Form>,
    pub aqueous: Option<bool>,
    pub clean: Option<bool>,
    pub ph: Option<Bound>,
    pub flash_point: Option<Bound>,
    pub water_percent: Option<Bound>,
    pub alcohol_by_volume: Option<Bound>,
    pub metal: Option<String>,
    pub mg_per_l: Option<Bound>,
    pub measured_mg_per_l: Option<Bound>,
    pub bears: Vec<String>,
    pub cas: Vec<String>,
    pub contains_cas: Vec<String>,
    pub group: Vec<String>,
    pub statements: Vec<String>,
    pub organic: Option<bool>,
    pub composition: Option<Composition>,
    pub property: Option<NoProperty>,
    pub holder: Vec<Holder>,
    pub nation: Vec<String>,
    pub generator: Vec<String>,
    pub hazardous: Option<bool>,
    pub code: Vec<String>,
    pub only_code: Option<String>,
    pub month_kg: Option<Bound>,
    pub acute_kg: Option<Bound>,
    pub acute_spill_kg: Option<Bound>,
    pub year_kg: Option<Bound>,
    pub held_kg: Option<Bound>,
    pub acute_held_kg: Option<Bound>,
    pub distance_miles: Option<Bound>,
    pub satellite_l: Option<Bound>,
    pub drain: Vec<DrainKind>,
    pub drain_kg: Option<Bound>,
    pub drain_acute: Option<bool>,
    pub drain_direct: Option<bool>,
    pub m2_per_day: Option<Bound>,
}

/// `composition: known`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Composition {
    Known,
}

/// `property: none`
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum NoProperty {
    None,
}

/// One group of conditions, or several of which one is enough.
#[derive(Debug, Clone)]
pub enum AnyWhen {
    One(Box<When>),
    Several(Vec<When>),
}

impl AnyWhen {
    /// The first CAS number of products never used that it asks for.
    pub fn unused_cas(&self) -> Option<&str> {
        let all = match self {
            Self::One(one) => std::slice::from_ref(one.as_ref()),
            Self::Several(several) => several.as_slice(),
        };
        let unused = all.iter().filter(|when| when.unused == Some(true));
        unused.flat_map(|when| &when.cas).next().map(String::as_str)
    }
}

impl Default for AnyWhen {
    fn default() -> Self {
        Self::Several(Vec::new())
    }
}

impl<'de> Deserialize<'de> for AnyWhen {
    /// By hand, so that a mistake names the field instead of "no variant".
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let value = Value::deserialize(deserializer)?;
        let read = if value.is_array() {
            serde_json::from_value(value).map(Self::Several)
        } else {
            serde_json::from_value(value).map(Self::One)
        };
        read.map_err(D::Error::custom)
    }
}

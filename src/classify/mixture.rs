//! A mixture as the calculation method sees it.

use std::collections::{BTreeMap, BTreeSet};
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::{HazardClass, Limit, Rules};
use crate::units::{Percent, Temperature};

/// A way into the body; breathing apart by what is breathed, since the estimates differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Route {
    /// Swallowed; mg/kg.
    Oral,
    /// Through the skin; mg/kg.
    Dermal,
    /// Breathed as a gas; ppm by volume, 4 h.
    Gas,
    /// Breathed as a vapour; mg/L, 4 h.
    Vapour,
    /// Breathed as dust or mist; mg/L, 4 h.
    Dust,
}

impl Route {
    /// Every route.
    pub const ALL: [Self; 5] = [
        Self::Oral,
        Self::Dermal,
        Self::Gas,
        Self::Vapour,
        Self::Dust,
    ];

    /// The route as the classes know it.
    pub const fn kind(self) -> &'static str {
        match self {
            Self::Oral => "oral",
            Self::Dermal => "dermal",
            Self::Gas | Self::Vapour | Self::Dust => "inhalation",
        }
    }

    /// The route as it is written in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Oral => "oral",
            Self::Dermal => "dermal",
            Self::Gas => "gas",
            Self::Vapour => "vapour",
            Self::Dust => "dust",
        }
    }
}

/// Whether a mixture flows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Form {
    /// A liquid or solution: breathed as vapour or mist.
    Liquid,
    /// A powder or mass: breathed as dust.
    Solid,
}

impl Form {
    /// The forms in which such a mixture is breathed when an ingredient's data name none.
    pub const fn breathed_as(self) -> &'static [Route] {
        match self {
            Self::Liquid => &[Route::Vapour, Route::Dust],
            Self::Solid => &[Route::Dust],
        }
    }
}

impl FromStr for Form {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text.trim().to_lowercase().as_str() {
            "liquid" | "solution" => Ok(Self::Liquid),
            "solid" | "powder" => Ok(Self::Solid),
            _ => Err(format!("`{text}` is not a form; write `liquid` or `solid`")),
        }
    }
}

/// A pH, as the range it may lie in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ph {
    low: f64,
    high: f64,
}

impl Ph {
    /// The lowest pH taken: ten molar strong acid and beyond.
    pub const LOWEST: f64 = -2.0;
    /// The highest pH taken: the strongest lyes.
    pub const HIGHEST: f64 = 16.0;

    /// A range of pH; `None` when it is turned round or outside −2 to 16.
    pub fn between(low: f64, high: f64) -> Option<Self> {
        (low >= Self::LOWEST && low <= high && high <= Self::HIGHEST).then_some(Self { low, high })
    }

    /// A pH of which no range is known; `None` outside −2 to 16.
    pub fn exactly(value: f64) -> Option<Self> {
        Self::between(value, value)
    }

    /// The lowest it may be.
    pub const fn low(self) -> f64 {
        self.low
    }

    /// The highest it may be.
    pub const fn high(self) -> f64 {
        self.high
    }
}

/// A number above nothing and finite: an estimate of acute toxicity, an M-factor.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Positive(f64);

impl Positive {
    /// `None` for zero, negative numbers, NaN and infinity.
    pub fn new(value: f64) -> Option<Self> {
        (value > 0.0 && value.is_finite()).then_some(Self(value))
    }

    /// The number.
    pub const fn get(self) -> f64 {
        self.0
    }
}

/// Factors by which an ingredient's effect on water life is weighted (CLP Art. 10(2)).
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct MFactors {
    /// For Aquatic Acute 1.
    pub acute: Option<Positive>,
    /// For Aquatic Chronic 1.
    pub chronic: Option<Positive>,
}

/// One ingredient, as sections 2 and 3 of a data sheet describe it.
#[derive(Debug, Clone, PartialEq)]
pub struct Ingredient {
    /// The name for messages.
    pub name: String,
    /// Share by weight; of a range, its upper end.
    pub percent: Percent,
    /// Its hazard classes; none: known not to be hazardous.
    pub classification: Vec<HazardClass>,
    /// Acute toxicity estimates, in the units of the routes.
    pub ate: BTreeMap<Route, Positive>,
    /// Specific concentration limits.
    pub limits: Vec<Limit>,
    /// Weights for water life.
    pub m: MFactors,
    /// Routes whose acute toxicity nobody knows.
    pub unknown: BTreeSet<Route>,
    /// False where effects on skin and eyes do not add up (CLP Tables 3.2.4, 3.3.4).
    pub additive: bool,
    /// Ingredients of one such name are counted together against limits for reproduction
    /// (borates: CLP Annex VI, Note 11).
    pub adds_with: Option<String>,
    /// Supplemental statements of the ingredient (EUH).
    pub supplemental: Vec<String>,
    /// Whether there is a Community exposure limit for the workplace.
    pub exposure_limit: bool,
}

impl Ingredient {
    /// An ingredient of which nothing but its name, share and classes is given.
    pub fn new(
        name: impl Into<String>,
        percent: Percent,
        classification: Vec<HazardClass>,
    ) -> Self {
        Self {
            name: name.into(),
            percent,
            classification,
            ate: BTreeMap::new(),
            limits: Vec::new(),
            m: MFactors::default(),
            unknown: BTreeSet::new(),
            additive: true,
            adds_with: None,
            supplemental: Vec::new(),
            exposure_limit: false,
        }
    }

    /// The same in all but its share: one substance entered twice.
    fn is_the_same_as(&self, other: &Self) -> bool {
        let Self {
            name,
            percent: _,
            classification,
            ate,
            limits,
            m,
            unknown,
            additive,
            adds_with,
            supplemental,
            exposure_limit,
        } = self;
        (name, classification, ate, limits)
            == (
                &other.name,
                &other.classification,
                &other.ate,
                &other.limits,
            )
            && (m, unknown, additive) == (&other.m, &other.unknown, &other.additive)
            && (adds_with, supplemental) == (&other.adds_with, &other.supplemental)
            && *exposure_limit == other.exposure_limit
    }
}

/// What makes up the rest to 100 %.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Balance {
    /// Water, or something else known not to be hazardous.
    Water,
    /// Nobody knows.
    Unknown,
}

/// A mixture by weight per cent.
#[derive(Debug, Clone, PartialEq)]
pub struct Mixture {
    /// What it is called.
    pub name: String,
    /// Whether it flows.
    pub form: Form,
    /// Its pH, measured or computed.
    pub ph: Option<Ph>,
    /// Its flash point, measured.
    pub flash_point: Option<Temperature>,
    /// Its initial boiling point.
    pub boiling_point: Option<Temperature>,
    /// Its kinematic viscosity at 40 °C, mm²/s.
    pub viscosity: Option<Positive>,
    /// What is in it.
    pub ingredients: Vec<Ingredient>,
    /// What the rest is.
    pub balance: Balance,
}

impl Mixture {
    /// The ingredients with one entry for each substance, and the unknown rest as one of them.
    pub(super) fn gathered(&self) -> Vec<Ingredient> {
        let mut list: Vec<Ingredient> = Vec::new();
        let present = |i: &&Ingredient| i.percent.percent() > 0.0;
        for ingredient in self.ingredients.iter().filter(present) {
            match list
                .iter_mut()
                .find(|other| other.is_the_same_as(ingredient))
            {
                Some(there) => there.percent = added(there.percent, ingredient.percent),
                None => list.push(ingredient.clone()),
            }
        }
        list.extend(self.unknown_rest());
        list
    }

    fn unknown_rest(&self) -> Option<Ingredient> {
        let given: f64 = self.ingredients.iter().map(|i| i.percent.percent()).sum();
        let rest = Percent::from_percent((100.0 - given).max(0.0)).ok()?;
        (self.balance == Balance::Unknown && rest.percent() > 0.0).then(|| Ingredient {
            unknown: [Route::Oral, Route::Dermal]
                .iter()
                .chain(self.form.breathed_as())
                .copied()
                .collect(),
            ..Ingredient::new("unknown rest", rest, Vec::new())
        })
    }
}

fn added(one: Percent, other: Percent) -> Percent {
    // Two shares of one whole: beyond 100 % the file was wrong, and all of it is that substance.
    Percent::from_percent(one.percent() + other.percent()).unwrap_or(if one > other {
        one
    } else {
        other
    })
}

/// What the calculations look at.
pub(super) struct Input<'a> {
    pub mixture: &'a Mixture,
    pub ingredients: &'a [Ingredient],
    pub profile: super::Profile,
    pub rules: &'a Rules,
}

//! The limits of the calculation method: `hazards/mixture-limits.yaml`.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::{Classes, Labelling, Profile, Route};
use crate::catalogue::{DataError, DataFiles};
use crate::provenance::Origin;

/// Where the limits are kept.
pub const FILE: &str = "hazards/mixture-limits.yaml";

/// Everything that classification needs to know: classes, limits, label rules.
#[derive(Debug, Clone)]
pub struct Rules {
    /// The hazard classes.
    pub classes: Classes,
    /// From classes to a label.
    pub labelling: Labelling,
    /// From ingredients to the mixture.
    pub limits: MixtureLimits,
}

impl Rules {
    /// Reads the three files.
    ///
    /// # Errors
    /// When one is missing or malformed, or a limit names a class that is not in the table.
    pub fn read(files: &DataFiles) -> Result<Self, DataError> {
        let rules = Self {
            classes: Classes::read(files)?,
            labelling: Labelling::read(files)?,
            limits: files.read(FILE)?,
        };
        let is_unknown = |name: &&str| rules.classes.get(name, None).is_none();
        if let Some(name) = rules.limits.class_names().find(is_unknown) {
            let message = format!("`{name}` is not a class of {}", super::classes::FILE);
            return Err(DataError::new(FILE, message));
        }
        Ok(rules)
    }
}

/// Limits of the calculation method.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MixtureLimits {
    /// The name of the law by form.
    pub law: BTreeMap<Profile, String>,
    /// From which part of a limit on it was nearly met.
    pub near_from: f64,
    /// The rule on extreme pH.
    pub extreme_ph: ExtremePh,
    /// Acute toxicity.
    pub acute: Acute,
    /// One ingredient is enough.
    pub single: Vec<SingleRule>,
    /// Ingredients are added up.
    pub sums: Vec<SumRule>,
    /// Flammable liquids.
    pub flammable: Flammable,
    /// Supplemental statements carried over.
    pub supplemental: Vec<SupplementalRule>,
    /// The share for those not named.
    pub supplemental_otherwise: f64,
    /// When the sheet is to be had on request.
    pub sheet_on_request: SheetOnRequest,
}

impl MixtureLimits {
    fn class_names(&self) -> impl Iterator<Item = &str> {
        let single = self
            .single
            .iter()
            .flat_map(|rule| std::iter::once(&rule.gives).chain(&rule.of));
        let sums = self.sums.iter().flat_map(|rule| {
            std::iter::once(&rule.gives).chain(rule.terms.iter().flat_map(|term| &term.of))
        });
        let acute = self
            .acute
            .routes
            .values()
            .flat_map(|route| route.categories.iter().map(|c| &c.class));
        let flammable = self.flammable.categories.iter().map(|c| &c.class);
        let sheet = self
            .sheet_on_request
            .shares
            .iter()
            .flat_map(|share| &share.of);
        single
            .chain(sums)
            .chain(acute)
            .chain(flammable)
            .chain(sheet)
            .map(String::as_str)
    }

    /// A rule as it is cited.
    pub fn cite(&self, profile: Profile, rule: &str) -> String {
        match self.law.get(&profile) {
            Some(law) => format!("{law}, {rule}"),
            None => rule.to_owned(),
        }
    }
}

/// A section of one form of the law.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Section {
    /// Section or table.
    pub rule: String,
    /// Where it was read.
    pub from: Origin,
}

/// A limit of one form of the law.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct At {
    /// Per cent by weight, counted in.
    pub at: f64,
    /// Section or table.
    pub rule: String,
    /// Where it was read.
    pub from: Origin,
}

/// pH at which a mixture is taken as corrosive.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ExtremePh {
    /// At or below.
    pub low: f64,
    /// At or above.
    pub high: f64,
    /// For the skin.
    pub skin: BTreeMap<Profile, Section>,
    /// For the eyes.
    pub eye: BTreeMap<Profile, Section>,
}

/// Acute toxicity.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Acute {
    /// The formulas.
    pub rule: BTreeMap<Profile, AcuteRule>,
    /// From which share an ingredient of unknown toxicity is counted.
    pub unknown_from: f64,
    /// Above which unknown share the formula is corrected.
    pub corrected_above: f64,
    /// Where the bands were read.
    pub from: Origin,
    /// The bands.
    pub routes: BTreeMap<Route, AcuteRoute>,
}

/// The sections with the formulas of additivity.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AcuteRule {
    /// 100 / ATE = Σ C/ATE.
    pub plain: String,
    /// The same, corrected for what is unknown.
    pub corrected: String,
    /// Where they were read.
    pub from: Origin,
}

/// The bands of one route.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AcuteRoute {
    /// mg/kg, ppm or mg/L.
    pub unit: String,
    /// From the most severe on.
    pub categories: Vec<AcuteBand>,
}

/// One category of one route.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AcuteBand {
    /// The category.
    pub class: String,
    /// Its upper end, counted in.
    pub up_to: f64,
    /// What stands for an ingredient of which only the category is known.
    pub estimate: f64,
    /// From which share such an ingredient counts.
    pub cut_off: BTreeMap<Profile, f64>,
}

/// One ingredient at or above its limit.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SingleRule {
    /// The mixture's class.
    pub gives: String,
    /// The ingredient's classes.
    pub of: Vec<String>,
    /// Only for ingredients to which additivity does not apply.
    #[serde(default)]
    pub not_additive: bool,
    /// The elicitation limit (EUH208).
    #[serde(default)]
    pub elicits: Option<f64>,
    #[serde(default)]
    eu: Option<At>,
    #[serde(default)]
    us: Option<At>,
    #[serde(default)]
    ghs: Option<At>,
}

/// Ingredients added up.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SumRule {
    /// The mixture's class.
    pub gives: String,
    /// The effect, where the class has several.
    #[serde(default)]
    pub kind: Option<String>,
    /// Not of a mixture known to be thicker, mm²/s at 40 °C.
    #[serde(default)]
    pub viscosity_up_to: Option<f64>,
    /// What is added.
    pub terms: Vec<Term>,
    #[serde(default)]
    eu: Option<At>,
    #[serde(default)]
    us: Option<At>,
    #[serde(default)]
    ghs: Option<At>,
}

macro_rules! by_profile {
    ($rule:ident) => {
        impl $rule {
            /// The limit in one form of the law, if it has one.
            pub fn at(&self, profile: Profile) -> Option<&At> {
                match profile {
                    Profile::Eu => self.eu.as_ref(),
                    Profile::Us => self.us.as_ref(),
                    Profile::Ghs => self.ghs.as_ref(),
                }
            }
        }
    };
}

by_profile!(SingleRule);
by_profile!(SumRule);

/// One part of a sum.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Term {
    /// The ingredient's classes.
    pub of: Vec<String>,
    /// Its weight.
    #[serde(default = "one")]
    pub times: f64,
    /// From which share it counts.
    pub cut_off: f64,
    /// Weighted by this M-factor, and the cut-off divided by it.
    #[serde(default)]
    pub m: Option<WaterEffect>,
    /// Only the cut-off divided by it.
    #[serde(default)]
    pub cut_off_by: Option<WaterEffect>,
}

const fn one() -> f64 {
    1.0
}

/// Which of the two M-factors.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum WaterEffect {
    /// Of short-term toxicity.
    Acute,
    /// Of long-term toxicity.
    Chronic,
}

/// Flammable liquids.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Flammable {
    /// The table.
    pub rule: BTreeMap<Profile, Section>,
    /// From the most severe on.
    pub categories: Vec<FlammableBand>,
}

/// One category of flammable liquids.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FlammableBand {
    /// The category.
    pub class: String,
    /// Flash point below, °C.
    #[serde(default)]
    pub below: Option<f64>,
    /// Flash point up to and including, °C.
    #[serde(default)]
    pub up_to: Option<f64>,
    /// Boiling point up to and including, °C.
    #[serde(default)]
    pub boils_up_to: Option<f64>,
}

/// A supplemental statement carried from an ingredient.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SupplementalRule {
    /// EUH code.
    pub code: String,
    /// From which share.
    pub at: f64,
    /// Only for what is not dissolved in water.
    #[serde(default)]
    pub dry_only: bool,
    /// Not beside classes of these families.
    #[serde(default)]
    pub unless: Vec<String>,
    /// Only beside a class of one of these families.
    #[serde(default)]
    pub needs: Vec<String>,
    /// On whose word.
    pub from: Origin,
}

/// When the sheet is to be had on request.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SheetOnRequest {
    /// Where the shares were read.
    pub from: Origin,
    /// Shares by class.
    pub shares: Vec<SheetShare>,
    /// Share of anything hazardous to health or environment.
    pub any_health_or_environment_at: f64,
    /// Share of anything with a Community exposure limit.
    pub exposure_limit_at: f64,
}

/// A share from which an ingredient asks for the sheet.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SheetShare {
    /// The ingredient's classes.
    pub of: Vec<String>,
    /// Per cent.
    pub at: f64,
}

//! What would help, computed with the same models: a lid, a smaller tray, a colder bath, or
//! leaving the release out (citric instead of acetic acid, say).

use crate::units::{Area, Temperature};

use super::assess::{UnknownGas, without_options};
use super::case::{AirCase, Held};
use super::gases::{Gas, Gases, Region};
use super::model::AirModel;

/// A change to try.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// A loose lid on every bath.
    Lid,
    /// A smaller surface.
    SmallerTray,
    /// A colder bath; what is dissolved is taken as unchanged.
    ColderBath,
    /// Baths that do not hold this gas.
    AnotherBath,
}

impl Measure {
    /// All of them.
    pub const ALL: [Self; 4] = [
        Self::Lid,
        Self::SmallerTray,
        Self::ColderBath,
        Self::AnotherBath,
    ];

    /// A stable word for output.
    pub fn word(self) -> &'static str {
        match self {
            Self::Lid => "lid",
            Self::SmallerTray => "smaller tray",
            Self::ColderBath => "colder bath",
            Self::AnotherBath => "another bath",
        }
    }

    fn applied(self, case: &AirCase, gas: &Gas, gases: &Gases, model: &AirModel) -> AirCase {
        let mut changed = case.clone();
        for bath in &mut changed.baths {
            match self {
                Self::Lid => bath.lid = true,
                Self::SmallerTray => {
                    let smaller = Area::from_m2(bath.area.m2() * model.smaller_tray().value);
                    bath.area = smaller.unwrap_or(bath.area);
                }
                Self::ColderBath => {
                    let colder =
                        Temperature::from_celsius(bath.at.celsius() - model.colder_by().value);
                    bath.at = colder.unwrap_or(bath.at);
                }
                Self::AnotherBath => bath
                    .volatiles
                    .retain(|v| gases.find(&v.gas).is_none_or(|other| other.id != gas.id)),
            }
        }
        changed
    }
}

/// What a measure would bring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// The measure.
    pub measure: Measure,
    /// Highest in the room, mg/m³.
    pub peak_mg_per_m3: f64,
    /// Highest in the breathing zone, mg/m³.
    pub near_field_peak_mg_per_m3: f64,
    /// Highest prediction over a limit in force; `None` when no limit is on file.
    pub share_of_limit: Option<f64>,
}

/// The measures that touch a gas, with their outcome; none where no bath gives it off.
pub(super) fn outcomes(
    case: &AirCase,
    gas: &Gas,
    gases: &Gases,
    rules: &[Region],
    model: &AirModel,
) -> Result<Vec<Outcome>, UnknownGas> {
    let holds = |v: &super::case::Volatile| {
        gases.find(&v.gas).is_some_and(|other| other.id == gas.id) && !empty(v.held)
    };
    if !case
        .baths
        .iter()
        .any(|bath| bath.volatiles.iter().any(holds))
    {
        return Ok(Vec::new());
    }
    let outcome = |measure: Measure| {
        let changed = measure.applied(case, gas, gases, model);
        let assessed = without_options(&changed, gases, rules, model)?;
        let found = assessed
            .gases
            .iter()
            .find(|figures| figures.gas.id == gas.id);
        Ok(Outcome {
            measure,
            peak_mg_per_m3: found.map_or(0.0, |f| f.peak_mg_per_m3),
            near_field_peak_mg_per_m3: found.map_or(0.0, |f| f.near_field_peak_mg_per_m3),
            share_of_limit: match found {
                Some(figures) => figures.strictest().map(|compared| compared.ratio()),
                None => (!gas.limits.is_empty()).then_some(0.0),
            },
        })
    };
    Measure::ALL.into_iter().map(outcome).collect()
}

fn empty(held: Held) -> bool {
    match held {
        Held::Dissolved { free_mol_per_l, .. } => free_mol_per_l <= 0.0,
        Held::Liquid { mole_fraction, .. } => mole_fraction <= 0.0,
    }
}

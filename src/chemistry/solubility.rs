//! Does it dissolve, and does it stay dissolved?
//!
//! Each solid is compared by the product of the molalities of its ions: that of the bath against
//! that of the solid's own saturated solution at the same temperature, both from the equilibrium
//! of this room. So another salt with the same ion lowers what dissolves, and alkali that takes
//! up a developing agent's protons raises it. The products are brought to one ion (their root),
//! so that a saturation of 1.2 means about a fifth too much. Activity coefficients are taken to
//! be those of the saturated solution: the activity model does not reach that far, and leaving
//! them out errs towards "does not dissolve" where salts are mixed.

use std::collections::BTreeMap;

use crate::chemistry::Chemistry;
use crate::chemistry::bath::Bath;
use crate::chemistry::figure::{Input, Trace};
use crate::chemistry::file::Kind;
use crate::chemistry::solids::Solid;
use crate::chemistry::solve::State;
use crate::chemistry::system::System;
use crate::chemistry::table::{covers, straight};
use crate::provenance::Origin;

const FORMULA: &str = "saturation = (product of ion molalities in the bath / the same in the saturated \
solution)^(1/number of ions)";

/// Above this share of another liquid by mass nothing is said.
const GREATEST_OTHER_LIQUID: f64 = 0.2;

/// How a bath stands against a solid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Dissolves {
    /// All of it stays in solution.
    Yes,
    /// Near saturation: it may not clear, or fall out.
    Perhaps,
    /// More than the water holds.
    No,
}

/// A solid that could be there.
#[derive(Debug, Clone)]
pub struct Saturation {
    /// Its name.
    pub solid: String,
    /// The solute it is made of.
    pub solute: String,
    /// Ion product against saturation, per ion; 1 is saturated.
    pub ratio: f64,
    /// What follows.
    pub dissolves: Dissolves,
    /// How the ratio came about.
    pub trace: Trace,
}

/// What is known of how a bath's chemicals dissolve.
#[derive(Debug, Clone, Default)]
pub struct Solubility {
    /// The solids whose ions are all there, the most saturated first.
    pub solids: Vec<Saturation>,
    /// Chemicals nothing is known about, and why.
    pub no_data: BTreeMap<String, String>,
    /// What else to know (slow, or in the wrong order), by chemical.
    pub remarks: Vec<(String, String, Origin)>,
}

impl Solubility {
    /// Whether everything dissolves; nothing if some chemical has no data and nothing else stops.
    pub fn dissolves(&self) -> Option<Dissolves> {
        let worst = self
            .solids
            .iter()
            .map(|solid| solid.dissolves)
            .max()
            .unwrap_or(Dissolves::Yes);
        (worst == Dissolves::No || self.no_data.is_empty()).then_some(worst)
    }
}

impl Chemistry {
    /// How a bath stands against all solids it could hold, at a temperature in °C: that of mixing,
    /// or of the place it is kept.
    pub fn solubility(&self, bath: &Bath, celsius: f64) -> Solubility {
        let mut at = bath.clone();
        at.celsius = celsius;
        if self.other_liquid_share(&at) > GREATEST_OTHER_LIQUID {
            let why = "solubilities are for water, and more than a fifth of it is another liquid";
            let no_data = at
                .contents
                .iter()
                .map(|content| (content.chemical.clone(), why.to_owned()))
                .collect();
            return Solubility {
                no_data,
                ..Solubility::default()
            };
        }
        let system = self.system(&at);
        let state = system.solve();
        let mut solids: Vec<Saturation> = self
            .solids
            .list
            .iter()
            .filter_map(|solid| self.saturation(solid, &at, &system, &state))
            .collect();
        solids.sort_by(|a, b| {
            b.ratio
                .total_cmp(&a.ratio)
                .then_with(|| a.solid.cmp(&b.solid))
        });
        Solubility {
            solids,
            no_data: self.without_solubility(&at),
            remarks: self.dissolving_remarks(&at),
        }
    }

    /// Share by mass of what is a liquid itself: solvents, and acids that mix with water freely.
    fn other_liquid_share(&self, bath: &Bath) -> f64 {
        let liquid = |solute: &String| {
            self.kind_of(solute) == Some(Kind::Solvent) || self.solids.miscible.contains(solute)
        };
        let grams: f64 = bath
            .contents
            .iter()
            .filter(|content| liquid(&content.solute))
            .map(|content| content.solute_grams)
            .sum();
        if bath.mass_kg > 0.0 {
            grams / 1000.0 / bath.mass_kg
        } else {
            0.0
        }
    }

    fn saturation(
        &self,
        solid: &Solid,
        bath: &Bath,
        system: &System,
        state: &State,
    ) -> Option<Saturation> {
        let here = ln_product(&solid.ions, system, state)?;
        let (saturated, grams) = self.saturated(solid, bath.celsius)?;
        let saturated_system = self.system(&saturated);
        let there = ln_product(&solid.ions, &saturated_system, &saturated_system.solve())?;
        let ions: f64 = solid.ions.iter().map(|(_, count)| count).sum();
        let ratio = libm::exp((here - there) / ions);
        let doubt = if covers(&solid.at, bath.celsius) {
            self.solids.doubt
        } else {
            self.solids.doubt * self.solids.doubt
        };
        let dissolves = match ratio {
            ratio if ratio > doubt => Dissolves::No,
            ratio if ratio > 1.0 / doubt => Dissolves::Perhaps,
            _ => Dissolves::Yes,
        };
        let what = format!("{} in 100 g water at {} °C", solid.name, bath.celsius);
        let trace = Trace {
            formula: FORMULA,
            inputs: vec![Input::new(what, grams, "g", &solid.origin)],
            remarks: vec!["crystal water the solid would take along is not counted".to_owned()],
            result: format!("{ratio:.2} of saturation"),
        };
        Some(Saturation {
            solid: solid.name.clone(),
            solute: solid.solute.clone(),
            ratio,
            dissolves,
            trace,
        })
    }

    /// The solid's own saturated solution, in 1 kg of water, and the grams per 100 g.
    fn saturated(&self, solid: &Solid, celsius: f64) -> Option<(Bath, f64)> {
        let grams = straight(&solid.at, celsius)?;
        let solute = self.dissolution.solute(&solid.solute)?;
        let moles = grams * 10.0 / solute.molar_mass?;
        let water_kg =
            (1.0 + moles * solute.water * crate::chemistry::water::MOLAR_MASS / 1000.0).max(0.1);
        let amounts = solute
            .gives
            .iter()
            .map(|(index, count)| (*index, count * moles))
            .collect();
        let bath = Bath {
            water_kg,
            mass_kg: 1.0 + grams / 100.0,
            celsius,
            contents: Vec::new(),
            amounts,
        };
        Some((bath, grams))
    }

    fn without_solubility(&self, bath: &Bath) -> BTreeMap<String, String> {
        let mut missing = BTreeMap::new();
        for content in &bath.contents {
            let known = self
                .solids
                .list
                .iter()
                .any(|solid| solid.solute == content.solute)
                || self.solids.miscible.contains(&content.solute)
                || content.bottle_water > 0.0;
            if let Some(why) = self.solids.no_data.get(&content.chemical) {
                missing.insert(content.chemical.clone(), why.clone());
            } else if !known {
                missing.insert(
                    content.chemical.clone(),
                    "no solubility in the data".to_owned(),
                );
            }
        }
        missing
    }

    fn dissolving_remarks(&self, bath: &Bath) -> Vec<(String, String, Origin)> {
        let has = |chemical: &str| {
            bath.contents
                .iter()
                .any(|content| content.chemical == chemical)
        };
        let slow = self.solids.slow.iter().filter(|row| has(&row.chemical));
        let miscible = bath
            .contents
            .iter()
            .filter(|content| self.solids.miscible.contains(&content.solute))
            .map(|content| {
                let why = "mixes with water in any proportion".to_owned();
                (
                    content.chemical.clone(),
                    why,
                    self.solids.miscible_from.clone(),
                )
            });
        slow.map(|row| (row.chemical.clone(), row.why.clone(), row.from.clone()))
            .chain(miscible)
            .collect()
    }

    /// Why a chemical should not be added to a bath as it is, if the trade knows a reason.
    pub fn hindered(&self, chemical: &str, bath: &Bath) -> Option<(&str, &Origin)> {
        self.solids.hindered.iter().find_map(|row| {
            let index = self.components.index(&row.by)?;
            let hinders =
                row.chemical == chemical && bath.molality_of(index) > row.above_mol_per_kg;
            hinders.then_some((row.why.as_str(), &row.from))
        })
    }
}

/// ln of the ion product; nothing unless all ions are there.
fn ln_product(ions: &[(usize, f64)], system: &System, state: &State) -> Option<f64> {
    let mut sum = 0.0;
    for (number, count) in ions {
        let place = system.place(*number)?;
        let molality = state
            .molality
            .get(place)
            .copied()
            .filter(|amount| *amount > 0.0)?;
        sum += count * libm::log(molality);
    }
    Some(sum)
}

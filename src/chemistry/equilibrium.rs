//! pH and speciation of a bath, with bounds, or why no pH can be stated.

use std::collections::BTreeMap;

use core::f64::consts::LN_10;

use crate::chemistry::bath::Bath;
use crate::chemistry::figure::{Figure, Input, Trace};
use crate::chemistry::file::{Kind, PhWithinFile, ReactsFurtherFile};
use crate::chemistry::solve::State;
use crate::chemistry::system::System;
use crate::chemistry::water::Conditions;
use crate::chemistry::{Chemistry, range};

/// The formula named in every trace of a pH.
const FORMULA: &str = "mass balances and charge balance over acid steps K(T) by van 't Hoff, water by \
IAPWS R11-07, activity coefficients by specific ion interaction theory; pH = −log10 a(H+)";
/// Below this share of water by mass no pH is stated.
const LEAST_WATER: f64 = 0.25;
/// Above this share of organic liquids by mass no pH is stated.
const GREATEST_SOLVENT: f64 = 0.2;
/// Of two components that react further, the lesser may be this much, mol/kg.
const TRACE_AMOUNT: f64 = 1e-3;
/// A component outside its pH range may be this much, mol/kg.
const TOLERATED: f64 = 1e-4;
/// Bounds further apart than this say nothing where something unknown is in the bath.
const WIDEST: f64 = 4.0;

/// The pH of a bath.
#[derive(Debug, Clone, PartialEq)]
pub enum Ph {
    /// Computed, with bounds.
    Computed(Figure),
    /// Not computed; nothing may be concluded from that.
    NotComputed {
        /// Why not.
        why: String,
    },
}

impl Ph {
    /// The best estimate, if there is one.
    pub fn value(&self) -> Option<f64> {
        self.bounds().map(|(_, value, _)| value)
    }

    /// Low, value and high, if computed.
    pub fn bounds(&self) -> Option<(f64, f64, f64)> {
        match self {
            Self::Computed(figure) => Some((figure.low, figure.value, figure.high)),
            Self::NotComputed { .. } => None,
        }
    }
}

/// The equilibrium of a bath.
#[derive(Debug, Clone)]
pub struct Equilibrium {
    /// The pH.
    pub ph: Ph,
    /// Ionic strength, mol/kg water.
    pub ionic_strength: f64,
    /// Ions and molecules, mol/kg water. Where the pH is not computed, only what is there
    /// whatever the pH.
    pub species: BTreeMap<String, f64>,
}

impl Chemistry {
    /// pH and speciation of a bath.
    pub fn equilibrium(&self, bath: &Bath) -> Equilibrium {
        let system = self.system(bath);
        let state = system.solve();
        let ph = self.ph(bath, &system, &state);
        let computed = matches!(ph, Ph::Computed(_));
        Equilibrium {
            ph,
            ionic_strength: state.ionic_strength,
            species: self.species(&system, &state, computed),
        }
    }

    /// A bath written down for the solver.
    pub fn system(&self, bath: &Bath) -> System {
        let conditions = if bath.celsius == self.room.celsius {
            self.room
        } else {
            Conditions::at(bath.celsius)
        };
        System::new(
            &self.components,
            &self.interactions,
            &bath.molalities(),
            conditions,
        )
    }

    fn species(&self, system: &System, state: &State, all: bool) -> BTreeMap<String, f64> {
        let fixed = |place: usize| {
            system
                .groups
                .iter()
                .any(|group| group.forms == (place, place + 1))
        };
        (0..system.len())
            .filter(|place| all || fixed(*place))
            .map(|place| {
                let amount = state.molality.get(place).copied().unwrap_or(0.0);
                (system.name(&self.components, place).to_owned(), amount)
            })
            .collect()
    }

    fn ph(&self, bath: &Bath, system: &System, state: &State) -> Ph {
        let value = -state.ln_hydrogen / LN_10;
        if let Some(why) = self.why_not(bath, value) {
            return Ph::NotComputed { why };
        }
        let (low, high) = range::bounds(self, bath, system, state);
        if high - low > WIDEST && self.has_unknown(bath) {
            return Ph::NotComputed {
                why: self.unknown_text(bath),
            };
        }
        if high - low > WIDEST
            && let Some((within, _)) = self.beyond(bath, value).next()
        {
            return Ph::NotComputed {
                why: within.why.clone(),
            };
        }
        Ph::Computed(Figure {
            value,
            low,
            high,
            unit: "",
            trace: self.ph_trace(bath, system, state, (low, value, high)),
        })
    }

    fn why_not(&self, bath: &Bath, ph: f64) -> Option<String> {
        let reacts = || {
            let (this, that, pair) = self.reactions(bath).next()?;
            Some(format!("{}: {this} with {that}", pair.why))
        };
        self.not_watery(bath)
            .or_else(reacts)
            .or_else(|| self.outside(bath, ph))
    }

    /// The lowest a pH can be: also where what meets reacts further, if no acid comes of that.
    pub(super) fn lowest_ph(&self, bath: &Bath, ph: &Ph) -> f64 {
        if let Some((low, _, _)) = ph.bounds() {
            return low;
        }
        let makes_acid = self.reactions(bath).any(|(_, _, pair)| pair.makes_acid);
        if makes_acid || self.not_watery(bath).is_some() || self.has_unknown(bath) {
            return f64::NEG_INFINITY;
        }
        let system = self.system(bath);
        let state = system.solve();
        let before = -state.ln_hydrogen / LN_10;
        if self.outside(bath, before).is_some() {
            return f64::NEG_INFINITY;
        }
        range::bounds(self, bath, &system, &state).0
    }

    /// Why constants for water do not hold in a bath, if so.
    fn not_watery(&self, bath: &Bath) -> Option<String> {
        let why = if bath.water_kg <= 0.0 {
            "there is no water"
        } else if bath.water_share() < LEAST_WATER {
            "less than a quarter of it is water: too strong for the constants used"
        } else if self.solvent_share(bath) > GREATEST_SOLVENT {
            "more than a fifth of it is an organic liquid: the constants used are for water"
        } else {
            return None;
        };
        Some(why.to_owned())
    }

    fn solvent_share(&self, bath: &Bath) -> f64 {
        let grams: f64 = bath
            .contents
            .iter()
            .filter(|content| self.kind_of(&content.solute) == Some(Kind::Solvent))
            .map(|content| content.solute_grams)
            .sum();
        if bath.mass_kg > 0.0 {
            grams / 1000.0 / bath.mass_kg
        } else {
            0.0
        }
    }

    /// What reacts further in a bath.
    fn reactions<'c>(
        &'c self,
        bath: &'c Bath,
    ) -> impl Iterator<Item = (&'c String, &'c String, &'c ReactsFurtherFile)> {
        let present = |name: &&String| {
            let index = self.components.index(name);
            index.is_some_and(|index| bath.molality_of(index) > TRACE_AMOUNT)
        };
        self.components
            .reacts_further
            .iter()
            .filter_map(move |pair| {
                let this = pair.these.iter().find(present)?;
                let that = pair.with.iter().find(present)?;
                Some((this, that, pair))
            })
    }

    /// Components outside the pH for which they are described, with what they can bring there,
    /// mol/kg.
    pub(super) fn beyond<'c>(
        &'c self,
        bath: &'c Bath,
        ph: f64,
    ) -> impl Iterator<Item = (&'c PhWithinFile, f64)> {
        self.strangers(bath, ph)
            .filter_map(|(within, molality)| Some((within, within.beyond? * molality)))
    }

    fn strangers<'c>(
        &'c self,
        bath: &'c Bath,
        ph: f64,
    ) -> impl Iterator<Item = (&'c PhWithinFile, f64)> {
        bath.molalities()
            .into_iter()
            .filter_map(move |(index, molality)| {
                let within = self.components.get(index)?.ph_within.as_ref()?;
                let outside = ph < within.low || ph > within.high;
                (outside && molality > TOLERATED).then_some((within, molality))
            })
    }

    fn outside(&self, bath: &Bath, ph: f64) -> Option<String> {
        let mut unbounded = self
            .strangers(bath, ph)
            .filter(|(within, _)| within.beyond.is_none());
        unbounded.next().map(|(within, _)| within.why.clone())
    }

    pub(super) fn has_unknown(&self, bath: &Bath) -> bool {
        bath.contents
            .iter()
            .any(|content| self.unknown_of(&content.solute).is_some())
    }

    fn unknown_text(&self, bath: &Bath) -> String {
        let parts: Vec<String> = bath
            .contents
            .iter()
            .filter_map(|content| {
                let why = self.unknown_of(&content.solute)?;
                Some(format!(
                    "the acidity of {} is not known ({why})",
                    content.chemical
                ))
            })
            .collect();
        parts.join("; ")
    }

    fn ph_trace(
        &self,
        bath: &Bath,
        system: &System,
        state: &State,
        (low, value, high): (f64, f64, f64),
    ) -> Trace {
        let mut inputs = Vec::new();
        for group in &system.groups {
            let Some(component) = self.components.get(group.component) else {
                continue;
            };
            let made = crate::provenance::Origin::Computed {
                formula: "amounts weighed in".to_owned(),
            };
            inputs.push(Input::new(
                format!("{} in all", component.name),
                group.total,
                "mol/kg",
                &made,
            ));
            for form in &component.forms {
                if let Some(constant) = &form.constant {
                    let pk = constant.pk_at(bath.celsius);
                    inputs.push(Input::new(
                        format!("pK of {} at {} °C", form.name, bath.celsius),
                        pk,
                        "",
                        &constant.origin,
                    ));
                }
            }
        }
        inputs.extend(self.interaction_inputs(system));
        let mut remarks = vec![
            "deionised water; tap water adds up to some mmol/L of hydrogencarbonate".to_owned(),
            format!(
                "ionic strength {:.3} mol/kg; the activity model is good to about 3.5",
                state.ionic_strength
            ),
        ];
        if self.has_unknown(bath) {
            remarks.push(self.unknown_text(bath));
        }
        remarks.extend(
            self.beyond(bath, value)
                .map(|(within, _)| format!("{}: the bounds allow for it", within.why)),
        );
        if state.unsettled > 1e-6 {
            remarks
                .push("activity coefficients did not settle; the bounds allow for it".to_owned());
        }
        Trace {
            formula: FORMULA,
            inputs,
            remarks,
            result: format!("pH {value:.2}, between {low:.2} and {high:.2}"),
        }
    }

    fn interaction_inputs(&self, system: &System) -> Vec<Input> {
        let input = |pair: &crate::chemistry::system::Pair| {
            let (cation, anion) = (
                system.species.get(pair.cation)?.number,
                system.species.get(pair.anion)?.number,
            );
            let coefficients = self.interactions.of_cation(cation).iter();
            let (_, epsilon) = coefficients.clone().find(|(number, _)| *number == anion)?;
            let names = (
                system.name(&self.components, pair.cation),
                system.name(&self.components, pair.anion),
            );
            Some(Input::new(
                format!("ε({}, {})", names.0, names.1),
                epsilon.value,
                "kg/mol",
                &epsilon.origin,
            ))
        };
        system.pairs.iter().filter_map(input).collect()
    }
}

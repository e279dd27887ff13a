//! The greatest amount of each gas that can leave a bath.
//!
//! A volatile molecule of the equilibrium (sulfur dioxide, ammonia …) is taken out until
//! what is left holds only traces of it: its acid or alkali partner sets the limit, as it
//! would if the gas were blown out. Gases made by a reaction follow from the scarcest partner,
//! acid included. Both are bounds; how fast it goes is not said here.

use crate::catalogue::DataError;
use crate::chemistry::Chemistry;
use crate::chemistry::bath::Bath;
use crate::chemistry::component::Components;
use crate::chemistry::equilibrium::Ph;
use crate::chemistry::figure::{Input, Trace};
use crate::chemistry::file::{GasReactionFile, GasesFile, VolatileFile};
use crate::chemistry::system::System;
use crate::provenance::Origin;
use crate::search::{falls_to_zero, highest_between};

const FILE: &str = "hazards/physical/gases.yaml";
const FROM_EQUILIBRIUM: &str =
    "largest amount that can be taken out before the bath holds only traces of it";
const FROM_REACTION: &str = "gas = gives × least of (amount / needs) over all partners and acid";
/// Acid counts as used up at this pH.
const ACID_ENDS: f64 = 8.0;
/// The amount is found to this share of all there is.
const WITHIN: f64 = 1e-6;

/// A gas that could leave.
#[derive(Debug, Clone)]
pub struct Gas {
    /// Its formula.
    pub gas: String,
    /// Its name.
    pub name: String,
    /// The greatest amount, g, for the bath as a whole.
    pub greatest_g: f64,
    /// The greatest amount, mol.
    pub greatest_mol: f64,
    /// What sets it free.
    pub why: String,
    /// Where the rules that say so are from.
    pub origins: Vec<Origin>,
    /// How the amount came about.
    pub trace: Trace,
}

/// The gas rules of `gases.yaml`.
#[derive(Debug, Clone)]
pub(super) struct GasRules {
    volatile: Vec<VolatileFile>,
    reactions: Vec<GasReactionFile>,
}

impl GasRules {
    pub(super) fn from_file(file: GasesFile, components: &Components) -> Result<Self, DataError> {
        for rule in &file.volatile {
            components.require(&rule.component, FILE)?;
            for other in &rule.also_from {
                components.require(&other.component, FILE)?;
            }
            if components.form(&rule.molecule).is_none() {
                return Err(DataError::new(
                    FILE,
                    format!("no component has `{}`", rule.molecule),
                ));
            }
        }
        for name in file.reactions.iter().flat_map(|rule| rule.needs.keys()) {
            components.require(name, FILE)?;
        }
        Ok(Self {
            volatile: file.volatile,
            reactions: file.reactions,
        })
    }
}

impl Chemistry {
    /// Whether the rules can tell how much of a gas, by its name, leaves a bath at most: only where
    /// the bath holds what they make it from.
    pub fn reckons(&self, gas: &str, bath: &Bath) -> bool {
        let holds = |component: &String| {
            let index = self.components.index(component);
            index.is_some_and(|index| bath.moles_of(index) > 0.0)
        };
        let volatile = self.gas_rules.volatile.iter();
        let reactions = self.gas_rules.reactions.iter();
        volatile
            .filter(|rule| rule.name == gas)
            .any(|rule| holds(&rule.component))
            || reactions
                .filter(|rule| rule.name == gas)
                .any(|rule| rule.needs.keys().all(holds))
    }

    /// Every gas that could leave a bath, with its greatest amount; ways to the same gas stay
    /// apart. `ph` is that of the bath: where it is not computed, the worst case is taken.
    pub fn gases(&self, bath: &Bath, ph: &Ph) -> Vec<Gas> {
        let volatile = self
            .gas_rules
            .volatile
            .iter()
            .filter_map(|rule| self.volatile(rule, bath, ph));
        let reactions = self
            .gas_rules
            .reactions
            .iter()
            .filter_map(|rule| self.reaction(rule, bath, ph));
        volatile
            .chain(reactions)
            .filter(|gas| gas.greatest_mol > 1e-9)
            .collect()
    }

    fn volatile(&self, rule: &VolatileFile, bath: &Bath, ph: &Ph) -> Option<Gas> {
        let component = self.components.index(&rule.component)?;
        let mut why = rule.why.clone();
        let mut origins = vec![rule.from.clone()];
        let mut splitting: Vec<usize> = Vec::new();
        for other in &rule.also_from {
            let Some(index) = self.components.index(&other.component) else {
                continue;
            };
            if bath.moles_of(index) > 0.0 && self.lowest_ph(bath, ph) < other.below_ph {
                splitting.push(index);
                why = format!("{why}; {}", other.why);
                origins.push(other.from.clone());
            }
        }
        let total = splitting
            .iter()
            .fold(bath.moles_of(component), |sum, at| sum + bath.moles_of(*at));
        if total <= 0.0 || bath.water_kg <= 0.0 {
            return None;
        }
        let moles = match ph {
            // What splits uses up acid too: the most gas comes at some share of it, not at all of it.
            Ph::Computed(_) if splitting.is_empty() => self.taken_out(rule, bath, component),
            Ph::Computed(_) => {
                let shared = |share| split(bath, &splitting, component, share);
                let gas = |share| self.taken_out(rule, &shared(share), component);
                highest_between(gas, 0.0, 1.0)
            }
            Ph::NotComputed { .. } => total,
        };
        let mut trace = Trace {
            formula: FROM_EQUILIBRIUM,
            ..Trace::default()
        };
        trace.inputs.push(Input::new(
            format!("{} in all", rule.component),
            total,
            "mol",
            &weighed(),
        ));
        trace.inputs.push(Input::new(
            "traces that may stay",
            rule.traces,
            "mol/kg",
            &Origin::Practice,
        ));
        if let Ph::NotComputed { why } = ph {
            trace.remarks.push(format!(
                "the pH is not known ({why}): all of it counts as gas"
            ));
        }
        let made = Gas {
            gas: rule.gas.clone(),
            name: rule.name.clone(),
            greatest_g: moles * rule.molar_mass,
            greatest_mol: moles,
            why,
            origins,
            trace,
        };
        Some(made.traced())
    }

    /// mol that leave before the bath holds only traces of the molecule. Taking out a neutral
    /// molecule leaves all other charges as they are.
    fn taken_out(&self, rule: &VolatileFile, bath: &Bath, component: usize) -> f64 {
        let total = bath.moles_of(component);
        let mut system = self.system(bath);
        let number = self.components.form_number(&rule.molecule);
        let Some(place) = number.and_then(|number| system.place(number)) else {
            return 0.0;
        };
        let above = |system: &System| {
            let left = system.solve().molality.get(place).copied().unwrap_or(0.0);
            left - rule.traces
        };
        let all = above(&system);
        if all <= 0.0 {
            return 0.0;
        }
        let mut rest = |moles: f64| {
            system.set_total(component, (total - moles) / bath.water_kg);
            above(&system)
        };
        falls_to_zero(&mut rest, (0.0, all), (total, -rule.traces), total * WITHIN)
    }

    fn reaction(&self, rule: &GasReactionFile, bath: &Bath, ph: &Ph) -> Option<Gas> {
        let lowest = self.lowest_ph(bath, ph);
        if rule.below_ph.is_some_and(|limit| lowest >= limit) {
            return None;
        }
        let mut trace = Trace {
            formula: FROM_REACTION,
            ..Trace::default()
        };
        let mut extent = f64::INFINITY;
        for (name, needed) in &rule.needs {
            let moles = bath.moles_of(self.components.index(name)?);
            trace
                .inputs
                .push(Input::new(name.clone(), moles, "mol", &weighed()));
            extent = extent.min(moles / needed);
        }
        if rule.acid > 0.0 {
            let acid = self.acid_moles(bath);
            trace.inputs.push(Input::new(
                format!("acid down from pH {ACID_ENDS}"),
                acid,
                "mol",
                &weighed(),
            ));
            if lowest.is_finite() {
                extent = extent.min(acid / rule.acid);
            } else {
                trace
                    .remarks
                    .push("the pH is not known: acid counts as plenty".to_owned());
            }
        }
        let moles = if extent.is_finite() {
            extent.max(0.0) * rule.gives
        } else {
            0.0
        };
        let made = Gas {
            gas: rule.gas.clone(),
            name: rule.name.clone(),
            greatest_g: moles * rule.molar_mass,
            greatest_mol: moles,
            why: rule.why.clone(),
            origins: vec![rule.from.clone()],
            trace,
        };
        Some(made.traced())
    }

    /// Alkali, mol, that would bring the bath to the pH where acid counts as used up.
    fn acid_moles(&self, bath: &Bath) -> f64 {
        let system = self.system(bath);
        let state = system.solve();
        (-system.charge_at(&state, ACID_ENDS)).max(0.0) * bath.water_kg
    }
}

/// A bath in which a share of some components has become another.
fn split(bath: &Bath, from: &[usize], to: usize, share: f64) -> Bath {
    let mut bath = bath.clone();
    let mut made = 0.0;
    for (_, moles) in bath.amounts.iter_mut().filter(|(at, _)| from.contains(at)) {
        made += *moles * share;
        *moles *= 1.0 - share;
    }
    bath.amounts.push((to, made));
    bath
}

fn weighed() -> Origin {
    Origin::Computed {
        formula: "amounts weighed in".to_owned(),
    }
}

impl Gas {
    fn traced(mut self) -> Self {
        self.trace.result = format!("at most {:.3} g {}", self.greatest_g, self.gas);
        self
    }
}

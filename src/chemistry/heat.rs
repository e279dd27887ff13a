//! Heat of making a bath: its temperature after an addition, in a vessel that keeps all heat.
//!
//! Heat of an addition = heat of solution to infinite dilution (tables), less what a bottled
//! solution has given off already and what a strong bath holds back (integral heats), plus the
//! heats of the acid steps and of water by which the forms after differ from those before
//! (equilibrium on both sides). So neutralisation and the second step of sulfuric acid come in
//! by themselves. Heat capacities by Laliberté, J. Chem. Eng. Data 54 (2009) 1725.

use crate::chemistry::Chemistry;
use crate::chemistry::bath::{Bath, Content};
use crate::chemistry::figure::{Figure, Input, Trace};
use crate::chemistry::file::HeatFile;
use crate::chemistry::heats::LAST_WATER;
use crate::chemistry::solve::State;
use crate::chemistry::system::{HYDROXIDE, System};
use crate::chemistry::table::straight;
use crate::chemistry::water;
use crate::provenance::Origin;

const FORMULA: &str = "T = (C1 T1 + C2 T2 − ΔH)/(C1 + C2); ΔH from heats of solution at 25 °C and the \
enthalpies of acid steps; heat capacities by Laliberté, J. Chem. Eng. Data 54 (2009) 1725";
/// A chemical without a heat of solution: bounds that hold for nearly all, kJ per g.
const UNKNOWN_HEAT: f64 = 0.35;
/// The same for the solute of a bottled solution.
const UNKNOWN_HEAT_OF_BOTTLE: f64 = 0.1;
/// Error of heats of acid steps and heat capacities together, as a share of the change.
const STEP_ERROR: f64 = 0.05;

/// A bath after an addition.
#[derive(Debug, Clone)]
pub struct Heated {
    /// The temperature in a vessel that keeps all heat, °C.
    pub temperature: Figure,
    /// Heat given off (+) or taken up (−), kJ.
    pub heat_kj: f64,
    /// The bath at that temperature.
    pub bath: Bath,
}

/// A heat in J with its standard deviation.
#[derive(Debug, Clone, Copy, Default)]
struct Heat {
    joules: f64,
    deviation: f64,
    /// Bounds of what has no data.
    unknown: f64,
}

impl Chemistry {
    /// The bath that comes of adding `added` (its own water and chemicals at its temperature) to
    /// `bath`. Contents already in solution are given with `dissolved` true: they bring no heat
    /// of solution.
    pub fn add(&self, bath: &Bath, added: &Bath, dissolved: bool) -> Heated {
        let mut together = bath.with(added);
        let (c1, c2) = (self.heat_capacity_j(bath).0, self.heat_capacity_j(added).0);
        let mut trace = Trace {
            formula: FORMULA,
            ..Trace::default()
        };
        let mut heat = self.heat_of_forms(bath, &together, added, dissolved);
        if !dissolved {
            for content in &added.contents {
                self.count_solution(content, &together, &mut heat, &mut trace);
            }
        }
        let (capacity, capacity_error) = self.heat_capacity_j(&together);
        let capacity = capacity.max(c1.max(c2)).max(1e-9);
        let mixed = if c1 + c2 > 0.0 {
            (c1 * bath.celsius + c2 * added.celsius) / (c1 + c2)
        } else {
            bath.celsius
        };
        let change = -heat.joules / capacity;
        let margin = (2.0 * heat.deviation + heat.unknown) / capacity
            + (2.0 * STEP_ERROR + capacity_error / capacity) * change.abs()
            + 0.3;
        let warmest = (mixed + change).clamp(-50.0, 300.0);
        together.celsius = warmest;
        trace.inputs.push(Input::new(
            "heat capacity of the whole",
            capacity / 1000.0,
            "kJ/K",
            &Origin::Computed {
                formula: "mixing rule of Laliberté".to_owned(),
            },
        ));
        if capacity_error > 0.0 {
            let other = &self.heats.other;
            trace.inputs.push(Input::new(
                "heat capacity of solutes without data",
                other.value,
                "kJ/(kg K)",
                &other.from,
            ));
        }
        Heated {
            temperature: Figure::around(warmest, margin, "°C", trace),
            heat_kj: -heat.joules / 1000.0,
            bath: together,
        }
    }

    /// Heat capacity of a bath, J/K, and by how much it may be off for solutes without data; at
    /// least that of a fifth of its water.
    pub fn heat_capacity_j(&self, bath: &Bath) -> (f64, f64) {
        let mass = bath.mass_kg * 1000.0;
        if mass <= 0.0 {
            return (0.0, 0.0);
        }
        let solutes: f64 = bath
            .contents
            .iter()
            .map(|content| content.solute_grams)
            .sum();
        let fraction = (solutes / mass).clamp(0.0, 1.0);
        let of_water = water::heat_capacity(bath.celsius);
        let (mut sum, mut error) = ((1.0 - fraction) * of_water, 0.0);
        let other = &self.heats.other;
        for content in &bath.contents {
            let share = content.solute_grams / mass;
            let known = self.heats.capacity(&content.solute, fraction, bath.celsius);
            sum += share * known.unwrap_or(other.value);
            if known.is_none() {
                error += share * (other.high - other.value).max(other.value - other.low);
            }
        }
        (
            sum.max(0.2 * of_water * (1.0 - fraction) + 0.3 * fraction) * mass,
            error * mass,
        )
    }

    fn count_solution(
        &self,
        content: &Content,
        together: &Bath,
        heat: &mut Heat,
        trace: &mut Trace,
    ) {
        let found = self.heats.of_solute(&content.solute, content.crystal_water);
        let Some(row) = found else {
            let bound = if content.bottle_water > 0.0 {
                UNKNOWN_HEAT_OF_BOTTLE
            } else {
                UNKNOWN_HEAT
            };
            heat.unknown += bound * 1000.0 * content.solute_grams;
            heat.joules -= self.alone_j(content, together);
            trace.remarks.push(format!(
                "no heat of solution for {}: up to {bound} kJ/g either way",
                content.chemical
            ));
            return;
        };
        let water_per_mole = if content.moles > 0.0 {
            together.water_kg * 1000.0 / water::MOLAR_MASS / content.moles
        } else {
            LAST_WATER
        };
        let bottle = if content.bottle_water > 0.0 {
            // Without a table the bottle is taken to have given off all of its heat of solution.
            let given_off = self.heats.given_off(&content.solute, content.bottle_water);
            given_off.unwrap_or(row.kj_per_mol)
        } else {
            0.0
        };
        let held = self.heats.held_back(&content.solute, water_per_mole);
        let kj_per_mol = row.kj_per_mol + held - bottle;
        heat.joules += kj_per_mol * 1000.0 * content.moles - self.reference_j(row, content);
        let off = (row.uncertainty * 1000.0 * content.moles).abs()
            + 0.1 * (bottle.abs() + held.abs()) * 1000.0 * content.moles;
        heat.deviation = libm::hypot(heat.deviation, off);
        trace.inputs.push(Input::new(
            format!("heat of solution of {}", content.chemical),
            kj_per_mol,
            "kJ/mol",
            &row.from,
        ));
    }

    /// Enthalpy, J, of the state a heat of solution refers to: protons still bound, and OH⁻ for
    /// what charge is left over. It is counted with the forms afterwards, so not here again.
    fn reference_j(&self, row: &HeatFile, content: &Content) -> f64 {
        let Some(solute) = self.dissolution.solute(&content.solute) else {
            return 0.0;
        };
        let (mut joules, mut charge) = (0.0, 0.0);
        for (index, count) in &solute.gives {
            let Some(component) = self.components.get(*index) else {
                continue;
            };
            let bound = row.protons.get(&component.name).copied().unwrap_or(0.0);
            let base = component.forms.first().map_or(0.0, |form| form.charge);
            charge += count * base + bound;
            let steps: Vec<(f64, f64)> = component
                .forms
                .iter()
                .zip(component.enthalpies())
                .filter(|(form, _)| form.cluster_of.is_none())
                .map(|(form, enthalpy)| (form.protons, enthalpy))
                .collect();
            joules += count * straight(&steps, bound / count).unwrap_or(0.0);
        }
        if charge > 0.0 {
            joules += charge * water::ionisation_enthalpy(25.0);
        }
        joules * content.moles
    }

    /// Enthalpy of all forms after less that before, J, at the temperature before.
    fn heat_of_forms(&self, bath: &Bath, together: &Bath, added: &Bath, dissolved: bool) -> Heat {
        let mut after = together.clone();
        after.celsius = bath.celsius.clamp(5.0, 60.0);
        let mut before = bath.clone();
        before.celsius = after.celsius;
        let mut joules = self.enthalpy_j(&after) - self.enthalpy_j(&before);
        if dissolved {
            let mut other = added.clone();
            other.celsius = after.celsius;
            joules -= self.enthalpy_j(&other);
        }
        Heat {
            joules,
            ..Heat::default()
        }
    }

    /// Enthalpy of the forms a chemical takes alone in the water of a bath, J: where no heat of
    /// solution says what to count them from, dissolving by itself counts as nothing.
    fn alone_j(&self, content: &Content, together: &Bath) -> f64 {
        let Some(solute) = self.dissolution.solute(&content.solute) else {
            return 0.0;
        };
        let gives = solute.gives.iter();
        let mut alone = together.clone();
        alone.celsius = together.celsius.clamp(5.0, 60.0);
        alone.contents = vec![content.clone()];
        alone.amounts = gives
            .map(|(index, count)| (*index, count * content.moles))
            .collect();
        self.enthalpy_j(&alone)
    }

    /// Enthalpy of all forms against bases, free protons and water, J.
    fn enthalpy_j(&self, bath: &Bath) -> f64 {
        let system = self.system(bath);
        self.form_enthalpy(&system, &system.solve()) * bath.water_kg
    }

    fn form_enthalpy(&self, system: &System, state: &State) -> f64 {
        let hydroxide = state.molality.get(HYDROXIDE).copied().unwrap_or(0.0);
        let mut sum = hydroxide * water::ionisation_enthalpy(system.celsius);
        for group in &system.groups {
            let Some(component) = self.components.get(group.component) else {
                continue;
            };
            let amounts = state
                .molality
                .get(group.forms.0..group.forms.1)
                .unwrap_or(&[]);
            sum += component
                .enthalpies()
                .iter()
                .zip(amounts)
                .map(|(enthalpy, amount)| enthalpy * amount)
                .sum::<f64>();
        }
        sum
    }
}

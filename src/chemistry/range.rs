//! How far the pH of a bath may be off.
//!
//! Each uncertain input is turned into charge: by how much would the sum of charges change at
//! the computed pH if the input were off by one standard deviation? The squares add up; what
//! unknown solutes might bring is added on top. Twice the sum is then given to the bath as acid
//! and as alkali of no further effect, and the two pH values are the bounds. So a well-buffered
//! bath has narrow bounds, and one at the steep part of a titration has wide ones.

use core::f64::consts::LN_10;

use crate::chemistry::Chemistry;
use crate::chemistry::bath::Bath;
use crate::chemistry::solve::State;
use crate::chemistry::system::{Group, HYDROGEN, HYDROXIDE, System};

/// What even good water brings: carbon dioxide of the air, mol/kg.
const FROM_AIR: f64 = 1.5e-5;
/// Uncertainty of log10 γ over z² (one standard deviation): at no strength, and per mol/kg.
const ACTIVITY: (f64, f64) = (0.004, 0.02);
/// The strength, mol/kg, up to which the uncertainty grows evenly; beyond, twice as fast.
const ACTIVITY_MODEL_END: f64 = 3.5;
/// No pH is stated more exactly than this: glass electrodes and the convention behind pH.
const LEAST_MARGIN: f64 = 0.03;

/// Low and high pH.
pub(super) fn bounds(
    chemistry: &Chemistry,
    bath: &Bath,
    system: &System,
    state: &State,
) -> (f64, f64) {
    let constants = constants(chemistry, system, state);
    let activity = activity(chemistry, system, state);
    let purity = purity(chemistry, bath, system, state);
    let known = libm::sqrt(constants + activity + purity + FROM_AIR * FROM_AIR);
    let value = -state.ln_hydrogen / LN_10;
    let beyond: f64 = chemistry
        .beyond(bath, value)
        .map(|(_, charge)| charge)
        .sum();
    let shift = 2.0 * known + unknown(chemistry, bath) + beyond;
    let low = -system.solve_shifted(state, (0.0, shift)) / LN_10;
    let high = -system.solve_shifted(state, (shift, 0.0)) / LN_10;
    // The hydrogen-ion activity scale itself.
    let scale = LEAST_MARGIN
        + 2.0 * activity_deviation(state.ionic_strength)
        + state.unsettled / LN_10
        + 2.0 * water(chemistry, system, state) / LN_10;
    (low.min(value) - scale, high.max(value) + scale)
}

fn activity_deviation(strength: f64) -> f64 {
    let beyond = (strength - ACTIVITY_MODEL_END).clamp(0.0, 30.0);
    ACTIVITY.0 + ACTIVITY.1 * (strength.min(ACTIVITY_MODEL_END) + 2.0 * beyond)
}

/// Change of a group's charge when ln of its forms' amounts per free base change by `moved`.
fn moved_charge(
    system: &System,
    group: &Group,
    state: &State,
    moved: impl Fn(usize) -> f64,
) -> f64 {
    let (mut charge, mut charge_units, mut units_moved, mut size) = (0.0, 0.0, 0.0, 0.0);
    for place in group.forms.0..group.forms.1 {
        let amount = state.molality[place];
        let (z, units) = (system.species[place].charge, system.species[place].units);
        charge += z * amount * moved(place);
        charge_units += z * units * amount;
        units_moved += units * amount * moved(place);
        size += units * units * amount;
    }
    if size > 0.0 {
        charge - charge_units * units_moved / size
    } else {
        0.0
    }
}

/// Sum of squares over all acid constants.
fn constants(chemistry: &Chemistry, system: &System, state: &State) -> f64 {
    let mut sum = 0.0;
    for group in &system.groups {
        let Some(component) = chemistry.components.get(group.component) else {
            continue;
        };
        for (step, form) in component.forms.iter().enumerate() {
            let Some(constant) = &form.constant else {
                continue;
            };
            let ln_off = constant.uncertainty_at(system.celsius) * LN_10;
            // A cluster moves alone; an acid step moves all forms that hold its proton.
            let moved = |place: usize| {
                let at = place - group.forms.0;
                let holds = match component.forms.get(at).and_then(|form| form.cluster_of) {
                    Some(of) if form.cluster_of.is_none() && of >= step => {
                        system.species[place].units
                    }
                    Some(_) => f64::from(at == step),
                    None => f64::from(form.cluster_of.is_none() && at >= step),
                };
                holds * ln_off
            };
            let off = moved_charge(system, group, state, moved);
            sum += off * off;
        }
    }
    sum
}

/// Square for the Debye–Hückel term as a whole, and for each ion's interaction coefficients.
fn activity(chemistry: &Chemistry, system: &System, state: &State) -> f64 {
    let deviation = activity_deviation(state.ionic_strength) * LN_10;
    let square = |place: usize| system.species[place].charge * system.species[place].charge;
    let all: f64 = system
        .groups
        .iter()
        .map(|group| moved_charge(system, group, state, |place| square(place) * deviation))
        .sum();
    let mut sum = all * all;
    let counter_ions = counter_ions(system, state);
    for group in &system.groups {
        for place in group.forms.0..group.forms.1 {
            let off = interaction_deviation(chemistry, system, place, counter_ions) * LN_10;
            let only = moved_charge(
                system,
                group,
                state,
                |at| if at == place { off } else { 0.0 },
            );
            sum += only * only;
        }
    }
    sum
}

/// By how much ln a(H⁺) may be off because the activity coefficients of H⁺ and OH⁻ are. What is
/// uncertain there is no charge: in strong acid or alkali it moves the pH and nothing else.
fn water(chemistry: &Chemistry, system: &System, state: &State) -> f64 {
    let deviation = activity_deviation(state.ionic_strength) * LN_10;
    let (_, anions) = counter_ions(system, state);
    // The acid's own anions have few coefficients.
    let anions = anions * chemistry.interactions.unlisted.uncertainty * LN_10;
    let (hydrogen, hydroxide) = (state.molality[HYDROGEN], state.molality[HYDROXIDE]);
    let off = libm::hypot(
        hydrogen * libm::hypot(deviation, anions),
        hydroxide * 1.2 * deviation,
    );
    off / system.buffering(state).max(hydrogen + hydroxide)
}

/// All cations and all anions, mol/kg, held at the strength where interactions end.
fn counter_ions(system: &System, state: &State) -> (f64, f64) {
    let amounts = |positive: bool| -> f64 {
        let of_sign = system.species.iter().zip(&state.molality);
        of_sign
            .filter(|(species, _)| {
                if positive {
                    species.charge > 0.0
                } else {
                    species.charge < 0.0
                }
            })
            .map(|(_, m)| m)
            .sum()
    };
    let held = crate::chemistry::activity::GREATEST_STRENGTH / state.ionic_strength.max(1e-12);
    (
        amounts(true) * held.min(1.0),
        amounts(false) * held.min(1.0),
    )
}

fn interaction_deviation(
    chemistry: &Chemistry,
    system: &System,
    place: usize,
    (cations, anions): (f64, f64),
) -> f64 {
    let charge = system.species[place].charge;
    if charge == 0.0 {
        // Salting out of molecules: about 0.1 in log10 γ per mol/kg, left out of the model.
        return 0.05 * cations.min(anions);
    }
    let listed = system
        .pairs
        .iter()
        .any(|pair| pair.cation == place || pair.anion == place);
    let deviation = if listed {
        chemistry.interactions.listed_uncertainty
    } else {
        chemistry.interactions.unlisted.uncertainty
    };
    deviation * if charge > 0.0 { anions } else { cations }
}

/// Sum of squares over what may be missing of each chemical.
fn purity(chemistry: &Chemistry, bath: &Bath, system: &System, state: &State) -> f64 {
    let mut sum = 0.0;
    for content in &bath.contents {
        let Some(solute) = chemistry.dissolution.solute(&content.solute) else {
            continue;
        };
        let molality = content.moles / bath.water_kg.max(1e-9);
        let charge: f64 = solute
            .gives
            .iter()
            .map(|(index, count)| count * mean_charge(system, state, *index))
            .sum();
        let off = charge * molality * chemistry.dissolution.impurity;
        sum += off * off;
    }
    sum
}

fn mean_charge(system: &System, state: &State, component: usize) -> f64 {
    let Some(group) = system
        .groups
        .iter()
        .find(|group| group.component == component)
    else {
        return 0.0;
    };
    let places = group.forms.0..group.forms.1;
    places
        .map(|place| system.species[place].charge * state.molality[place])
        .sum::<f64>()
        / group.total
}

fn unknown(chemistry: &Chemistry, bath: &Bath) -> f64 {
    let shift = |content: &crate::chemistry::bath::Content| {
        let solute = chemistry.dissolution.solute(&content.solute)?;
        solute.unknown.as_ref()?;
        Some(solute.could_shift * content.solute_grams)
    };
    bath.contents.iter().filter_map(shift).sum::<f64>() / bath.water_kg.max(1e-9)
}

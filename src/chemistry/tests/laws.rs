//! Laws any mixture has to obey.

use proptest::prelude::*;

use super::chemistry;
use crate::chemistry::{Bath, Chemistry, State, System};

/// Up to 12 components over 14 decades of amount, and a temperature.
fn mixtures() -> impl Strategy<Value = (Vec<(usize, f64)>, f64)> {
    let count = chemistry().components().iter().count();
    let part =
        (0..count, -13.0..1.0_f64).prop_map(|(index, power)| (index, libm::pow(10.0, power)));
    (prop::collection::vec(part, 0..12), 0.0..80.0_f64)
}

fn bath(amounts: Vec<(usize, f64)>, celsius: f64) -> Bath {
    Bath {
        water_kg: 1.0,
        mass_kg: 1.0,
        celsius,
        contents: Vec::new(),
        amounts,
    }
}

fn solved(chemistry: &Chemistry, amounts: &[(usize, f64)], celsius: f64) -> (System, State) {
    let system = chemistry.system(&bath(amounts.to_vec(), celsius));
    let state = system.solve();
    (system, state)
}

fn ph(chemistry: &Chemistry, amounts: &[(usize, f64)], celsius: f64) -> f64 {
    -solved(chemistry, amounts, celsius).1.ln_hydrogen / core::f64::consts::LN_10
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn charge_and_mass_balance((amounts, celsius) in mixtures()) {
        let chemistry = chemistry();
        let (system, state) = solved(chemistry, &amounts, celsius);
        let (mut net, mut all) = (0.0, 0.0);
        for (species, amount) in system.species.iter().zip(&state.molality) {
            prop_assert!(amount.is_finite() && *amount >= 0.0);
            net += species.charge * amount;
            all += species.charge.abs() * amount;
        }
        prop_assert!(net.abs() <= 1e-9 * all, "charge {net} of {all}");
        for group in &system.groups {
            let places = group.forms.0..group.forms.1;
            let sum: f64 = places.map(|place| system.species[place].units * state.molality[place]).sum();
            prop_assert!((sum - group.total).abs() <= 1e-9 * group.total, "mass {sum} of {}", group.total);
        }
        prop_assert!(state.unsettled < 0.5, "activity coefficients off by {}", state.unsettled);
    }

    #[test]
    fn order_does_not_matter((amounts, celsius) in mixtures()) {
        let chemistry = chemistry();
        let mut turned = amounts.clone();
        turned.reverse();
        prop_assert_eq!(ph(chemistry, &amounts, celsius).to_bits(), ph(chemistry, &turned, celsius).to_bits());
    }

    #[test]
    fn strong_acid_never_raises_ph((amounts, celsius) in mixtures(), power in -8.0..-0.3_f64) {
        let chemistry = chemistry();
        let chloride = chemistry.components().index("chloride").unwrap();
        let mut more = amounts.clone();
        more.push((chloride, libm::pow(10.0, power)));
        let strength = solved(chemistry, &more, celsius).1.ionic_strength;
        prop_assume!(strength < 3.0);
        let (before, after) = (ph(chemistry, &amounts, celsius), ph(chemistry, &more, celsius));
        prop_assert!(after <= before + 1e-6, "{before} to {after}");
    }

    #[test]
    fn dilution_goes_to_neutral((amounts, celsius) in mixtures()) {
        let chemistry = chemistry();
        let thin: Vec<(usize, f64)> = amounts.iter().map(|(index, amount)| (*index, amount * 1e-12)).collect();
        let neutral = ph(chemistry, &[], celsius);
        prop_assert!((ph(chemistry, &thin, celsius) - neutral).abs() < 0.01);
    }

    #[test]
    fn one_acid_or_base_goes_steadily_to_neutral(index in 0..60_usize, power in -6.0..-1.0_f64) {
        let chemistry = chemistry();
        prop_assume!(chemistry.components().get(index).is_some());
        let neutral = ph(chemistry, &[], 25.0);
        let strong = ph(chemistry, &[(index, libm::pow(10.0, power))], 25.0) - neutral;
        let weak = ph(chemistry, &[(index, libm::pow(10.0, power - 0.5))], 25.0) - neutral;
        // An ampholyte alone stands at its isoelectric point, which moves a little with the strength.
        let charges: Vec<f64> = chemistry.components().get(index).unwrap().forms.iter().map(|form| form.charge).collect();
        let ampholyte = charges.iter().any(|charge| *charge < 0.0) && charges.iter().any(|charge| *charge > 0.0);
        let slack = if ampholyte { 0.02 } else { 1e-6 };
        prop_assert!(weak.abs() <= strong.abs() + slack, "{strong} to {weak}");
    }

    #[test]
    fn nothing_panics_and_bounds_hold_the_value((amounts, celsius) in mixtures(), factor in -20.0..20.0_f64) {
        let chemistry = chemistry();
        let mut solution = bath(amounts, celsius).scaled(libm::pow(10.0, factor));
        solution.water_kg = 1.0;
        let equilibrium = chemistry.equilibrium(&solution);
        if let Some((low, value, high)) = equilibrium.ph.bounds() {
            prop_assert!(low <= value && value <= high);
        }
        prop_assert!(chemistry.density(&solution).value > 0.0);
        let _ = (chemistry.gases(&solution, &equilibrium.ph), chemistry.solubility(&solution, celsius));
        solution.water_kg = 0.0;
        prop_assert!(chemistry.equilibrium(&solution).ph.value().is_none());
    }
}

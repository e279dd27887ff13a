//! The fast way to the solution of a [`System`]: Newton steps on two unknowns at once, ln a(H⁺)
//! and the Debye–Hückel term that all ions share.
//!
//! An ion's γ follows from its charge by multiplication, once its ε terms are known. Most of these
//! are due to ions whose amounts do not hang on the pH, so that they are taken once; what is not is
//! taken from the amounts of the round before.

use libm::{exp, fabs};

use crate::chemistry::activity::{debye_change, debye_term, held_share, water_activity};
use crate::chemistry::component::GREATEST_CHARGE;
use crate::chemistry::solve::{RANGE, SETTLED, State};
use crate::chemistry::spread::Charges;
use crate::chemistry::system::{HYDROGEN, HYDROXIDE, Species, System};

/// Rounds after which another way is tried.
const ROUNDS: usize = 30;
/// A step no longer than this leaves an error of about its square.
const CLOSE: f64 = 1e-4;
/// The last step in ln a(H⁺). Amounts stay those before it, so that charges balance to this times
/// the greatest charge of an ion: to a billionth of all charge.
const LAST_STEP: f64 = 1e-10;
/// Where charges alone would move ln a(H⁺) further than this, they alone decide.
const FAR: f64 = 2.0;

/// What is known of activities besides the Debye–Hückel term.
struct Others {
    ions: Vec<Ion>,
    /// Share of the ε terms that counts.
    held: f64,
    /// Water activity.
    water: f64,
}

#[derive(Clone, Copy)]
struct Ion {
    /// Σ ε m ln 10 of the amounts last seen.
    interaction: f64,
    /// The same of the amounts before.
    before: f64,
    /// Formation constant × exp(−interaction).
    constant: f64,
}

impl System {
    /// Solves the system from a first look at the amounts. False where the steps do not close in;
    /// the state then holds what to go on from.
    pub(super) fn approach(&self, state: &mut State) -> bool {
        let mut others = Others::none(self);
        let strength = self.strength(&state.molality);
        let mut debye = debye_term(self.slope, strength);
        let mut closed = false;
        others.renew(self, &state.molality, strength, 0.0);
        for _ in 0..ROUNDS {
            self.weigh(state, debye, &others);
            let charges = self.spread(state, (0.0, 0.0));
            let (step, next) = self.joint_step(&charges, debye);
            let moved = fabs(step).max(fabs(next - debye));
            state.ln_hydrogen = (state.ln_hydrogen + step).clamp(RANGE.0, RANGE.1);
            debye = next;
            let strength = charges.strength().value;
            let changed = others.renew(self, &state.molality, strength, charges.matter);
            closed = moved < CLOSE && changed < SETTLED;
            if closed {
                break;
            }
        }
        self.weigh(state, debye, &others);
        if closed {
            self.balance(state, (0.0, 0.0), LAST_STEP);
        }
        let of_amounts = self.activity(&state.molality, &mut state.ln_gamma);
        (state.ln_water, state.ionic_strength) = of_amounts;
        closed
    }

    /// By how much ln a(H⁺) moves, and the next Debye–Hückel term.
    fn joint_step(&self, charges: &Charges, debye: f64) -> (f64, f64) {
        let (charge, strength) = (charges.logarithm(), charges.strength());
        let proper = debye_term(self.slope, strength.value);
        let alone = charges.newton_step(charge);
        if fabs(alone) > FAR {
            return (alone, proper);
        }
        // Newton in two unknowns: charges balance, and the term is that of the amounts.
        let slope = debye_change(self.slope, strength.value);
        let (missed, by_hydrogen) = (debye - proper, -slope * strength.by_hydrogen);
        let by_debye = 1.0 - slope * strength.by_debye;
        let determinant = charge.by_hydrogen * by_debye - charge.by_debye * by_hydrogen;
        let step = (charge.by_debye * missed - charge.value * by_debye) / determinant;
        let next = debye + (by_hydrogen * charge.value - charge.by_hydrogen * missed) / determinant;
        let sound = determinant > 0.0 && fabs(step) <= FAR && next >= 0.0 && next <= self.slope;
        if sound { (step, next) } else { (alone, proper) }
    }

    /// Formation constants over activity coefficients, of all ions that take part.
    fn weigh(&self, state: &mut State, debye: f64, others: &Others) {
        let by_charge = powers(exp(debye));
        state.weight[HYDROGEN] = others.ions[HYDROGEN].constant * by_charge[1];
        state.weight[HYDROXIDE] = others.ions[HYDROXIDE].constant * by_charge[1] * others.water;
        for group in self.groups.iter().filter(|group| !group.is_fixed()) {
            let places = group.forms.0..group.forms.1;
            if group.clusters {
                for place in places {
                    let charge = self.species[place].charge;
                    state.ln_gamma[place] =
                        others.ions[place].interaction - charge * charge * debye;
                }
                continue;
            }
            let ions = &others.ions[places.clone()];
            let charges = self.species[group.forms.0].charge as isize..;
            for ((weight, ion), charge) in state.weight[places].iter_mut().zip(ions).zip(charges) {
                *weight = ion.constant * by_charge[charge.unsigned_abs()];
            }
        }
    }
}

impl Others {
    /// No ε terms, and pure water.
    fn none(system: &System) -> Self {
        let ion = |species: &Species| Ion {
            interaction: 0.0,
            before: 0.0,
            constant: species.formation,
        };
        Self {
            ions: system.species.iter().map(ion).collect(),
            held: 0.0,
            water: 1.0,
        }
    }

    /// For the amounts given; says by how much the greatest ε term, or the water activity, has
    /// changed.
    fn renew(&mut self, system: &System, molality: &[f64], strength: f64, matter: f64) -> f64 {
        let water = water_activity(matter);
        let changed = fabs(water - self.water) / water;
        self.water = water;
        let held = held_share(strength);
        if held == self.held && !system.moving_pairs {
            return changed;
        }
        self.held = held;
        changed.max(self.interact(system, molality))
    }

    fn interact(&mut self, system: &System, molality: &[f64]) -> f64 {
        for ion in &mut self.ions {
            (ion.before, ion.interaction) = (ion.interaction, 0.0);
        }
        for pair in &system.pairs {
            let epsilon = self.held * pair.epsilon;
            self.ions[pair.cation].interaction += epsilon * molality[pair.anion];
            self.ions[pair.anion].interaction += epsilon * molality[pair.cation];
        }
        let mut changed = 0.0_f64;
        for (ion, species) in self.ions.iter_mut().zip(&system.species) {
            // Where nothing has changed, an exponential is saved.
            if ion.interaction != ion.before {
                changed = changed.max(fabs(ion.interaction - ion.before));
                ion.constant = species.formation * exp(-ion.interaction);
            }
        }
        changed
    }
}

/// base to the power z², for each charge z from 0.
fn powers(base: f64) -> [f64; GREATEST_CHARGE + 1] {
    let mut powers = [1.0; GREATEST_CHARGE + 1];
    let (mut power, mut odd) = (1.0, base);
    for value in &mut powers[1..] {
        power *= odd;
        odd *= base * base;
        *value = power;
    }
    powers
}

//! Solves a [`System`]: the hydrogen-ion activity at which charges balance.
//!
//! With activity coefficients held, each component's share in its forms follows from the
//! hydrogen-ion activity alone, and the sum of all charges rises with it without exception
//! (its slope is a sum of variances). So there is one root, a bracket around it always closes,
//! and Newton steps on ln(positive charge) − ln(negative charge) find it in a few rounds.
//! The coefficients hang on the amounts by way of the Debye–Hückel term above all, so that term
//! is a second unknown of the Newton steps ([`joint`](super::joint)); if that does not close in,
//! coefficients are averaged between full solutions ([`Settling`]). Balances close in either case,
//! for the coefficients stated.

use libm::{exp, fabs, log};

use crate::chemistry::settle::Settling;
use crate::chemistry::system::{Group, HYDROGEN, HYDROXIDE, System};

/// ln of the hydrogen-ion activity is sought between these: pH 26 to −9.
pub(super) const RANGE: (f64, f64) = (-60.0, 20.0);
/// Rounds of averaging between full solutions.
const CAREFUL_ROUNDS: usize = 400;
/// Change of ln γ and of ln a(H⁺) at which a solution counts as settled.
pub(super) const SETTLED: f64 = 1e-9;
/// Share of all charge that may stay unbalanced.
const BALANCED: f64 = 1e-13;
/// A first guess: with more cations than anions of no acid (or the reverse), the pH lies on this
/// side of neutral by so much, in ln a(H⁺).
const FIRST_GUESS: f64 = 6.0;

/// The solution of a [`System`].
#[derive(Debug, Clone)]
pub struct State {
    /// ln of the hydrogen-ion activity.
    pub ln_hydrogen: f64,
    /// Amount of each form, mol/kg water.
    pub molality: Vec<f64>,
    /// ln of each form's activity coefficient.
    pub ln_gamma: Vec<f64>,
    /// ln of the water activity.
    pub ln_water: f64,
    /// Ionic strength, mol/kg.
    pub ionic_strength: f64,
    /// By how much the activity coefficients used (ln γ) still differ from those that the
    /// solution would have; zero but for the strangest mixtures.
    pub unsettled: f64,
    /// Formation constants over activity coefficients.
    pub(super) weight: Vec<f64>,
    /// The free bases of the groups with clusters, in their order.
    pub(super) free: Vec<Free>,
}

/// The free base of a component with clusters.
#[derive(Debug, Clone, Copy)]
pub(super) struct Free {
    /// ln of its activity as last found, mol/kg.
    pub ln: f64,
    /// ln of the component's total.
    pub ln_total: f64,
    /// ln of the hydrogen-ion activity it was found at.
    pub ln_hydrogen: f64,
    /// How it changes with that.
    pub slope: f64,
}

impl Free {
    /// What to begin with at another hydrogen-ion activity.
    pub fn guess(&self, ln_hydrogen: f64) -> f64 {
        self.ln + self.slope * (ln_hydrogen - self.ln_hydrogen)
    }
}

impl System {
    /// The equilibrium of the system.
    pub fn solve(&self) -> State {
        let mut state = self.start();
        if !self.approach(&mut state) {
            self.settle_carefully(&mut state);
        }
        state
    }

    /// The same activity coefficients with so much more positive and negative charge (mol/kg) of
    /// ions that take no part: the hydrogen-ion activity of a bath that is a little different.
    pub fn solve_shifted(&self, state: &State, shift: (f64, f64)) -> f64 {
        let mut shifted = state.clone();
        self.balance(&mut shifted, shift, 0.0);
        shifted.ln_hydrogen
    }

    /// Positive less negative charge of all components at a given pH and the activity
    /// coefficients of a state: the alkali (+: acid) it would take to bring the bath there.
    pub fn charge_at(&self, state: &State, ph: f64) -> f64 {
        let mut moved = state.clone();
        moved.ln_hydrogen = (-ph * core::f64::consts::LN_10).clamp(RANGE.0, RANGE.1);
        self.spread(&mut moved, (0.0, 0.0)).excess()
    }

    /// Charge it takes to move ln a(H⁺) by one, mol/kg, at the activity coefficients of a state.
    pub(super) fn buffering(&self, state: &State) -> f64 {
        self.spread(&mut state.clone(), (0.0, 0.0)).buffering()
    }

    /// All matter in the middle one of its forms, for a first look at the ionic strength.
    fn start(&self) -> State {
        let mut state = State {
            ln_hydrogen: self.ln_kw / 2.0 - FIRST_GUESS * self.lean(),
            molality: vec![0.0; self.len()],
            ln_gamma: vec![0.0; self.len()],
            ln_water: 0.0,
            ionic_strength: 0.0,
            unsettled: 0.0,
            weight: vec![1.0; self.len()],
            free: Vec::new(),
        };
        let with_clusters = self.groups.iter().filter(|group| group.clusters);
        state.free.extend(with_clusters.map(|group| {
            let ln_total = log(group.total);
            Free {
                ln: ln_total,
                ln_total,
                ln_hydrogen: state.ln_hydrogen,
                slope: 0.0,
            }
        }));
        for group in &self.groups {
            let middle = (group.forms.0 + group.forms.1 - 1) / 2;
            state.molality[middle] = group.total / self.species[middle].units;
        }
        state
    }

    /// Which side of neutral to look at first, −1 to 1: ions that take no part have to be
    /// balanced by ions of acids or bases.
    fn lean(&self) -> f64 {
        let (positive, negative) = self.fixed;
        if positive + negative > 0.0 {
            (positive - negative) / (positive + negative)
        } else {
            0.0
        }
    }

    /// Averages activity coefficients between full solutions, ever more slowly.
    fn settle_carefully(&self, state: &mut State) {
        let mut settling = Settling::new(self.len());
        self.renew_weights(state);
        self.balance(state, (0.0, 0.0), 0.0);
        for round in 0..CAREFUL_ROUNDS {
            let share = 0.5 / (1.0 + 0.1 * round as f64);
            let changed = settling.average(self, state, share);
            self.balance(state, (0.0, 0.0), 0.0);
            if changed < SETTLED {
                break;
            }
        }
        state.unsettled = settling.change(self, state);
    }

    /// Brings charges into balance with the activity coefficients held. Always ends: a step that
    /// leaves the bracket, or does not shrink it, is replaced by halving. A Newton step of
    /// `enough` or less is the last.
    pub(super) fn balance(&self, state: &mut State, shift: (f64, f64), enough: f64) {
        let (mut low, mut high) = RANGE;
        let mut last_width = high - low;
        for round in 0..200 {
            let charges = self.spread(state, shift);
            if charges.unbalanced() < BALANCED {
                return;
            }
            if charges.excess() > 0.0 {
                high = state.ln_hydrogen;
            } else {
                low = state.ln_hydrogen;
            }
            let step = charges.newton_step(charges.logarithm());
            let mut next = state.ln_hydrogen + step;
            let slow = round % 4 == 3 && high - low > 0.5 * last_width;
            if !(next > low && next < high) || slow {
                next = 0.5 * (low + high);
            }
            if round % 4 == 3 {
                last_width = high - low;
            }
            if next == state.ln_hydrogen || high - low < 1e-14 {
                return;
            }
            state.ln_hydrogen = next;
            if fabs(step) <= enough {
                return;
            }
        }
    }

    /// Formation constants over the activity coefficients of a state.
    pub(super) fn renew_weights(&self, state: &mut State) {
        state.weight[HYDROGEN] = exp(-state.ln_gamma[HYDROGEN]);
        state.weight[HYDROXIDE] = exp(self.ln_kw + state.ln_water - state.ln_gamma[HYDROXIDE]);
        let simple = |group: &&Group| !group.clusters && !group.is_fixed();
        for group in self.groups.iter().filter(simple) {
            for place in group.forms.0..group.forms.1 {
                state.weight[place] = exp(self.species[place].ln_formation - state.ln_gamma[place]);
            }
        }
    }
}

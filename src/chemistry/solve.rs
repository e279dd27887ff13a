//! Solves a [`System`]: the hydrogen-ion activity at which charges balance.
//!
//! With activity coefficients held, each component's share in its forms follows from the
//! hydrogen-ion activity alone, and the sum of all charges rises with it without exception
//! (its slope is a sum of variances). So there is one root, a bracket around it always closes,
//! and Newton steps on ln(positive charge) − ln(negative charge) find it in a few rounds.
//! Activity coefficients are renewed after each round; if that does not settle, they are
//! averaged between full solutions. Balances close in either case, for the coefficients stated.

use libm::{exp, fabs, log};

use crate::chemistry::system::{Group, HYDROGEN, HYDROXIDE, System};

/// ln of the hydrogen-ion activity is sought between these: pH 26 to −9.
const RANGE: (f64, f64) = (-60.0, 20.0);
/// Rounds of balancing with the coefficients of the round before.
const FAST_ROUNDS: usize = 40;
/// Rounds of averaging afterwards.
const CAREFUL_ROUNDS: usize = 200;
/// Change of ln γ and of ln a(H⁺) at which a solution counts as settled.
const SETTLED: f64 = 1e-10;
/// Share of all charge that may stay unbalanced.
const BALANCED: f64 = 1e-13;

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
    free: Vec<f64>,
}

/// Sums over one set of amounts.
#[derive(Debug, Clone, Copy, Default)]
struct Charges {
    positive: f64,
    negative: f64,
    /// Changes with ln a(H⁺).
    positive_slope: f64,
    negative_slope: f64,
}

impl Charges {
    fn excess(&self) -> f64 {
        log(self.positive) - log(self.negative)
    }

    fn unbalanced(&self) -> f64 {
        fabs(self.positive - self.negative) / (self.positive + self.negative)
    }

    fn slope(&self) -> f64 {
        self.positive_slope / self.positive - self.negative_slope / self.negative
    }

    fn count(&mut self, charge: f64, amount: f64, change: f64) {
        if charge > 0.0 {
            self.positive += charge * amount;
            self.positive_slope += charge * change;
        } else {
            self.negative -= charge * amount;
            self.negative_slope -= charge * change;
        }
    }
}

impl System {
    /// The equilibrium of the system.
    pub fn solve(&self) -> State {
        let mut state = self.start();
        let mut changed = 1.0;
        for _ in 0..FAST_ROUNDS {
            // No closer than the activity coefficients are known by now.
            self.balance(&mut state, (0.0, 0.0), 0.03 * changed);
            changed = self.renew_activity(&mut state, 1.0);
            if changed < SETTLED {
                break;
            }
        }
        self.balance(&mut state, (0.0, 0.0), 0.0);
        if self.activity_change(&state) > 1e-8 {
            self.settle_carefully(&mut state);
        }
        state.unsettled = self.activity_change(&state);
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
        let charges = self.spread(&mut moved, (0.0, 0.0));
        charges.positive - charges.negative
    }

    fn start(&self) -> State {
        State {
            ln_hydrogen: self.ln_kw / 2.0,
            molality: vec![0.0; self.len()],
            ln_gamma: vec![0.0; self.len()],
            ln_water: 0.0,
            ionic_strength: 0.0,
            unsettled: 0.0,
            free: self.groups.iter().map(|group| log(group.total)).collect(),
        }
    }

    /// Averages activity coefficients between full solutions, ever more slowly.
    fn settle_carefully(&self, state: &mut State) {
        for round in 0..CAREFUL_ROUNDS {
            let share = 0.5 / (1.0 + 0.1 * round as f64);
            let changed = self.renew_activity(state, share);
            self.balance(state, (0.0, 0.0), 0.0);
            if changed < SETTLED {
                break;
            }
        }
    }

    /// Brings charges into balance with the activity coefficients held. Always ends: a step that
    /// leaves the bracket, or does not shrink it, is replaced by halving. A Newton step of
    /// `enough` or less is the last.
    fn balance(&self, state: &mut State, shift: (f64, f64), enough: f64) {
        let (mut low, mut high) = RANGE;
        let mut last_width = high - low;
        for round in 0..200 {
            let charges = self.spread(state, shift);
            if charges.unbalanced() < BALANCED {
                return;
            }
            if charges.positive > charges.negative {
                high = state.ln_hydrogen;
            } else {
                low = state.ln_hydrogen;
            }
            let step = newton_step(&charges);
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

    /// Spreads every component over its forms at the hydrogen-ion activity and activity
    /// coefficients of the state.
    fn spread(&self, state: &mut State, shift: (f64, f64)) -> Charges {
        let hydrogen = exp(state.ln_hydrogen - state.ln_gamma[HYDROGEN]);
        let hydroxide =
            exp(self.ln_kw + state.ln_water - state.ln_hydrogen - state.ln_gamma[HYDROXIDE]);
        state.molality[HYDROGEN] = hydrogen;
        state.molality[HYDROXIDE] = hydroxide;
        let mut charges = Charges {
            positive: hydrogen + shift.0,
            negative: hydroxide + shift.1,
            positive_slope: hydrogen,
            negative_slope: -hydroxide,
        };
        for (at, group) in self.groups.iter().enumerate() {
            if group.forms.1 - group.forms.0 == 1 {
                let place = group.forms.0;
                state.molality[place] = group.total;
                charges.count(self.charge[place], group.total, 0.0);
            } else {
                self.spread_group(at, group, state, &mut charges);
            }
        }
        charges
    }

    fn spread_group(&self, at: usize, group: &Group, state: &mut State, charges: &mut Charges) {
        let (first, end) = group.forms;
        for place in first..end {
            state.molality[place] = self.ln_formation[place]
                + self.protons[place] * state.ln_hydrogen
                - state.ln_gamma[place];
        }
        if group.clusters {
            self.share_with_clusters(at, group, state);
        } else {
            share_simply(group.total, &mut state.molality[first..end]);
        }
        let (mut bound, mut size) = (0.0, 0.0);
        for place in first..end {
            let amount = self.units[place] * state.molality[place];
            bound += amount * self.protons[place];
            size += amount * self.units[place];
        }
        let free_slope = -bound / size;
        for place in first..end {
            let amount = state.molality[place];
            let change = amount * (self.protons[place] + self.units[place] * free_slope);
            charges.count(self.charge[place], amount, change);
        }
    }

    /// ln amounts per unit of free base come in, amounts go out. The mass balance is convex and
    /// rising in the ln of the free base, so Newton steps cannot cycle.
    fn share_with_clusters(&self, at: usize, group: &Group, state: &mut State) {
        let (first, end) = group.forms;
        let ln_total = log(group.total);
        let mut free = state.free[at];
        for _ in 0..100 {
            let greatest = (first..end)
                .map(|place| state.molality[place] + self.units[place] * free)
                .fold(f64::NEG_INFINITY, f64::max);
            let (mut sum, mut slope) = (0.0, 0.0);
            for place in first..end {
                let units = self.units[place];
                let amount = units * exp(state.molality[place] + units * free - greatest);
                sum += amount;
                slope += units * amount;
            }
            let step = (ln_total - greatest - log(sum)) * sum / slope;
            free += step;
            if fabs(step) < 1e-14 * (1.0 + fabs(free)) {
                break;
            }
        }
        state.free[at] = free;
        for place in first..end {
            state.molality[place] = exp(state.molality[place] + self.units[place] * free);
        }
    }

    /// Moves ln γ by a share of the way to the values of the present amounts; gives the greatest
    /// distance there was.
    fn renew_activity(&self, state: &mut State, share: f64) -> f64 {
        let (ln_gamma, ln_water, strength) = self.activity(&state.molality);
        let mut greatest = fabs(ln_water - state.ln_water);
        for (old, new) in state.ln_gamma.iter_mut().zip(ln_gamma) {
            let distance = new - *old;
            greatest = greatest.max(fabs(distance));
            *old += share * distance;
        }
        state.ln_water += share * (ln_water - state.ln_water);
        state.ionic_strength = strength;
        greatest
    }

    fn activity_change(&self, state: &State) -> f64 {
        let (ln_gamma, _, _) = self.activity(&state.molality);
        let distances = ln_gamma
            .iter()
            .zip(&state.ln_gamma)
            .map(|(new, old)| fabs(new - old));
        distances.fold(0.0, f64::max)
    }
}

/// ln amounts relative to each other come in, amounts that add up to the total go out.
fn share_simply(total: f64, amounts: &mut [f64]) {
    let greatest = amounts.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut sum = 0.0;
    for amount in amounts.iter_mut() {
        *amount = exp(*amount - greatest);
        sum += *amount;
    }
    let scale = total / sum;
    for amount in amounts.iter_mut() {
        *amount *= scale;
    }
}

fn newton_step(charges: &Charges) -> f64 {
    let slope = charges.slope();
    let step = -charges.excess() / slope;
    if slope > 0.0 && step.is_finite() {
        step.clamp(-12.0, 12.0)
    } else if charges.positive > charges.negative {
        -2.0
    } else {
        2.0
    }
}

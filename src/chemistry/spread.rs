//! Spreads components over their forms at a given hydrogen-ion activity.

use libm::{exp, fabs, log};

use crate::chemistry::solve::State;
use crate::chemistry::system::{Group, HYDROGEN, HYDROXIDE, System};

/// Sums over one set of amounts.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Charges {
    pub positive: f64,
    pub negative: f64,
    /// Changes with ln a(H⁺).
    positive_slope: f64,
    negative_slope: f64,
}

impl Charges {
    fn excess(&self) -> f64 {
        log(self.positive / self.negative)
    }

    /// Share of all charge that is not balanced.
    pub fn unbalanced(&self) -> f64 {
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

    /// A Newton step of ln a(H⁺) on ln(positive) − ln(negative), or a plain one where the slope is no guide.
    pub fn newton_step(&self) -> f64 {
        let slope = self.slope();
        let step = -self.excess() / slope;
        if slope > 0.0 && step.is_finite() {
            step.clamp(-5.0, 5.0)
        } else if self.positive > self.negative {
            -2.0
        } else {
            2.0
        }
    }
}

impl System {
    /// Spreads every component over its forms at the hydrogen-ion activity and activity
    /// coefficients of the state.
    pub(super) fn spread(&self, state: &mut State, shift: (f64, f64)) -> Charges {
        let activity = exp(state.ln_hydrogen);
        let hydrogen = activity * state.weight[HYDROGEN];
        let hydroxide = state.weight[HYDROXIDE] / activity;
        state.molality[HYDROGEN] = hydrogen;
        state.molality[HYDROXIDE] = hydroxide;
        let mut charges = Charges {
            positive: hydrogen + shift.0 + self.fixed.0,
            negative: hydroxide + shift.1 + self.fixed.1,
            positive_slope: hydrogen,
            negative_slope: -hydroxide,
        };
        for (at, group) in self.groups.iter().enumerate() {
            if group.is_fixed() {
                state.molality[group.forms.0] = group.total;
            } else if group.clusters {
                self.spread_with_clusters(at, group, state, &mut charges);
            } else {
                self.spread_simply(group, activity, state, &mut charges);
            }
        }
        charges
    }

    /// Each form binds one proton more than the one before it, so a power of the hydrogen-ion
    /// activity grows along. Nothing overflows: ln a(H⁺) lies within the range of the solver.
    fn spread_simply(
        &self,
        group: &Group,
        activity: f64,
        state: &mut State,
        charges: &mut Charges,
    ) {
        let forms = group.forms.0..group.forms.1;
        let weights = &state.weight[forms.clone()];
        let amounts = &mut state.molality[forms.clone()];
        let (mut sum, mut bound, mut power, mut protons) = (0.0, 0.0, 1.0, 0.0);
        for (amount, weight) in amounts.iter_mut().zip(weights) {
            *amount = weight * power;
            sum += *amount;
            bound += protons * *amount;
            power *= activity;
            protons += 1.0;
        }
        let (scale, mean) = (group.total / sum, bound / sum);
        let mut beyond = -mean;
        for (amount, charge) in amounts.iter_mut().zip(&self.charge[forms]) {
            *amount *= scale;
            charges.count(*charge, *amount, *amount * beyond);
            beyond += 1.0;
        }
    }

    fn spread_with_clusters(
        &self,
        at: usize,
        group: &Group,
        state: &mut State,
        charges: &mut Charges,
    ) {
        self.share_with_clusters(at, group, state);
        let (first, end) = group.forms;
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

    /// Where several units can join. The mass balance is convex and rising in the ln of the free
    /// base, so Newton steps cannot cycle.
    fn share_with_clusters(&self, at: usize, group: &Group, state: &mut State) {
        let (first, end) = group.forms;
        for place in first..end {
            state.molality[place] = self.ln_formation[place]
                + self.protons[place] * state.ln_hydrogen
                - state.ln_gamma[place];
        }
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
}

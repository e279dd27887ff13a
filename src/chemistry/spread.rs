//! Spreads components over their forms at a given hydrogen-ion activity.

use libm::{exp, fabs, log};

use crate::chemistry::solve::State;
use crate::chemistry::system::{Group, HYDROGEN, HYDROXIDE, System};

/// An amount or a sum of amounts, and how it changes with ln a(H⁺) and with the Debye–Hückel term.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Sum {
    pub value: f64,
    pub by_hydrogen: f64,
    pub by_debye: f64,
}

impl Sum {
    fn add(&mut self, factor: f64, amount: Self) {
        self.value += factor * amount.value;
        self.by_hydrogen += factor * amount.by_hydrogen;
        self.by_debye += factor * amount.by_debye;
    }
}

/// Sums over one set of amounts.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Charges {
    positive: Sum,
    negative: Sum,
    /// Amounts times charges squared.
    square: Sum,
    /// All amounts, mol/kg.
    pub matter: f64,
}

impl Charges {
    fn count(&mut self, charge: f64, amount: Sum) {
        self.matter += amount.value;
        self.positive.add(charge.max(0.0), amount);
        self.negative.add((-charge).max(0.0), amount);
        self.square.add(charge * charge, amount);
    }

    /// Positive less negative charge.
    pub fn excess(&self) -> f64 {
        self.positive.value - self.negative.value
    }

    /// Share of all charge that is not balanced.
    pub fn unbalanced(&self) -> f64 {
        fabs(self.excess()) / (self.positive.value + self.negative.value)
    }

    /// Change of the sum of charges with ln a(H⁺).
    pub fn buffering(&self) -> f64 {
        self.positive.by_hydrogen - self.negative.by_hydrogen
    }

    /// The ionic strength.
    pub fn strength(&self) -> Sum {
        let mut strength = Sum::default();
        strength.add(0.5, self.square);
        strength
    }

    /// ln of positive over negative charge.
    pub fn logarithm(&self) -> Sum {
        let (positive, negative) = (&self.positive, &self.negative);
        let (above, below) = (1.0 / positive.value, 1.0 / negative.value);
        Sum {
            value: log(positive.value * below),
            by_hydrogen: positive.by_hydrogen * above - negative.by_hydrogen * below,
            by_debye: positive.by_debye * above - negative.by_debye * below,
        }
    }

    /// A Newton step of ln a(H⁺) on the [`Self::logarithm`], or a plain one where the slope is no guide.
    pub fn newton_step(&self, charge: Sum) -> f64 {
        let step = -charge.value / charge.by_hydrogen;
        if charge.by_hydrogen > 0.0 && step.is_finite() {
            step.clamp(-5.0, 5.0)
        } else if self.excess() > 0.0 {
            -2.0
        } else {
            2.0
        }
    }
}

/// Sums of amounts times powers of their charge, over the forms of one sign.
#[derive(Debug, Clone, Copy, Default)]
struct Moments {
    amount: f64,
    charge: f64,
    square: f64,
    cube: f64,
    fourth: f64,
}

impl Moments {
    fn count(&mut self, charge: f64, amount: f64) {
        let square = charge * charge;
        let first = charge * amount;
        self.amount += amount;
        self.charge += first;
        self.square += square * amount;
        self.cube += square * first;
        self.fourth += square * square * amount;
    }

    fn scaled(&self, scale: f64) -> Self {
        Self {
            amount: scale * self.amount,
            charge: scale * self.charge,
            square: scale * self.square,
            cube: scale * self.cube,
            fourth: scale * self.fourth,
        }
    }
}

impl Charges {
    /// Counts the forms of a component, given as shares of its total. At a fixed total, a form
    /// changes with ln a(H⁺) as its charge lies above the mean, and with the Debye–Hückel term as
    /// the square of it does.
    fn count_group(&mut self, negative: &Moments, positive: &Moments, total: f64) {
        self.matter += total;
        let charge = negative.charge + positive.charge;
        let square = negative.square + positive.square;
        let sum = |first: f64, second: f64, third: f64| Sum {
            value: first,
            by_hydrogen: second - charge * first,
            by_debye: third - square * first,
        };
        self.positive
            .add(total, sum(positive.charge, positive.square, positive.cube));
        self.negative
            .add(-total, sum(negative.charge, negative.square, negative.cube));
        let squares = sum(
            square,
            negative.cube + positive.cube,
            negative.fourth + positive.fourth,
        );
        self.square.add(total, squares);
    }
}

impl System {
    /// Spreads every component over its forms at the hydrogen-ion activity and activity
    /// coefficients of the state; `shift` is more positive and negative charge of ions that take
    /// no part.
    pub(super) fn spread(&self, state: &mut State, shift: (f64, f64)) -> Charges {
        let activity = exp(state.ln_hydrogen);
        let water = |value: f64, sign: f64| Sum {
            value,
            by_hydrogen: sign * value,
            by_debye: value,
        };
        let hydrogen = water(activity * state.weight[HYDROGEN], 1.0);
        let hydroxide = water(state.weight[HYDROXIDE] / activity, -1.0);
        state.molality[HYDROGEN] = hydrogen.value;
        state.molality[HYDROXIDE] = hydroxide.value;
        let mut charges = Charges::default();
        charges.positive.value = shift.0 + self.fixed.0;
        charges.negative.value = shift.1 + self.fixed.1;
        charges.square.value = self.fixed_square;
        charges.count(1.0, hydrogen);
        charges.count(-1.0, hydroxide);
        let mut with_clusters = 0;
        for group in &self.groups {
            if group.is_fixed() {
                state.molality[group.forms.0] = group.total;
                charges.matter += group.total;
            } else if group.clusters {
                self.spread_with_clusters(with_clusters, group, state, &mut charges);
                with_clusters += 1;
            } else {
                self.spread_simply(group, activity, state, &mut charges);
            }
        }
        charges
    }

    /// Each form binds one proton more than the one before it, so a power of the hydrogen-ion
    /// activity grows along, and the charge by one. Nothing overflows: ln a(H⁺) lies within the
    /// range of the solver.
    fn spread_simply(
        &self,
        group: &Group,
        activity: f64,
        state: &mut State,
        charges: &mut Charges,
    ) {
        let forms = group.forms.0..group.forms.1;
        let amounts = &mut state.molality[forms.clone()];
        let (mut negative, mut positive) = (Moments::default(), Moments::default());
        let (mut power, mut charge) = (1.0, self.species[group.forms.0].charge);
        for (amount, weight) in amounts.iter_mut().zip(&state.weight[forms]) {
            *amount = weight * power;
            let of_sign = if charge < 0.0 {
                &mut negative
            } else {
                &mut positive
            };
            of_sign.count(charge, *amount);
            power *= activity;
            charge += 1.0;
        }
        let one = 1.0 / (negative.amount + positive.amount);
        let scale = group.total * one;
        for amount in amounts {
            *amount *= scale;
        }
        charges.count_group(&negative.scaled(one), &positive.scaled(one), group.total);
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
        let (mut bound, mut square, mut size) = (0.0, 0.0, 0.0);
        for place in first..end {
            let form = &self.species[place];
            let amount = form.units * state.molality[place];
            bound += amount * form.protons;
            square += amount * form.charge * form.charge;
            size += amount * form.units;
        }
        let (by_hydrogen, by_debye) = (-bound / size, -square / size);
        state.free[at].slope = by_hydrogen;
        for place in first..end {
            let (value, form) = (state.molality[place], &self.species[place]);
            let sum = Sum {
                value,
                by_hydrogen: value * (form.protons + form.units * by_hydrogen),
                by_debye: value * (form.charge * form.charge + form.units * by_debye),
            };
            charges.count(form.charge, sum);
        }
    }

    /// Where several units can join. The mass balance is convex and rising in the ln of the free
    /// base, so Newton steps cannot cycle.
    fn share_with_clusters(&self, at: usize, group: &Group, state: &mut State) {
        let (first, end) = group.forms;
        let species = &self.species[first..end];
        let known = &mut state.free[at];
        let mut free = known.guess(state.ln_hydrogen);
        let amounts = &mut state.molality[first..end];
        for _ in 0..100 {
            // Amounts as shares of the greatest, so that nothing overflows on the way.
            let mut greatest = f64::NEG_INFINITY;
            let places = species.iter().zip(&state.ln_gamma[first..end]);
            for (amount, (form, ln_gamma)) in amounts.iter_mut().zip(places) {
                *amount = form.ln_formation + form.protons * state.ln_hydrogen - ln_gamma
                    + form.units * free;
                greatest = greatest.max(*amount);
            }
            let (mut sum, mut slope) = (0.0, 0.0);
            for (amount, form) in amounts.iter_mut().zip(species) {
                *amount = exp(*amount - greatest);
                sum += form.units * *amount;
                slope += form.units * form.units * *amount;
            }
            let step = (known.ln_total - greatest - log(sum)) * sum / slope;
            free += step;
            // Steps shrink to their square, so the next would be below what can be told.
            if fabs(step) < 1e-6 {
                let scale = exp(greatest);
                for (amount, form) in amounts.iter_mut().zip(species) {
                    *amount *= scale * (1.0 + form.units * step);
                }
                break;
            }
        }
        (known.ln, known.ln_hydrogen) = (free, state.ln_hydrogen);
    }
}

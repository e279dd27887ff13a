//! Renewing the activity coefficients between balances until they no longer change.

use libm::fabs;

use crate::chemistry::solve::State;
use crate::chemistry::system::System;

/// Steps on the way to activity coefficients that agree with the amounts they lead to.
///
/// Putting in what comes out converges, but slowly in strong baths. Each step therefore looks at
/// the last two and leaves out what both have in common (Anderson, J. ACM 12 (1965) 547, of
/// depth one).
pub(super) struct Settling {
    /// ln γ of the present amounts.
    fresh: Vec<f64>,
    /// ln γ put in, and how far off it was: of the step before.
    before: Vec<f64>,
    missed: Vec<f64>,
    /// The greatest of how far off it was.
    changed: f64,
}

impl Settling {
    /// For so many forms.
    pub fn new(count: usize) -> Self {
        Self {
            fresh: vec![0.0; count],
            before: vec![0.0; count],
            missed: vec![0.0; count],
            changed: f64::INFINITY,
        }
    }

    /// One step; gives how far off the greatest ln γ was.
    pub fn step(&mut self, system: &System, state: &mut State) -> f64 {
        let changed = self.look(system, state);
        // Only where the last step was one closer is it a guide.
        let share = if changed < self.changed && self.changed.is_finite() {
            self.common(state)
        } else {
            0.0
        };
        let old = self.before.iter_mut().zip(&mut self.missed);
        for ((ln_gamma, fresh), (before, missed)) in
            state.ln_gamma.iter_mut().zip(&self.fresh).zip(old)
        {
            let (input, off) = (*ln_gamma, fresh - *ln_gamma);
            *ln_gamma = fresh - share * (input - *before + off - *missed);
            (*before, *missed) = (input, off);
        }
        self.changed = changed;
        system.renew_weights(state);
        changed
    }

    /// A step of a share of the way; gives how far off the greatest ln γ was.
    pub fn average(&mut self, system: &System, state: &mut State, share: f64) -> f64 {
        let changed = self.look(system, state);
        for (ln_gamma, fresh) in state.ln_gamma.iter_mut().zip(&self.fresh) {
            *ln_gamma += share * (fresh - *ln_gamma);
        }
        system.renew_weights(state);
        changed
    }

    /// How far off the greatest ln γ is; nothing moves.
    pub fn change(&mut self, system: &System, state: &State) -> f64 {
        system.activity(&state.molality, &mut self.fresh);
        self.greatest(state)
    }

    fn look(&mut self, system: &System, state: &mut State) -> f64 {
        let (ln_water, strength) = system.activity(&state.molality, &mut self.fresh);
        let by_water = fabs(ln_water - state.ln_water);
        state.ln_water = ln_water;
        state.ionic_strength = strength;
        self.greatest(state).max(by_water)
    }

    fn greatest(&self, state: &State) -> f64 {
        let distances = self.fresh.iter().zip(&state.ln_gamma);
        distances.fold(0.0, |greatest, (new, old)| fabs(new - old).max(greatest))
    }

    /// The share of the last change to leave out: where what is off would be least on the line
    /// through both.
    fn common(&self, state: &State) -> f64 {
        let (mut along, mut square) = (0.0, 0.0);
        for ((fresh, ln_gamma), missed) in self.fresh.iter().zip(&state.ln_gamma).zip(&self.missed)
        {
            let off = fresh - ln_gamma;
            let turned = off - missed;
            along += off * turned;
            square += turned * turned;
        }
        if square > 0.0 {
            (along / square).clamp(-1.0, 1.0)
        } else {
            0.0
        }
    }
}

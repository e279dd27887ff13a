//! Averaging activity coefficients between balances until they no longer change: the slow way,
//! for mixtures in which the fast one does not close in.

use libm::fabs;

use crate::chemistry::solve::State;
use crate::chemistry::system::System;

/// What comes out of amounts, on the way to activity coefficients that agree with the amounts
/// they lead to.
pub(super) struct Settling {
    /// ln γ of the present amounts.
    fresh: Vec<f64>,
}

impl Settling {
    /// For so many forms.
    pub fn new(count: usize) -> Self {
        Self {
            fresh: vec![0.0; count],
        }
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
}

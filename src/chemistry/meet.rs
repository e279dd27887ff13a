//! Two baths, or a bath and a chemical, in one vessel.

use crate::chemistry::Chemistry;
use crate::chemistry::bath::Bath;
use crate::chemistry::equilibrium::Equilibrium;
use crate::chemistry::gases::Gas;
use crate::chemistry::heat::Heated;

/// What comes of two baths meeting.
#[derive(Debug, Clone)]
pub struct Meeting {
    /// Temperature and heat given off, in a vessel that keeps all heat.
    pub heated: Heated,
    /// Equilibrium of the whole before any gas leaves.
    pub equilibrium: Equilibrium,
    /// Gases that could leave, with their greatest amounts.
    pub gases: Vec<Gas>,
}

impl Chemistry {
    /// One part of `a` and `ratio` parts of `b`, by mass as given (`ratio` 1: all of both). The
    /// acid–base equilibrium is for the temperature of mixing without the heat given off. What is
    /// in `b` as a dry chemical, not yet in solution, is told by `b_dissolved` false.
    pub fn combine(&self, a: &Bath, b: &Bath, ratio: f64, b_dissolved: bool) -> Meeting {
        let ratio = if ratio.is_finite() {
            ratio.clamp(0.0, 1e9)
        } else {
            1.0
        };
        let part = b.scaled(ratio);
        let together = a.with(&part);
        let equilibrium = self.equilibrium(&together);
        let gases = self.gases(&together, &equilibrium.ph);
        Meeting {
            heated: self.add(a, &part, b_dissolved),
            equilibrium,
            gases,
        }
    }
}

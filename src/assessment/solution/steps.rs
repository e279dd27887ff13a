//! How warm and how clear the vessel is after each step.

use crate::catalogue::Chemical;
use crate::chemistry::{Bath, Figure, Makeup, Trace};
use crate::plan::{Action, Solution};
use crate::session::Amount;
use crate::units::{Density, Temperature};

use super::{StepFigures, Tools, by_weight};

impl Tools<'_> {
    /// Temperature and clearness after each step, as far as the data go. Water without a stated
    /// temperature is taken at room temperature; solids put into an empty vessel dissolve in the
    /// water that comes next.
    pub(super) fn steps(&self, solution: &Solution) -> Vec<StepFigures> {
        let mut vessel = Vessel::Empty(Vec::new());
        let mut steps = Vec::new();
        for step in &solution.steps {
            let before = vessel.celsius();
            let (next, temperature) = match &step.action {
                Action::Start { water, at } => {
                    let start = at.unwrap_or(Temperature::ROOM);
                    let water = self.water(water_grams(*water), start);
                    (
                        water.map_or(Vessel::Unknown, Vessel::Holds),
                        Some(stated(start)),
                    )
                }
                Action::Add(added) => {
                    let jar = self.jar(&added.jar.id, added.mass.grams()).ok();
                    self.poured(vessel, jar, Pouring::of(&added.jar))
                }
                Action::TopUp { .. } => {
                    let more = (step.after.total_g() - vessel.mass_g()).max(0.0);
                    self.poured(vessel, self.water(more, Temperature::ROOM), Pouring::Watery)
                }
            };
            steps.push(StepFigures {
                number: step.number,
                before,
                temperature,
                solubility: next
                    .bath()
                    .map(|bath| self.chemistry.solubility(bath, bath.celsius)),
            });
            vessel = next;
        }
        steps
    }

    fn poured(
        &self,
        vessel: Vessel,
        added: Option<Bath>,
        pouring: Pouring,
    ) -> (Vessel, Option<Figure>) {
        match (vessel, added) {
            (Vessel::Holds(bath), Some(added)) => {
                let heated = self.chemistry.add(&bath, &added, false);
                (Vessel::Holds(heated.bath), Some(heated.temperature))
            }
            // What a concentrated acid does to dry powder is no matter of dissolving.
            (Vessel::Empty(solids), _) if pouring == Pouring::Strong && !solids.is_empty() => {
                (Vessel::Unknown, None)
            }
            (Vessel::Empty(solids), Some(added)) if pouring != Pouring::Solid => {
                let start = stated(Temperature::ROOM);
                let dissolved = |(bath, _): (Bath, Figure), solid: Bath| {
                    let heated = self.chemistry.add(&bath, &solid, false);
                    (heated.bath, heated.temperature)
                };
                let (bath, temperature) = solids.into_iter().fold((added, start), dissolved);
                (Vessel::Holds(bath), Some(temperature))
            }
            (Vessel::Empty(mut solids), Some(added)) => {
                solids.push(added);
                (Vessel::Empty(solids), None)
            }
            // Once something is unknown, nothing later is known either.
            _ => (Vessel::Unknown, None),
        }
    }

    fn water(&self, water_g: f64, temperature: Temperature) -> Option<Bath> {
        self.chemistry
            .bath(&Makeup {
                water_g,
                dissolved: Vec::new(),
                temperature,
            })
            .ok()
    }
}

/// What goes into the vessel.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Pouring {
    Solid,
    /// Water, or a solution that is mostly water.
    Watery,
    /// A liquid that is not, or of which that is not known.
    Strong,
}

impl Pouring {
    /// A solution up to this share by weight takes up solids as water does.
    const WATERY: f64 = 0.2;

    fn of(jar: &Chemical) -> Self {
        let watery = jar.id == "water" || by_weight(jar).is_some_and(|share| share <= Self::WATERY);
        match (jar.is_solid(), watery) {
            (true, _) => Self::Solid,
            (false, true) => Self::Watery,
            (false, false) => Self::Strong,
        }
    }
}

/// What stands in the mixing vessel.
enum Vessel {
    /// No water yet, perhaps solids.
    Empty(Vec<Bath>),
    /// A bath.
    Holds(Bath),
    /// Something without data.
    Unknown,
}

impl Vessel {
    fn bath(&self) -> Option<&Bath> {
        match self {
            Self::Holds(bath) => Some(bath),
            Self::Empty(_) | Self::Unknown => None,
        }
    }

    fn celsius(&self) -> Option<f64> {
        match self {
            Self::Holds(bath) => Some(bath.celsius),
            // What stands about is as warm as the room.
            Self::Empty(solids) if !solids.is_empty() => Some(Temperature::ROOM.celsius()),
            Self::Empty(_) | Self::Unknown => None,
        }
    }

    fn mass_g(&self) -> f64 {
        match self {
            Self::Holds(bath) => bath.mass_kg * 1000.0,
            Self::Empty(solids) => solids.iter().map(|solid| solid.mass_kg * 1000.0).sum(),
            Self::Unknown => 0.0,
        }
    }
}

/// A temperature that is stated, not computed.
fn stated(temperature: Temperature) -> Figure {
    let trace = Trace {
        formula: "as the recipe states, or room temperature",
        ..Trace::default()
    };
    Figure::around(temperature.celsius(), 0.0, "°C", trace)
}

fn water_grams(water: Amount) -> f64 {
    match water {
        Amount::Mass(mass) => mass.grams(),
        Amount::Volume(volume) => (volume * Density::WATER).grams(),
    }
}

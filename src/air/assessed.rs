//! What is predicted of the air, beside its limits.

use super::course::Course;
use super::dust::DustFigure;
use super::gases::{Gas, Limit};
use super::options::Outcome;
use super::said::Said;
use super::trace::Trace;

/// A limit and what is predicted beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// The limit.
    pub limit: Limit,
    /// Whether the rules asked for contain it (or it stands in, since they list none).
    pub in_force: bool,
    /// Average over the limit's time in the well-mixed room, mg/m³.
    pub room_mg_per_m3: f64,
    /// The same in the breathing zone.
    pub near_mg_per_m3: f64,
}

impl Compared {
    /// The higher of room and breathing zone over the limit.
    pub fn ratio(&self) -> f64 {
        self.room_mg_per_m3.max(self.near_mg_per_m3) / self.limit.mg_per_m3
    }

    /// Whether the prediction is above the limit. Its opposite is no promise.
    pub fn above(&self) -> bool {
        self.ratio() > 1.0
    }
}

/// Figures of one gas.
#[derive(Debug, Clone)]
pub struct GasFigures {
    /// The gas.
    pub gas: Gas,
    /// Part of the release cannot be computed: every figure is at least this, never the whole.
    pub incomplete: bool,
    /// Let into the air, mg.
    pub emitted_mg: f64,
    /// Highest in the well-mixed room, mg/m³.
    pub peak_mg_per_m3: f64,
    /// Highest in the breathing zone, mg/m³.
    pub near_field_peak_mg_per_m3: f64,
    /// Highest 8-hour average in the room, mg/m³.
    pub twa_8h_mg_per_m3: f64,
    /// Highest 8-hour average in the breathing zone, mg/m³.
    pub near_field_twa_8h_mg_per_m3: f64,
    /// Where the strongest steady release leads; `None` in a sealed room, which never settles.
    pub steady_mg_per_m3: Option<f64>,
    /// From open baths into clean air, mg/min; `None` without a bath.
    pub evaporation_mg_per_min: Option<f64>,
    /// Every limit on file.
    pub limits: Vec<Compared>,
    /// The limit in force nearest to being passed, as a place in `limits`.
    pub strictest: Option<usize>,
    /// Whether the breathing zone passes what is immediately dangerous; `None` if none is on file.
    pub above_idlh: Option<bool>,
    /// Fresh air for every limit in force, m³/h; `None` when no flow does it or no limit is on file.
    pub fresh_air_needed_m3_per_h: Option<f64>,
    /// Airing from the room's peak to the lowest limit in force, minutes.
    pub purge_minutes_to_limit: Option<f64>,
    /// How far off the figures may be, either way.
    pub uncertainty_factor: f64,
    /// What would change how much.
    pub options: Vec<Outcome>,
    /// The steps.
    pub trace: Trace,
    /// The concentrations over time.
    pub course: Course,
}

impl GasFigures {
    /// The limit in force nearest to being passed.
    pub fn strictest(&self) -> Option<&Compared> {
        self.strictest.and_then(|at| self.limits.get(at))
    }
}

/// What the air of a room comes to.
#[derive(Debug, Clone)]
pub struct AirAssessment {
    /// Per gas, by id.
    pub gases: Vec<GasFigures>,
    /// Per powder.
    pub dust: Vec<DustFigure>,
    /// Fresh air counted, m³/h.
    pub fresh_air_m3_per_h: f64,
    /// Changes of the room's air an hour.
    pub changes_per_hour: f64,
    /// What was assumed, in words.
    pub assumptions: Vec<Said>,
}

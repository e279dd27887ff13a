//! Hours across, levels up: in equal steps, or by powers of ten where a burst would otherwise
//! hide everything else.

use crate::picture::{round_step, width_of};
use crate::units::significant;

/// The scales of a picture.
pub struct Scales {
    pub hours: f64,
    bottom: Option<f64>,
    pub ticks: Vec<f64>,
    left: f64,
    right: f64,
    upper: f64,
    lower: f64,
    type_size: f64,
}

/// Beyond this ratio of the highest to what else is drawn, powers of ten are used.
const MOST_IN_EQUAL_STEPS: f64 = 25.0;

impl Scales {
    /// For levels up to `tallest`, with the lowest figure that must still be seen.
    pub fn new(
        (width, height): (f64, f64),
        type_size: f64,
        hours: f64,
        tallest: f64,
        lowest: f64,
    ) -> Self {
        let (upper, lower) = (1.8 * type_size, height - 1.8 * type_size);
        let room_for = ((lower - upper) / (1.6 * type_size)).max(1.0);
        let (bottom, ticks) = levels(tallest, lowest, room_for);
        let words = ticks
            .iter()
            .map(|tick| width_of(&significant(*tick, 4), type_size));
        Self {
            hours,
            bottom,
            left: words.fold(0.0, f64::max) + 6.0,
            right: width - 1.2 * type_size,
            ticks,
            upper,
            lower,
            type_size,
        }
    }

    /// The highest level of the scale.
    pub fn top(&self) -> f64 {
        self.ticks.last().copied().unwrap_or(1.0)
    }

    /// Where an hour and a level are.
    pub fn at(&self, hour: f64, level: f64) -> (f64, f64) {
        let share = match self.bottom {
            None => level / self.top(),
            Some(bottom) if level > bottom => {
                libm::log(level / bottom) / libm::log(self.top() / bottom)
            }
            Some(_) => 0.0,
        };
        let x = self.left + (self.right - self.left) * hour / self.hours;
        let y = self.lower - (self.lower - self.upper) * share.clamp(0.0, 1.0);
        (x, y)
    }

    /// Round hours, as many as there is room for.
    pub fn hour_ticks(&self) -> Vec<f64> {
        let room_for = ((self.right - self.left) / (4.0 * self.type_size)).clamp(1.0, 8.0);
        let every = round_step(self.hours, room_for);
        let last = libm::floor(self.hours / every + 1e-9) as u32;
        (0..=last).map(|n| every * f64::from(n)).collect()
    }
}

/// The lowest level of a scale by powers of ten, and the ticks.
fn levels(tallest: f64, lowest: f64, room_for: f64) -> (Option<f64>, Vec<f64>) {
    if lowest > 0.0 && tallest > MOST_IN_EQUAL_STEPS * lowest {
        let first = libm::floor(libm::log10(lowest / 2.0)) as i32;
        let last = libm::ceil(libm::log10(tallest)) as i32;
        let each = libm::ceil(f64::from(last - first) / room_for).max(1.0) as i32;
        // Whole strides, so that the highest tick is the top.
        let strides = (last - first + each - 1) / each;
        let power = |n: i32| libm::exp10(f64::from(first + n * each));
        let ticks: Vec<f64> = (0..=strides).map(power).collect();
        return (ticks.first().copied(), ticks);
    }
    let tallest = if tallest > 0.0 { tallest * 1.1 } else { 1.0 };
    let tick = round_step(tallest, room_for.min(5.0));
    let count = libm::ceil(tallest / tick) as u32;
    (None, (0..=count).map(|n| tick * f64::from(n)).collect())
}

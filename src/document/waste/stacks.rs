//! Amounts by month as stacked bars: one stack a month, one grey a stream.

use crate::picture::{Anchor, Bar, Labels, Picture, Polyline, Size, Stroke};
use crate::picture::{round_step, width_of};
use crate::units::significant;

/// How large it is shown.
pub const ON_PAGE: Size = Size {
    width_mm: 170.0,
    height_mm: 68.0,
};

/// Black is left to lines and letters; neighbours differ on any copy.
const GREYS: [u8; 5] = [64, 208, 128, 240, 168];

/// What is stacked.
pub struct Stacks {
    /// The unit of every amount.
    pub unit: &'static str,
    /// The streams, at most as many as there are greys.
    pub names: Vec<String>,
    /// Each month with the amount of each stream.
    pub months: Vec<(String, Vec<f64>)>,
}

impl Stacks {
    /// The picture, legend below.
    pub fn picture(&self, size: Size) -> Picture {
        let type_size = size.type_size();
        let (width, height) = size.points();
        let legend = self.legend(width, type_size);
        let rows = legend.iter().map(|place| place.row + 1).max().unwrap_or(0);
        let lower = height - (1.9 + LEADING * rows as f64) * type_size;
        let axes = Axes::new(self.tallest(), (1.8 * type_size, lower), width, type_size);
        let mut drawing = Drawing {
            bars: Vec::new(),
            lines: Vec::new(),
            labels: Labels::new(width, type_size),
            axes,
        };
        drawing.levels(self.unit);
        drawing.stacks(self);
        let first_row = lower + (1.9 + 0.8) * type_size;
        for (at, (place, name)) in legend.iter().zip(&self.names).enumerate() {
            let y = first_row + LEADING * place.row as f64 * type_size;
            drawing.key(grey(at), (place.x, y), name);
        }
        Picture {
            width,
            height,
            type_size,
            bars: drawing.bars,
            lines: drawing.lines,
            labels: drawing.labels.placed,
        }
    }

    fn tallest(&self) -> f64 {
        let totals = self.months.iter().map(|(_, amounts)| amounts.iter().sum());
        totals.fold(0.0, f64::max)
    }

    /// Where the keys of the legend begin: side by side, in as many rows as they need.
    fn legend(&self, width: f64, type_size: f64) -> Vec<Place> {
        let mut place = Place { row: 0, x: 0.5 };
        let mut places = Vec::new();
        for name in &self.names {
            let wide = 1.4 * type_size + width_of(name, type_size);
            if place.x > 0.5 && place.x + wide > width {
                place = Place {
                    row: place.row + 1,
                    x: 0.5,
                };
            }
            places.push(place);
            place.x += wide + 1.5 * type_size;
        }
        places
    }
}

/// From one row of the legend to the next, type sizes.
const LEADING: f64 = 1.4;

/// Where a key stands.
#[derive(Clone, Copy)]
struct Place {
    row: usize,
    x: f64,
}

fn grey(at: usize) -> u8 {
    GREYS.get(at).copied().unwrap_or(255)
}

/// Amounts upward in equal steps from nothing.
struct Axes {
    step: f64,
    steps: u32,
    left: f64,
    right: f64,
    upper: f64,
    lower: f64,
}

impl Axes {
    fn new(tallest: f64, (upper, lower): (f64, f64), width: f64, type_size: f64) -> Self {
        let room_for = ((lower - upper) / (1.8 * type_size)).clamp(1.0, 5.0);
        let step = round_step(tallest, room_for);
        let steps = libm::ceil(tallest / step - 1e-9).max(1.0) as u32;
        let words = (0..=steps).map(|n| width_of(&level_words(step, n), type_size));
        Self {
            step,
            steps,
            left: words.fold(0.0, f64::max) + 6.0,
            right: width - 1.0,
            upper,
            lower,
        }
    }

    fn y(&self, amount: f64) -> f64 {
        let top = self.step * f64::from(self.steps);
        self.lower - (self.lower - self.upper) * amount / top
    }
}

fn level_words(step: f64, n: u32) -> String {
    significant(step * f64::from(n), 4)
}

struct Drawing {
    bars: Vec<Bar>,
    lines: Vec<Polyline>,
    labels: Labels,
    axes: Axes,
}

impl Drawing {
    fn line(&mut self, points: Vec<(f64, f64)>) {
        self.lines.extend(Polyline::cut(Stroke::Fine, points));
    }

    /// The axes, with a number at each tick.
    fn levels(&mut self, unit: &str) {
        let size = self.labels.type_size;
        let Axes {
            left,
            right,
            upper,
            lower,
            ..
        } = self.axes;
        self.line(vec![(left, upper), (left, lower), (right, lower)]);
        for n in 0..=self.axes.steps {
            let y = self.axes.y(self.axes.step * f64::from(n));
            self.line(vec![(left - 3.0, y), (left, y)]);
            let text = level_words(self.axes.step, n);
            self.labels
                .put(text, (left - 5.0, y + 0.35 * size), Anchor::End);
        }
        self.labels
            .put(unit.to_owned(), (0.0, 0.9 * size), Anchor::Start);
    }

    /// The stacks, with their totals and months as far as there is room for them.
    fn stacks(&mut self, stacks: &Stacks) {
        let size = self.labels.type_size;
        let slot = (self.axes.right - self.axes.left) / stacks.months.len().max(1) as f64;
        let half = (0.35 * slot).min(WIDEST_BAR / 2.0);
        let every = libm::ceil(width_of("0000-00 ", size) / slot).max(1.0) as usize;
        for (at, (month, amounts)) in stacks.months.iter().enumerate() {
            let x = self.axes.left + slot * (at as f64 + 0.5);
            let total = self.stack(amounts, x, half);
            let text = significant(total, 3);
            if total > 0.0 && width_of(&text, size) < slot {
                let y = self.axes.y(total) - 2.5;
                self.labels.put(text, (x, y), Anchor::Middle);
            }
            if at % every == 0 && x + width_of(month, size) / 2.0 <= self.axes.right + 1.0 {
                let y = self.axes.lower + 4.0 + size;
                self.labels.put(month.clone(), (x, y), Anchor::Middle);
            }
        }
    }

    /// One stack; gives its total.
    fn stack(&mut self, amounts: &[f64], x: f64, half: f64) -> f64 {
        let mut total = 0.0;
        for (at, amount) in amounts
            .iter()
            .enumerate()
            .filter(|(_, amount)| **amount > 0.0)
        {
            let bottom = self.axes.y(total);
            total += amount;
            self.bars.push(Bar {
                left: x - half,
                top: self.axes.y(total),
                right: x + half,
                bottom,
                grey: grey(at),
            });
        }
        total
    }

    /// A square of a stream's grey with its name.
    fn key(&mut self, grey: u8, (x, y): (f64, f64), name: &str) {
        let size = self.labels.type_size;
        self.bars.push(Bar {
            left: x,
            top: y - 0.75 * size,
            right: x + size,
            bottom: y + 0.25 * size,
            grey,
        });
        self.labels
            .put(name.to_owned(), (x + 1.4 * size, y), Anchor::Start);
    }
}

/// A bar wider than this is no bar, points.
const WIDEST_BAR: f64 = 60.0;

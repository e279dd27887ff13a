//! Concentration against time as shapes and words with their places, for any medium.
//!
//! Breathing zone solid, room dashed, the limit dotted: they differ without colour. Dashes are
//! cut here, so a renderer needs nothing but straight lines. Words stand at the lines they name.

use crate::units::significant;

use super::assess::GasFigures;
use super::course::Zone;

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stroke {
    /// Breathing zone: solid, heavy.
    Near,
    /// Room: dashed, heavy.
    Room,
    /// A limit: dotted, fine.
    Limit,
    /// Axes and ticks: solid, fine.
    Axis,
}

impl Stroke {
    /// Width in units of the picture.
    pub fn width(self) -> f64 {
        match self {
            Self::Near | Self::Room => 1.4,
            Self::Limit => 0.9,
            Self::Axis => 0.6,
        }
    }

    /// Length drawn and length left out; `None` for a solid line.
    fn dashes(self) -> Option<(f64, f64)> {
        match self {
            Self::Near | Self::Axis => None,
            Self::Room => Some((6.0, 4.0)),
            Self::Limit => Some((1.5, 2.5)),
        }
    }
}

/// A line through points; y grows downward.
#[derive(Debug, Clone, PartialEq)]
pub struct Polyline {
    /// How it is drawn.
    pub stroke: Stroke,
    /// Its points.
    pub points: Vec<(f64, f64)>,
}

/// Words and where they begin or end.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// The words.
    pub text: String,
    /// The place of their baseline.
    pub at: (f64, f64),
    /// Whether they end there rather than begin.
    pub ends_here: bool,
}

/// A picture in a box from (0, 0) to (width, height).
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// Lines, dashes already cut.
    pub lines: Vec<Polyline>,
    /// Words.
    pub labels: Vec<Label>,
}

const WIDTH: f64 = 480.0;
const HEIGHT: f64 = 220.0;
const LEFT: f64 = 46.0;
const RIGHT: f64 = 10.0;
const TOP: f64 = 18.0;
const BOTTOM: f64 = 30.0;
/// Height of the words, for keeping them apart.
const LINE: f64 = 11.0;

/// The scales of a picture: levels in equal steps, or by powers of ten from `bottom` where a
/// burst would otherwise hide everything else.
struct Scales {
    hours: f64,
    bottom: Option<f64>,
    ticks: Vec<f64>,
}

/// Beyond this ratio of the highest to what else is drawn, powers of ten are used.
const MOST_IN_EQUAL_STEPS: f64 = 25.0;

impl Scales {
    /// For levels up to `tallest`, with the lowest figure that must still be seen.
    fn new(hours: f64, tallest: f64, lowest: f64) -> Self {
        if lowest > 0.0 && tallest > MOST_IN_EQUAL_STEPS * lowest {
            let first = libm::floor(libm::log10(lowest / 2.0)) as i32;
            let last = libm::ceil(libm::log10(tallest)) as i32;
            let ticks: Vec<f64> = (first..=last).map(|n| libm::exp10(f64::from(n))).collect();
            return Self {
                hours,
                bottom: ticks.first().copied(),
                ticks,
            };
        }
        let tick = step(tallest, 4.0);
        let count = libm::ceil(tallest / tick) as u32;
        let ticks = (0..=count).map(|n| tick * f64::from(n)).collect();
        Self {
            hours,
            bottom: None,
            ticks,
        }
    }

    fn top(&self) -> f64 {
        self.ticks.last().copied().unwrap_or(1.0)
    }

    fn at(&self, hour: f64, level: f64) -> (f64, f64) {
        let share = match self.bottom {
            None => level / self.top(),
            Some(bottom) if level > bottom => {
                libm::log(level / bottom) / libm::log(self.top() / bottom)
            }
            Some(_) => 0.0,
        };
        let x = LEFT + (WIDTH - LEFT - RIGHT) * hour / self.hours;
        let y = HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * share.clamp(0.0, 1.0);
        (x, y)
    }
}

/// A round step that divides a span into about so many parts: 1, 2 or 5 times a power of ten.
fn step(span: f64, parts: f64) -> f64 {
    let rough = span / parts;
    let power = libm::exp10(libm::floor(libm::log10(rough)));
    let share = rough / power;
    let round = [1.0, 2.0, 5.0]
        .into_iter()
        .find(|r| share <= *r)
        .unwrap_or(10.0);
    round * power
}

/// The picture of one gas; `words` names what the lines are, in the reader's language.
pub fn picture(figures: &GasFigures, words: &PictureWords) -> Picture {
    let course = &figures.course;
    let highest = figures
        .near_field_peak_mg_per_m3
        .max(figures.peak_mg_per_m3);
    let limit = figures.strictest().map(|c| &c.limit);
    let shown = limit
        .map(|l| l.mg_per_m3)
        .filter(|l| *l <= 20.0 * highest || highest <= 0.0);
    let tallest = highest.max(shown.unwrap_or(0.0));
    let tallest = if tallest > 0.0 { tallest * 1.1 } else { 1.0 };
    let room = figures.peak_mg_per_m3;
    let lowest = shown.map_or(room, |limit| limit.min(room));
    let mut drawing = Drawing::new(Scales::new(course.until_h(), tallest, lowest));
    drawing.axes(words);
    drawing.curve(figures, Zone::Room, Stroke::Room, &words.room);
    drawing.curve(figures, Zone::Near, Stroke::Near, &words.near);
    if let Some(limit) = limit {
        let text = format!(
            "{} {} {} mg/m³",
            limit.body,
            limit.kind,
            significant(limit.mg_per_m3, 3)
        );
        drawing.limit(limit.mg_per_m3, &text, shown.is_some());
    }
    drawing.picture
}

/// What the lines and axes are called.
#[derive(Debug, Clone, PartialEq)]
pub struct PictureWords {
    /// The breathing zone.
    pub near: String,
    /// The room.
    pub room: String,
    /// Hours.
    pub hours: String,
}

struct Drawing {
    scales: Scales,
    picture: Picture,
}

impl Drawing {
    fn new(scales: Scales) -> Self {
        let picture = Picture {
            width: WIDTH,
            height: HEIGHT,
            lines: Vec::new(),
            labels: Vec::new(),
        };
        Self { scales, picture }
    }

    fn line(&mut self, stroke: Stroke, points: Vec<(f64, f64)>) {
        let cut = match stroke.dashes() {
            None => vec![points],
            Some((on, off)) => dashes(&points, on, off),
        };
        self.picture
            .lines
            .extend(cut.into_iter().map(|points| Polyline { stroke, points }));
    }

    /// Words as near to a place as other words allow.
    fn label(&mut self, text: String, at: (f64, f64), ends_here: bool) {
        let mut y = at.1;
        let near = |label: &Label, y: f64| {
            (label.at.1 - y).abs() < LINE
                && label.ends_here == ends_here
                && (label.at.0 - at.0).abs() < 200.0
        };
        while self.picture.labels.iter().any(|label| near(label, y)) && y > LINE {
            y -= 2.0;
        }
        self.picture.labels.push(Label {
            text,
            at: (at.0, y),
            ends_here,
        });
    }

    fn axes(&mut self, words: &PictureWords) {
        let (hours, top) = (self.scales.hours, self.scales.top());
        self.line(
            Stroke::Axis,
            vec![
                self.scales.at(0.0, top),
                self.scales.at(0.0, 0.0),
                self.scales.at(hours, 0.0),
            ],
        );
        for level in self.scales.ticks.clone() {
            let (x, y) = self.scales.at(0.0, level);
            self.line(Stroke::Axis, vec![(x - 4.0, y), (x, y)]);
            self.tick_label(significant(level, 4), (x - 6.0, y + 3.0), true);
        }
        let every = step(hours, 8.0);
        for n in 0..=libm::floor(hours / every + 1e-9) as u32 {
            let hour = every * f64::from(n);
            let (x, y) = self.scales.at(hour, 0.0);
            self.line(Stroke::Axis, vec![(x, y), (x, y + 4.0)]);
            self.tick_label(significant(hour, 3), (x - 3.0, y + 14.0), false);
        }
        self.tick_label("mg/m³".to_owned(), (2.0, LINE), false);
        self.tick_label(words.hours.clone(), (WIDTH - RIGHT, HEIGHT - 4.0), true);
    }

    fn tick_label(&mut self, text: String, at: (f64, f64), ends_here: bool) {
        self.picture.labels.push(Label {
            text,
            at,
            ends_here,
        });
    }

    fn curve(&mut self, figures: &GasFigures, zone: Zone, stroke: Stroke, name: &str) {
        let course = &figures.course;
        let level = |hour: f64| course.level(zone, hour);
        let hours = course.hours_to_look_at(40);
        let points = hours
            .iter()
            .map(|&hour| self.scales.at(hour, level(hour)))
            .collect();
        self.line(stroke, points);
        let (peak, hour) = course.peak(zone);
        let (x, y) = self.scales.at(hour, peak);
        let text = format!("{name}, {} mg/m³", significant(peak, 2));
        let ends_here = x > WIDTH * 0.6;
        self.label(
            text,
            (if ends_here { x - 4.0 } else { x + 4.0 }, y.max(TOP) - 3.0),
            ends_here,
        );
    }

    /// The limit, or an arrow of words where it lies far above everything drawn.
    fn limit(&mut self, level: f64, text: &str, drawn: bool) {
        let (x, y) = self.scales.at(self.scales.hours, level);
        if drawn {
            self.line(Stroke::Limit, vec![self.scales.at(0.0, level), (x, y)]);
            self.label(text.to_owned(), (x, y - 3.0), true);
        } else {
            self.label(format!("↑ {text}"), (x, LINE), true);
        }
    }
}

/// Cuts a line into dashes.
fn dashes(points: &[(f64, f64)], on: f64, off: f64) -> Vec<Vec<(f64, f64)>> {
    let mut cut: Vec<Vec<(f64, f64)>> = Vec::new();
    let (mut drawing, mut left) = (true, on);
    let mut current: Vec<(f64, f64)> = points.first().copied().into_iter().collect();
    for pair in points.windows(2) {
        let [mut from, to] = *pair else { continue };
        loop {
            let length = libm::hypot(to.0 - from.0, to.1 - from.1);
            if length <= left {
                left -= length;
                if drawing {
                    current.push(to);
                }
                break;
            }
            let share = left / length;
            let at = (
                from.0 + (to.0 - from.0) * share,
                from.1 + (to.1 - from.1) * share,
            );
            if drawing {
                current.push(at);
                cut.push(std::mem::take(&mut current));
            } else {
                current = vec![at];
            }
            drawing = !drawing;
            left = if drawing { on } else { off };
            from = at;
        }
    }
    if current.len() > 1 {
        cut.push(current);
    }
    cut
}

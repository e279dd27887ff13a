//! Concentration against time as a picture.
//!
//! Breathing zone solid, rest of the room dashed, limits dotted: they differ without colour.

mod scales;

use crate::picture::{Anchor, Labels, Picture, Polyline, Size, Stroke};
use crate::units::significant;

use super::assessed::{Compared, GasFigures};
use super::course::Zone;

use scales::Scales;

/// What the lines and axes are called, in the reader's language.
#[derive(Debug, Clone, PartialEq)]
pub struct PictureWords {
    /// The breathing zone.
    pub near: String,
    /// The rest of the room.
    pub far: String,
}

/// A limit further above everything else is named, not drawn.
const HIGHEST_DRAWN: f64 = 10.0;

/// The picture of one gas.
pub fn picture(figures: &GasFigures, words: &PictureWords, size: Size) -> Picture {
    let (width, height) = size.points();
    let type_size = size.type_size();
    let near = figures.near_field_peak_mg_per_m3;
    let far = figures.course.peak(Zone::Far).0;
    let highest = near.max(far);
    let (drawn, above): (Vec<_>, Vec<_>) = limits(figures)
        .into_iter()
        .partition(|limit| limit.limit.mg_per_m3 <= HIGHEST_DRAWN * highest);
    let level = |compared: &&Compared| compared.limit.mg_per_m3;
    let tallest = drawn.iter().map(level).fold(highest, f64::max);
    let lowest = drawn.iter().map(level).fold(far, f64::min);
    let scales = Scales::new(
        (width, height),
        type_size,
        figures.course.until_h(),
        tallest,
        lowest,
    );
    let mut drawing = Drawing {
        labels: Labels::new(width, type_size),
        lines: Vec::new(),
        scales,
    };
    drawing.axes();
    drawing.curve(figures, Zone::Far, Stroke::Dashed);
    drawing.curve(figures, Zone::Near, Stroke::Heavy);
    for compared in &drawn {
        drawing.limit(compared.limit.mg_per_m3);
    }
    for compared in &drawn {
        drawing.name_limit(compared);
    }
    drawing.name_curve(figures, Zone::Near, &words.near);
    drawing.name_curve(figures, Zone::Far, &words.far);
    if let Some(compared) = above.first() {
        drawing.far_above(compared);
    }
    Picture {
        width,
        height,
        type_size,
        bars: Vec::new(),
        lines: drawing.lines,
        labels: drawing.labels.placed,
    }
}

/// The limit nearest to being passed, and the lowest in force where that is another value.
fn limits(figures: &GasFigures) -> Vec<&Compared> {
    let nearest = figures.strictest();
    let in_force = figures.limits.iter().filter(|compared| compared.in_force);
    let lowest = in_force.min_by(|a, b| a.limit.mg_per_m3.total_cmp(&b.limit.mg_per_m3));
    let apart = |other: &&Compared| {
        nearest.is_none_or(|n| (n.limit.mg_per_m3 / other.limit.mg_per_m3 - 1.0).abs() > 0.02)
    };
    nearest.into_iter().chain(lowest.filter(apart)).collect()
}

fn limit_words(compared: &Compared) -> String {
    let limit = &compared.limit;
    let value = significant(limit.mg_per_m3, 3);
    format!("{} {} {value}", limit.body, limit.kind)
}

struct Drawing {
    scales: Scales,
    lines: Vec<Polyline>,
    labels: Labels,
}

impl Drawing {
    fn line(&mut self, stroke: Stroke, points: Vec<(f64, f64)>) {
        if stroke != Stroke::Fine {
            self.labels.avoid(&points);
        }
        self.lines.extend(Polyline::cut(stroke, points));
    }

    fn axes(&mut self) {
        let (hours, top, size) = (self.scales.hours, self.scales.top(), self.labels.type_size);
        self.line(
            Stroke::Fine,
            vec![
                self.scales.at(0.0, top),
                self.scales.at(0.0, 0.0),
                self.scales.at(hours, 0.0),
            ],
        );
        for level in self.scales.ticks.clone() {
            let (x, y) = self.scales.at(0.0, level);
            self.line(Stroke::Fine, vec![(x - 3.0, y), (x, y)]);
            let text = significant(level, 4);
            self.labels
                .put(text, (x - 5.0, y + 0.35 * size), Anchor::End);
        }
        let ticks = self.scales.hour_ticks();
        for (n, hour) in ticks.iter().enumerate() {
            let (x, y) = self.scales.at(*hour, 0.0);
            self.line(Stroke::Fine, vec![(x, y), (x, y + 3.0)]);
            let unit = if n + 1 == ticks.len() { " h" } else { "" };
            let text = significant(*hour, 3) + unit;
            self.labels.put(text, (x, y + 4.0 + size), Anchor::Middle);
        }
        self.labels
            .put("mg/m³".to_owned(), (0.0, 0.9 * size), Anchor::Start);
    }

    fn curve(&mut self, figures: &GasFigures, zone: Zone, stroke: Stroke) {
        let course = &figures.course;
        let hours = course.hours_to_look_at(40);
        let point = |&hour: &f64| self.scales.at(hour, course.level(zone, hour));
        let points = hours.iter().map(point).collect();
        self.line(stroke, points);
    }

    /// A curve's name with its peak, somewhere along it.
    fn name_curve(&mut self, figures: &GasFigures, zone: Zone, name: &str) {
        let course = &figures.course;
        let (peak, hour) = course.peak(zone);
        let text = format!("{name} {}", significant(peak, 2));
        let along = (1..20).map(|n| self.scales.hours * f64::from(n) / 20.0);
        let spots = std::iter::once(hour).chain(along);
        let spots = spots
            .map(|hour| self.scales.at(hour, course.level(zone, hour)))
            .collect::<Vec<_>>();
        self.labels.place(text, &spots);
    }

    fn limit(&mut self, level: f64) {
        let ends = [0.0, self.scales.hours].map(|hour| self.scales.at(hour, level));
        self.line(Stroke::Dotted, ends.to_vec());
    }

    fn name_limit(&mut self, compared: &Compared) {
        let level = compared.limit.mg_per_m3;
        let along = (0..=20).map(|n| self.scales.hours * f64::from(20 - n) / 20.0);
        let spots: Vec<_> = along.map(|hour| self.scales.at(hour, level)).collect();
        self.labels.place(limit_words(compared), &spots);
    }

    /// A limit that lies far above everything drawn.
    fn far_above(&mut self, compared: &Compared) {
        let (x, _) = self.scales.at(self.scales.hours, 0.0);
        let at = (x, 0.9 * self.labels.type_size);
        self.labels
            .put(format!("↑ {}", limit_words(compared)), at, Anchor::End);
    }
}

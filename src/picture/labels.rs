//! Words on a picture, placed where they cover neither each other nor a line.

/// Which end of its words a place is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// They begin there.
    Start,
    /// Their middle is there.
    Middle,
    /// They end there.
    End,
}

/// Words and where they stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// The words.
    pub text: String,
    /// The place on their baseline.
    pub at: (f64, f64),
    /// Which end that is.
    pub anchor: Anchor,
}

/// Width of a letter on average, in type sizes; a little more than a narrow sans-serif has.
const LETTER: f64 = 0.55;
/// Room between words and lines, points.
const GAP: f64 = 2.5;
/// Lines are looked at so far apart, points.
const LOOK: f64 = 2.0;

/// About how wide words are.
pub fn width_of(text: &str, type_size: f64) -> f64 {
    text.chars().count() as f64 * LETTER * type_size
}

/// Standing away from its spot weighs as much as covering so many looks of a line.
const FAR: usize = 20;

/// What a label covers: left, top, right, bottom.
#[derive(Debug, Clone, Copy)]
struct Cover(f64, f64, f64, f64);

impl Cover {
    fn of(label: &Label, type_size: f64) -> Self {
        let width = width_of(&label.text, type_size);
        let (x, y) = label.at;
        let left = match label.anchor {
            Anchor::Start => x,
            Anchor::Middle => x - width / 2.0,
            Anchor::End => x - width,
        };
        Self(
            left,
            y - 0.8 * type_size,
            left + width,
            y + 0.25 * type_size,
        )
    }

    fn meets(&self, other: &Self) -> bool {
        self.0 < other.2 && other.0 < self.2 && self.1 < other.3 && other.1 < self.3
    }

    fn holds(&self, (x, y): (f64, f64)) -> bool {
        (self.0..=self.2).contains(&x) && (self.1..=self.3).contains(&y)
    }
}

/// The labels of a picture, and the lines they must not cover.
pub struct Labels {
    width: f64,
    /// Size of the words, points.
    pub type_size: f64,
    /// Where they have been put.
    pub placed: Vec<Label>,
    lines: Vec<(f64, f64)>,
}

impl Labels {
    /// None yet.
    pub fn new(width: f64, type_size: f64) -> Self {
        Self {
            width,
            type_size,
            placed: Vec::new(),
            lines: Vec::new(),
        }
    }

    /// A line that words should not cover.
    pub fn avoid(&mut self, points: &[(f64, f64)]) {
        for pair in points.windows(2) {
            let [from, to] = *pair else { continue };
            let looks = libm::ceil(libm::hypot(to.0 - from.0, to.1 - from.1) / LOOK) as u32;
            let at = |n: u32| {
                let share = f64::from(n) / f64::from(looks.max(1));
                (
                    from.0 + (to.0 - from.0) * share,
                    from.1 + (to.1 - from.1) * share,
                )
            };
            self.lines.extend((0..=looks).map(at));
        }
    }

    /// Words at a place, whatever is there.
    pub fn put(&mut self, text: String, at: (f64, f64), anchor: Anchor) {
        self.placed.push(Label { text, at, anchor });
    }

    /// Words above or below one of these spots, or a line or two higher where it is crowded: where
    /// least is covered, the earlier spot first.
    pub fn place(&mut self, text: String, spots: &[(f64, f64)]) {
        let above = -GAP - 0.25 * self.type_size;
        let below = GAP + 0.8 * self.type_size;
        let higher = |lines: f64| above - lines * 1.1 * self.type_size;
        let shifts = [above, below, higher(1.0), higher(2.0)];
        let candidates = spots.iter().flat_map(|&(x, y)| {
            let text = &text;
            shifts.iter().enumerate().flat_map(move |(away, shift)| {
                [Anchor::Start, Anchor::End].map(|anchor| {
                    let text = text.clone();
                    let at = (x, y + shift);
                    (away / 2, Label { text, at, anchor })
                })
            })
        });
        let best = candidates.min_by_key(|(away, label)| self.covered(label) + FAR * away);
        self.placed.extend(best.map(|(_, label)| label));
    }

    /// How much a label covers; words weigh more than lines.
    fn covered(&self, label: &Label) -> usize {
        let cover = Cover::of(label, self.type_size);
        let outside = cover.0 < 0.0 || cover.2 > self.width || cover.1 < 0.0;
        let words = self
            .placed
            .iter()
            .filter(|other| cover.meets(&Cover::of(other, self.type_size)))
            .count();
        let lines = self
            .lines
            .iter()
            .filter(|point| cover.holds(**point))
            .count();
        lines + 1000 * (words + usize::from(outside))
    }
}

//! Searches over one variable: where a curve is highest, and where it crosses zero.

use kurbo::common::solve_itp;

/// What is left of a stretch after each look of a golden-section search.
const GOLDEN: f64 = 0.618_033_988_749_894_9;
/// Looks at a curve: the stretch shrinks to a fifty-thousandth.
const LOOKS: usize = 22;

/// The highest value found of what rises to one peak between `low` and `high` and then falls, by
/// golden section (Kiefer 1953): each look but the first serves twice. Both ends are looked at.
pub fn highest_between(of: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let mut best = of(low).max(of(high));
    let inner = |low: f64, high: f64| {
        let part = GOLDEN * (high - low);
        (high - part, low + part)
    };
    let (left, right) = inner(low, high);
    let (mut at_left, mut at_right) = (of(left), of(right));
    for _ in 0..LOOKS {
        best = best.max(at_left).max(at_right);
        let (left, right) = inner(low, high);
        if at_left < at_right {
            low = left;
            at_left = at_right;
            at_right = of(inner(low, high).1);
        } else {
            high = right;
            at_right = at_left;
            at_left = of(inner(low, high).0);
        }
    }
    best.max(at_left).max(at_right)
}

/// A point of a curve: where, and how high.
pub type Point = (f64, f64);

/// Where a falling curve crosses zero between a point above it and one below, given with its
/// height: at the crossing or beyond it by `within` or less. By interpolating, truncating and
/// projecting (Oliveira and Takahashi 2021): hardly ever slower than halving, mostly far faster.
pub fn falls_to_zero(
    mut of: impl FnMut(f64) -> f64,
    above: Point,
    below: Point,
    within: f64,
) -> f64 {
    let (start, end) = (above.0, below.0);
    let rising = |at: f64| -of(at);
    let share = 0.2 / (end - start);
    let close = within / 2.0;
    let found = solve_itp(rising, start, end, close, 1, share, -above.1, -below.1);
    (found + close).min(end)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Vertex and root of parabolas follow from their coefficients (school algebra).
    #[test]
    fn a_peak_and_a_crossing_are_where_algebra_puts_them() {
        for peak in [-0.3, 0.0, 0.2, 0.5, 0.917, 1.0, 1.4] {
            let found = highest_between(|x| 3.0 - (x - peak) * (x - peak), 0.0, 1.0);
            let nearest = f64::clamp(peak, 0.0, 1.0) - peak;
            assert!(
                (found - (3.0 - nearest * nearest)).abs() < 1e-8,
                "{peak}: {found}"
            );
        }
        for root in [1e-5, 0.1, 0.5, 0.99] {
            let found = falls_to_zero(
                |x| root * root - x * x,
                (0.0, root * root),
                (1.0, root * root - 1.0),
                1e-6,
            );
            assert!(found >= root && found <= root + 1e-6, "{root}: {found}");
        }
    }

    /// A curve of two straight lines, as where one partner of a reaction runs out.
    #[test]
    fn a_kink_is_found() {
        for kink in [0.01, 0.37, 0.8] {
            let of = |x: f64| (x / kink).min((1.0 - x) / (1.0 - kink));
            assert!((highest_between(of, 0.0, 1.0) - 1.0).abs() < 2e-3, "{kink}");
        }
    }
}

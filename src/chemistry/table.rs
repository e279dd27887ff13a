//! Straight lines between tabulated points.

/// The value at `x` on straight lines between points in rising order of x; beyond the ends, the
/// value at the end. Nothing for an empty table.
pub fn straight(points: &[(f64, f64)], x: f64) -> Option<f64> {
    let first = points.first()?;
    let last = points.last()?;
    if x <= first.0 {
        return Some(first.1);
    }
    if x >= last.0 {
        return Some(last.1);
    }
    points.windows(2).find_map(|pair| match pair {
        [(x0, y0), (x1, y1)] if x >= *x0 && x <= *x1 && x1 > x0 => {
            Some(y0 + (y1 - y0) * (x - x0) / (x1 - x0))
        }
        _ => None,
    })
}

/// The temperatures or amounts a table covers.
pub fn covers(points: &[(f64, f64)], x: f64) -> bool {
    match (points.first(), points.last()) {
        (Some(first), Some(last)) => x >= first.0 && x <= last.0,
        _ => false,
    }
}

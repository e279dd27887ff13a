//! Lines cut into dashes, so that a renderer needs nothing but solid ones.

/// Cuts a line into dashes.
pub fn cut(points: &[(f64, f64)], on: f64, off: f64) -> Vec<Vec<(f64, f64)>> {
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

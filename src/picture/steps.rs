//! Round steps of a scale.

/// A round step that divides a span into at most about so many parts: 1, 2 or 5 times a power of
/// ten.
pub fn round_step(span: f64, parts: f64) -> f64 {
    let rough = span / parts;
    let power = libm::exp10(libm::floor(libm::log10(rough)));
    let share = rough / power;
    let round = [1.0, 2.0, 5.0]
        .into_iter()
        .find(|r| share <= *r + 1e-9)
        .unwrap_or(10.0);
    round * power
}

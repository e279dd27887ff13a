//! Exact solutions of dx/dt = a x + b with constant a and b, one or two unknowns.
//!
//! x(t) = e^(at) x0 + t φ1(at) b and ∫x = t φ1(at) x0 + t² φ2(at) b, with φ1(z) = (e^z − 1)/z and
//! φ2(z) = (e^z − 1 − z)/z². Written so, a = 0 (a sealed room) needs no case of its own. A 2×2
//! matrix function follows from the two eigenvalues (Sylvester's formula).

/// φ1(z) = (e^z − 1)/z; 1 at 0.
fn phi1(z: f64) -> f64 {
    if z == 0.0 { 1.0 } else { libm::expm1(z) / z }
}

/// φ1(z), and φ2(z) = (e^z − 1 − z)/z²; 1/2 at 0. The closed form loses digits near 0: a series
/// there.
fn phi1_and_2(z: f64) -> [f64; 2] {
    let first = phi1(z);
    if z.abs() > 0.5 {
        return [first, (first - 1.0) / z];
    }
    let mut term = 0.5;
    let mut sum = term;
    for n in 3..18 {
        term *= z / f64::from(n);
        sum += term;
    }
    [first, sum]
}

/// One unknown: the value after a time.
pub fn after(a: f64, b: f64, start: f64, time: f64) -> f64 {
    libm::exp(a * time) * start + time * phi1(a * time) * b
}

/// One unknown: its integral over a time.
pub fn integral(a: f64, b: f64, start: f64, time: f64) -> f64 {
    let [first, second] = phi1_and_2(a * time);
    time * first * start + time * time * second * b
}

/// Two unknowns.
pub type Pair = [f64; 2];

/// dx/dt = M x + b for two zones that exchange air: off-diagonal terms above zero, so the two
/// eigenvalues are real and differ.
#[derive(Debug, Clone, Copy)]
pub struct Exchange {
    matrix: [Pair; 2],
    slow: f64,
    fast: f64,
}

impl Exchange {
    /// From the matrix, row by row.
    pub fn new(matrix: [Pair; 2]) -> Self {
        let [[a, b], [c, d]] = matrix;
        let half = (a + d) / 2.0;
        let root = libm::sqrt((a - d) * (a - d) / 4.0 + b * c);
        let fast = half - root;
        // From the determinant, since half + root would lose digits when nearly sealed.
        let slow = (a * d - b * c) / fast;
        Self { matrix, slow, fast }
    }

    /// f(M) v by Sylvester's formula, with f at the slow and at the fast eigenvalue.
    fn apply(&self, [at_slow, at_fast]: Pair, v: Pair) -> Pair {
        let [[a, b], [c, d]] = self.matrix;
        let moved = [a * v[0] + b * v[1], c * v[0] + d * v[1]];
        let gap = self.slow - self.fast;
        let (slow, fast) = (at_slow / gap, at_fast / gap);
        [0, 1].map(|i| slow * (moved[i] - self.fast * v[i]) - fast * (moved[i] - self.slow * v[i]))
    }

    fn eigenvalues(&self) -> Pair {
        [self.slow, self.fast]
    }

    /// The values after a time.
    pub fn after(&self, b: Pair, start: Pair, time: f64) -> Pair {
        let decayed = self.apply(self.eigenvalues().map(|l| libm::exp(l * time)), start);
        let fed = self.apply(self.eigenvalues().map(|l| time * phi1(l * time)), b);
        [decayed[0] + fed[0], decayed[1] + fed[1]]
    }

    /// The integrals over a time.
    pub fn integral(&self, b: Pair, start: Pair, time: f64) -> Pair {
        let [slow, fast] = self.eigenvalues().map(|l| phi1_and_2(l * time));
        let decayed = self.apply([slow, fast].map(|[first, _]| time * first), start);
        let fed = self.apply([slow, fast].map(|[_, second]| time * time * second), b);
        [decayed[0] + fed[0], decayed[1] + fed[1]]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the defining series, which is exact to rounding for small z.
    #[test]
    fn phi_functions_join_smoothly() {
        for z in [-0.5000001, -0.4999999, 0.4999999, 0.5000001] {
            let closed = (libm::expm1(z) - z) / (z * z);
            let [first, second] = phi1_and_2(z);
            assert_eq!(first, libm::expm1(z) / z);
            assert!((second / closed - 1.0).abs() < 1e-12, "{z}");
        }
        assert_eq!(phi1_and_2(0.0), [1.0, 0.5]);
    }

    #[test]
    fn a_sealed_room_only_fills() {
        assert_eq!(after(0.0, 2.0, 1.0, 3.0), 7.0);
        assert_eq!(integral(0.0, 2.0, 1.0, 3.0), 12.0);
    }
}

//! How readily a gas or vapour leaves what it is dissolved in.

/// Solubility of a gas, k(T) = k exp(b (1/T − 1/298.15 K)).
#[derive(Debug, Clone, PartialEq)]
pub struct Henry {
    /// At 25 °C, mol/(L atm).
    pub mol_per_l_atm: f64,
    /// Its rise on cooling, K.
    pub b_kelvin: f64,
    /// The molecule it counts.
    pub of: String,
    /// Anything said beside it.
    pub note: String,
}

impl Henry {
    /// mol/(L atm) at a temperature.
    pub fn at(&self, kelvin: f64) -> f64 {
        self.mol_per_l_atm * libm::exp(self.b_kelvin * (1.0 / kelvin - 1.0 / 298.15))
    }
}

/// Vapour pressure of a pure liquid, log10(p/Pa) = a − b/(T/K + c).
#[derive(Debug, Clone, PartialEq)]
pub struct Antoine {
    /// a.
    pub a: f64,
    /// b, K.
    pub b: f64,
    /// c, K.
    pub c: f64,
    /// Holds from here, °C.
    pub low_c: f64,
    /// Holds to here, °C.
    pub high_c: f64,
}

impl Antoine {
    /// Pa at a temperature.
    pub fn pascal(&self, kelvin: f64) -> f64 {
        libm::exp10(self.a - self.b / (kelvin + self.c))
    }

    /// Whether the constants are meant for a temperature.
    pub fn covers(&self, celsius: f64) -> bool {
        (self.low_c..=self.high_c).contains(&celsius)
    }
}

//! Properties of water at ordinary pressure.

use libm::{exp, log, log10, pow, sqrt};

use crate::units::Temperature;

/// 0 °C in kelvin.
pub const ZERO_CELSIUS: f64 = 273.15;
/// Most baths stand at this temperature, °C: [`Temperature::ROOM`].
pub const ROOM: f64 = Temperature::ROOM.celsius();
/// 25 °C in kelvin, where acid constants are tabulated.
pub const REFERENCE_KELVIN: f64 = 298.15;
/// The gas constant, J/(mol K) (CODATA 2018).
pub const GAS_CONSTANT: f64 = 8.314_462_618;
/// Grams of water in a mole.
pub const MOLAR_MASS: f64 = 18.015_268;

/// The temperatures, °C, within which water is a liquid and the formulas below are used; others
/// are taken at the nearer end.
pub const LIQUID: (f64, f64) = (0.0, 100.0);

/// Density of water, kg/m³, at a temperature in °C.
///
/// Kell's equation as restated by Laliberté and Cooper, J. Chem. Eng. Data 49 (2004) 1141,
/// equation 5; within 0.01 kg/m³ from 0 to 100 °C.
pub fn density(celsius: f64) -> f64 {
    let t = celsius.clamp(LIQUID.0, LIQUID.1);
    let above = 999.83952
        + t * (16.945176
            + t * (-0.0079870401 + t * (-4.6170461e-5 + t * (1.0556302e-7 - t * 2.8054253e-10))));
    above / (1.0 + 0.01687985 * t)
}

/// Relative permittivity of water (Malmberg and Maryott, J. Res. Natl. Bur. Stand. 56 (1956) 1;
/// coefficients from memory, checked against 78.30 at 25 °C).
fn permittivity(celsius: f64) -> f64 {
    let t = celsius.clamp(LIQUID.0, LIQUID.1);
    87.740 + t * (-0.40008 + t * (9.398e-4 - t * 1.410e-6))
}

/// The Debye–Hückel slope A for log10 γ, (kg/mol)^½: 0.51 at 25 °C.
pub fn debye_slope(celsius: f64) -> f64 {
    let kelvin = celsius.clamp(LIQUID.0, LIQUID.1) + ZERO_CELSIUS;
    let product = permittivity(celsius) * kelvin;
    1.82483e6 * sqrt(density(celsius) / 1000.0) / (product * sqrt(product))
}

/// −log10 of the ionisation constant of water, molal, at 0.1 MPa.
///
/// IAPWS R11-07; within 0.01 from 0 to 100 °C.
pub fn ionisation_pk(celsius: f64) -> f64 {
    let kelvin = celsius.clamp(LIQUID.0, LIQUID.1) + ZERO_CELSIUS;
    let rho = density(celsius) / 1000.0;
    let q =
        rho * exp(-0.864671 + 8659.19 / kelvin - 22786.2 / (kelvin * kelvin) * pow(rho, 2.0 / 3.0));
    let gas = 0.61415 + 48251.33 / kelvin - 67707.93 / (kelvin * kelvin)
        + 10_102_100.0 / (kelvin * kelvin * kelvin);
    let beta = 0.642044 - 56.8534 / kelvin - 0.375754 * rho;
    -12.0 * (log10(1.0 + q) - q / (q + 1.0) * rho * beta) + gas + 2.0 * log10(MOLAR_MASS / 1000.0)
}

/// Heat given up when H⁺ and OH⁻ form water, J/mol, from the slope of [`ionisation_pk`].
pub fn ionisation_enthalpy(celsius: f64) -> f64 {
    let t = celsius.clamp(LIQUID.0 + 1.0, LIQUID.1 - 1.0);
    let kelvin = t + ZERO_CELSIUS;
    let slope = (ionisation_pk(t + 1.0) - ionisation_pk(t - 1.0)) / 2.0;
    -slope * core::f64::consts::LN_10 * GAS_CONSTANT * kelvin * kelvin
}

/// Heat capacity of water, kJ/(kg K): between tabulated values of the IAPWS-IF97 formulation
/// (4.219 at 0 °C, 4.179 at 35 °C, 4.216 at 100 °C).
pub fn heat_capacity(celsius: f64) -> f64 {
    const TABLE: [(f64, f64); 9] = [
        (0.0, 4.2194),
        (5.0, 4.2050),
        (10.0, 4.1955),
        (20.0, 4.1844),
        (30.0, 4.1798),
        (40.0, 4.1794),
        (60.0, 4.1851),
        (80.0, 4.1969),
        (100.0, 4.2157),
    ];
    crate::chemistry::table::straight(&TABLE, celsius).unwrap_or(4.18)
}

/// How constants move from 25 °C to another temperature, by van 't Hoff with a constant heat
/// capacity of reaction.
#[derive(Debug, Clone, Copy)]
pub struct VanTHoff {
    /// ln K for each kJ/mol of enthalpy.
    by_enthalpy: f64,
    /// ln K for each J/(mol K) of heat capacity.
    by_heat_capacity: f64,
}

impl VanTHoff {
    /// At a temperature in °C.
    pub fn at(celsius: f64) -> Self {
        let kelvin = celsius.clamp(LIQUID.0, LIQUID.1) + ZERO_CELSIUS;
        let ratio = REFERENCE_KELVIN / kelvin;
        Self {
            by_enthalpy: -1000.0 / GAS_CONSTANT * (1.0 / kelvin - 1.0 / REFERENCE_KELVIN),
            by_heat_capacity: (ratio - 1.0 - log(ratio)) / GAS_CONSTANT,
        }
    }

    /// ln K(T) − ln K(25 °C); enthalpy in kJ/mol and heat capacity in J/(mol K), of the reaction
    /// as K is written.
    pub fn shift(&self, enthalpy: f64, heat_capacity: f64) -> f64 {
        enthalpy * self.by_enthalpy + heat_capacity * self.by_heat_capacity
    }
}

/// What holds for every bath of one temperature.
#[derive(Debug, Clone, Copy)]
pub struct Conditions {
    /// °C.
    pub celsius: f64,
    /// A ln 10 of the Debye–Hückel term.
    pub slope: f64,
    /// ln of the ionisation constant of water.
    pub ln_kw: f64,
    /// The ionisation constant of water.
    pub kw: f64,
    /// How constants move.
    pub van_t_hoff: VanTHoff,
}

impl Conditions {
    /// At a temperature in °C.
    pub fn at(celsius: f64) -> Self {
        let ln_kw = -ionisation_pk(celsius) * core::f64::consts::LN_10;
        Self {
            celsius,
            slope: debye_slope(celsius) * core::f64::consts::LN_10,
            ln_kw,
            kw: exp(ln_kw),
            van_t_hoff: VanTHoff::at(celsius),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chemistry::tests::{number, rows};

    /// tests/reference/water-ionisation.csv
    #[test]
    fn ionisation_follows_the_release() {
        for row in rows(include_str!("../../tests/reference/water-ionisation.csv")) {
            let celsius = number(&row, "temperature_c");
            let (got, pk) = (ionisation_pk(celsius), number(&row, "pk"));
            assert!((got - pk).abs() < 0.001, "{celsius} °C: {got} for {pk}");
        }
    }

    /// IAPWS-IF97 by iapws 1.5.5, as in solution-density reference rows for water.
    #[test]
    fn density_and_heat_capacity_follow_the_formulation() {
        for (celsius, density_g_per_ml, joules) in
            [(15.0, 0.99910, 4189.0), (20.0, 0.99821, 4185.0)]
        {
            assert!((density(celsius) / 1000.0 - density_g_per_ml).abs() < 2e-5);
            assert!((heat_capacity(celsius) * 1000.0 - joules).abs() < 6.0);
        }
    }

    #[test]
    fn the_slope_is_the_one_reference_computations_use() {
        assert!((debye_slope(25.0) - 0.510).abs() < 0.002);
        // 55.815 kJ/mol at 25 °C in ThermoChimie 12a.
        assert!((ionisation_enthalpy(25.0) / 1000.0 - 55.8).abs() < 1.0);
    }
}

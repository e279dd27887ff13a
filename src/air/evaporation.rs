//! How fast vapour leaves an open surface: published mass-transfer coefficients.
//!
//! All give k in m/s for E = k A p M/(R T). They disagree: the penetration model is highest in
//! still air, the mass-transfer model holds in moving air, Mackay and Matsugu's is lowest at a
//! tray, and the process-safety form has no air speed in it and lies above all. The cautious one
//! for the air speed is used; lowest and highest make the band.

use super::dilution::{ATMOSPHERE, GAS_CONSTANT};

/// Kinematic viscosity of air at 20 °C, m²/s (as in the published form of Mackay and Matsugu).
const AIR_VISCOSITY: f64 = 1.51e-5;
/// Up to here the penetration model is meant: 100 ft/min in m/s.
const STILL_AIR: f64 = 0.508;
/// A torr in Pa.
const TORR: f64 = ATMOSPHERE / 760.0;

/// An open surface and the air over it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surface {
    /// Molar mass of the vapour, g/mol.
    pub g_per_mol: f64,
    /// Diffusion of the vapour in air at this temperature, m²/s.
    pub diffusion_m2_per_s: f64,
    /// Temperature of the surface, K.
    pub kelvin: f64,
    /// Air speed over it, m/s.
    pub air_m_per_s: f64,
    /// Length along the air's way, m.
    pub along_m: f64,
}

/// Mass-transfer coefficients in m/s: the one to use, and the band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficient {
    /// The cautious one for this air speed.
    pub used: f64,
    /// The lowest of the published ones.
    pub lowest: f64,
    /// The highest.
    pub highest: f64,
}

impl Surface {
    /// k of a published rate in g/s for 1 cm² and 1 torr.
    fn of_rate(&self, g_per_s: f64) -> f64 {
        let kg_per_mol = self.g_per_mol / 1000.0;
        (g_per_s / 1000.0) * GAS_CONSTANT * self.kelvin / (kg_per_mol * TORR * 1e-4)
    }

    fn feet_per_minute(&self) -> f64 {
        self.air_m_per_s / 0.005_08
    }

    /// Mackay and Matsugu: k = 0.0048 U^(7/9) Z^(−1/9) Sc^(−2/3).
    pub fn mackay_matsugu(&self) -> f64 {
        let schmidt = AIR_VISCOSITY / self.diffusion_m2_per_s;
        0.0048
            * libm::pow(self.air_m_per_s, 7.0 / 9.0)
            * libm::pow(self.along_m, -1.0 / 9.0)
            * libm::pow(schmidt, -2.0 / 3.0)
    }

    /// EPA mass-transfer model, Barrett et al. 2023, equations 2 to 4, as quoted.
    pub fn mass_transfer(&self) -> f64 {
        let (m, t) = (self.g_per_mol, self.kelvin);
        let rate = 1.93e-7
            * libm::pow(m, 0.78)
            * libm::pow(1.0 / 29.0 + 1.0 / m, 0.33)
            * libm::pow(self.feet_per_minute(), 0.78)
            / (libm::pow(t, 0.4)
                * libm::pow(self.along_m * 100.0, 0.11)
                * libm::pow(libm::sqrt(t) - 5.87, 2.0 / 3.0));
        self.of_rate(rate)
    }

    /// EPA penetration model at one atmosphere, same source.
    pub fn penetration(&self) -> f64 {
        let (m, t) = (self.g_per_mol, self.kelvin);
        let rate = 8.24e-8
            * libm::pow(m, 0.835)
            * libm::pow(1.0 / 29.0 + 1.0 / m, 0.25)
            * libm::sqrt(self.feet_per_minute())
            / (libm::pow(t, 0.05) * libm::sqrt(self.along_m * 100.0));
        self.of_rate(rate)
    }

    /// Process-safety form, k = 0.83 (18/M)^(1/3) cm/s (Crowl and Louvar).
    pub fn process_safety(&self) -> f64 {
        0.0083 * libm::cbrt(18.0 / self.g_per_mol)
    }

    /// The coefficient to use and the band of the published ones.
    pub fn coefficient(&self) -> Coefficient {
        let slow = [self.mackay_matsugu(), self.mass_transfer()];
        let moving = slow[0].max(slow[1]);
        let used = if self.air_m_per_s <= STILL_AIR {
            moving.max(self.penetration())
        } else {
            moving
        };
        Coefficient {
            used,
            lowest: slow[0].min(slow[1]),
            highest: used.max(self.process_safety()),
        }
    }
}

/// Concentration in the air of a partial pressure in Pa, mg/m³.
pub fn saturation_mg_per_m3(pascal: f64, g_per_mol: f64, kelvin: f64) -> f64 {
    pascal * g_per_mol * 1000.0 / (GAS_CONSTANT * kelvin)
}

/// Two films in series: what the liquid holds back, with the free gas fed from a reservoir.
///
/// `share_in_air` is the concentration in the air over that in the liquid at equilibrium,
/// 1/(k R T); `feeding` is reservoir/free, at least 1.
pub fn with_liquid_film(gas_side: f64, liquid_side: f64, share_in_air: f64, feeding: f64) -> f64 {
    1.0 / (1.0 / gas_side + share_in_air / (liquid_side * feeding.max(1.0)))
}

/// Diffusion in air at another temperature, m²/s: grows with T^1.75.
pub fn diffusion_at(cm2_per_s_at_25: f64, kelvin: f64) -> f64 {
    cm2_per_s_at_25 * 1e-4 * libm::pow(kelvin / 298.15, 1.75)
}

/// Diffusion estimated from the molar mass where none is on file, cm²/s at 25 °C and 1 atm:
/// 4.09e-5 T^1.9 (1/29 + 1/M)^0.5 M^(−1/3), of the same family of models (from memory).
pub fn diffusion_from_mass(g_per_mol: f64) -> f64 {
    4.09e-5 * libm::pow(298.15, 1.9) * libm::sqrt(1.0 / 29.0 + 1.0 / g_per_mol)
        / libm::cbrt(g_per_mol)
}

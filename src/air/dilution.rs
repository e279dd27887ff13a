//! The steady forms of textbooks: fresh air, purge, parts per million.
//!
//! Concentrations in mg/m³ (or any one unit throughout), flows in m³/h, volumes in m³, times in
//! hours. `fresh` is the flow that really mixes, Q/K.

/// Gas constant, J/(mol K): exact since the SI of 2019.
pub const GAS_CONSTANT: f64 = 8.314_462_618;
/// One atmosphere, Pa: exact.
pub const ATMOSPHERE: f64 = 101_325.0;

/// Litres a mole of gas takes at a temperature and one atmosphere; 24.465 L at 25 °C.
pub fn litres_per_mole(celsius: f64) -> f64 {
    GAS_CONSTANT * (celsius + 273.15) / ATMOSPHERE * 1000.0
}

/// mg/m³ of so many parts per million at a temperature and one atmosphere.
pub fn mg_per_m3(ppm: f64, g_per_mol: f64, celsius: f64) -> f64 {
    ppm * g_per_mol / litres_per_mole(celsius)
}

/// Flow that keeps a steady release at a limit: Q = K G/C.
pub fn flow_for(release_per_h: f64, limit: f64, mixing: f64) -> f64 {
    mixing * release_per_h / limit
}

/// Hours of airing from one concentration to a lower one: t = (V/Q) ln(C/limit); 0 when it is
/// there already.
pub fn purge_hours(volume: f64, fresh: f64, from: f64, to: f64) -> f64 {
    if from <= to {
        0.0
    } else {
        volume / fresh * libm::log(from / to)
    }
}

/// Cubic feet a minute of so many m³/h.
pub fn cubic_feet_per_minute(m3_per_h: f64) -> f64 {
    // 0.3048³ × 60 (NIST SP 811, Appendix B).
    m3_per_h / 1.699_010_795_52
}

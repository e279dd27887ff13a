//! The whole path by hand. Published worked examples stand in `tests/suite/air_examples.rs`.

use super::super::case::{Amount, GasRelease};
use super::super::{Region, assess};
use super::{gases, model, room, tray, within};

/// The whole path: steady release, Q = K G/C by hand. 2 mg/min for 60 min in 30 m³ with 150 m³/h
/// and K = 3: 120 mg; K G/Q = 2.4 mg/m³; peak 2.4 (1 − e^(−50/30)).
#[test]
fn the_contract_by_hand() {
    let mut case = room(30.0, Some(150.0), 8.0);
    case.mixing = Some(super::super::Mixing::new(3.0).unwrap());
    case.releases.push(GasRelease {
        gas: "sulfur dioxide".into(),
        amount: Amount::Rate {
            rate: "2 mg/min".parse().unwrap(),
            from: super::hours(0.0),
            lasts: super::hours(1.0),
        },
    });
    let assessed = assess(&case, &gases(), &[Region::Eu], &model()).unwrap();
    let so2 = &assessed.gases[0];
    within(so2.emitted_mg, 120.0, 1e-9, "mg");
    within(so2.steady_mg_per_m3.unwrap(), 2.4, 1e-9, "steady");
    let peak = 2.4 * (1.0 - (-50.0f64 / 30.0).exp());
    within(so2.peak_mg_per_m3, peak, 1e-9, "peak");
    let remaining = 30.0 * peak * (-50.0f64 * 7.0 / 30.0).exp();
    within(
        so2.twa_8h_mg_per_m3,
        (120.0 - remaining) / 50.0 / 8.0,
        1e-9,
        "8 h",
    );
    // Strictest in force for a steady release: 1.3 mg/m³ over 8 h: 3 × 120/1.3.
    within(
        so2.fresh_air_needed_m3_per_h.unwrap(),
        3.0 * 120.0 / 1.3,
        1e-9,
        "m3/h",
    );
    within(
        so2.purge_minutes_to_limit.unwrap(),
        60.0 * 30.0 / 50.0 * (peak / 1.3).ln(),
        1e-9,
        "min",
    );
    assert!(so2.near_field_peak_mg_per_m3 > so2.peak_mg_per_m3);
}

/// What would help is computed: half the surface gives about half, leaving the acid out nothing.
#[test]
fn options_are_computed() {
    let mut case = room(20.0, Some(100.0), 4.0);
    case.baths
        .push(tray("acetic acid", 0.34, Some(0.34), 0.2, 20.0, 0.2, 4.0));
    let assessed = assess(&case, &gases(), &[Region::Eu], &model()).unwrap();
    let acid = &assessed.gases[0];
    let peak = |at: usize| acid.options[at].peak_mg_per_m3 / acid.peak_mg_per_m3;
    assert!((0.05..0.15).contains(&peak(0)), "lid {}", peak(0));
    assert!((0.5..0.7).contains(&peak(1)), "smaller {}", peak(1));
    assert!((0.55..0.8).contains(&peak(2)), "colder {}", peak(2));
    assert_eq!(peak(3), 0.0);
}

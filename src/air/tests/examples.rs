//! Published worked examples, within 2 % of the printed answers.

use super::super::case::{Amount, GasRelease};
use super::super::evaporation::Surface;
use super::super::release::{Release, Schedule};
use super::super::room::{Feed, Levels, Zones};
use super::super::{Course, Zone, assess};
use super::super::{Region, dilution};
use super::{gases, model, room, tray, within};

const CUBIC_FOOT: f64 = 0.028_316_846_592;

/// Crowl and Louvar type problem: toluene 0.1 g/min into 100 ft³/min at 80 °F, k = 1, 0.5, 0.1.
#[test]
fn toluene_in_a_ventilated_room() {
    let celsius = (80.0 - 32.0) / 1.8;
    let flow = 100.0 * CUBIC_FOOT * 60.0;
    for (k, printed) in [(1.0, 9.43), (0.5, 18.9), (0.1, 94.3)] {
        let mg = dilution::steady(100.0 * 60.0, flow * k);
        within(dilution::ppm(mg, 92.14, celsius), printed, 0.02, "ppm");
    }
}

fn surface(g_per_mol: f64, kelvin: f64, air: f64, along: f64, diffusion: f64) -> Surface {
    Surface {
        g_per_mol,
        diffusion_m2_per_s: diffusion,
        kelvin,
        air_m_per_s: air,
        along_m: along,
    }
}

/// kg/s from a surface, E = k A p M/(R T).
fn evaporation(k: f64, m2: f64, pascal: f64, g_per_mol: f64, kelvin: f64) -> f64 {
    k * m2 * pascal * g_per_mol / 1000.0 / (dilution::GAS_CONSTANT * kelvin)
}

/// Crowl and Louvar, example 3-8: open tank of toluene, 5 ft across, 77 °F, 28.2 mmHg,
/// 3000 ft³/min. Answers from memory: 0.949 ft/min, 0.162 lb/min, 230 ppm.
#[test]
fn open_tank_of_toluene() {
    let k = surface(92.0, 298.15, 0.1, 1.5, 1e-5).process_safety();
    within(k * 60.0 / 0.3048, 0.949, 0.02, "ft/min");
    let area = std::f64::consts::PI / 4.0 * (5.0f64 * 0.3048).powi(2);
    let kg = evaporation(k, area, 28.2 / 760.0 * dilution::ATMOSPHERE, 92.0, 298.15);
    within(kg * 60.0 / 0.453_592_37, 0.162, 0.02, "lb/min");
    let mg = dilution::steady(kg * 1e6 * 3600.0, 3000.0 * CUBIC_FOOT * 60.0);
    within(dilution::ppm(mg, 92.0, 25.0), 230.0, 0.02, "ppm");
}

/// Same family: gasoline, M = 94: 0.478 cm/s.
#[test]
fn gasoline_coefficient() {
    let k = surface(94.0, 298.0, 0.1, 1.0, 1e-5).process_safety();
    within(k * 100.0, 0.478, 0.02, "cm/s");
}

/// Abulencia and Theodore, example 20.2: 3/8 gal/h of adhesive, 40 % toluene by volume, SG 0.87,
/// M 92, 293 K, 80 ppm, K = 5. Printed 1.09 lb/h and 8.24 g/min; the flow 134 000 L/min is our
/// arithmetic (the last line is cut off in the copy).
#[test]
fn adhesive_with_toluene() {
    let g_per_min = 0.375 * 3_785.411_784 * 0.4 * 0.87 / 60.0;
    within(g_per_min, 8.24, 0.02, "g/min");
    let limit = dilution::mg_per_m3(80.0, 92.0, 293.0 - 273.15);
    let flow = dilution::flow_for(g_per_min * 60_000.0, limit, 5.0);
    within(flow * 1000.0 / 60.0, 1.34e5, 0.02, "L/min");
    within(
        dilution::cubic_feet_per_minute(flow),
        4750.0,
        0.02,
        "ft3/min",
    );
}

/// A municipal filing: 13 440 ft³, all of 190 g acetone, 145 g ethanol, 152 g propan-2-ol
/// evaporates, no ventilation: 0.50, 0.38, 0.40 mg/L.
#[test]
fn a_spill_in_a_store_room() {
    let m3 = 13_440.0 * CUBIC_FOOT;
    let sealed = Zones::around_face(m3, 0.0, 0.5, 0.05);
    for (grams, printed) in [(190.0, 0.50), (145.0, 0.38), (152.0, 0.40)] {
        let level = sealed.burst(Levels::default(), grams * 1000.0);
        // Printed to two figures: 0.005 mg/L is half of the last.
        assert!((level.room / 1000.0 - printed).abs() <= 0.005, "{grams} g");
    }
}

/// EPA models, public test case: M 100, x 0.5, 10 torr, 1000 cm², 298 K, 30 cm; 100 ft/min by the
/// mass-transfer model, 30 ft/min by penetration (inputs read, answers our arithmetic).
#[test]
fn epa_open_surface_models() {
    let torr = dilution::ATMOSPHERE / 760.0;
    let grams = |k: f64| 1000.0 * evaporation(k, 0.1, 5.0 * torr, 100.0, 298.0);
    within(
        grams(surface(100.0, 298.0, 0.508, 0.3, 1e-5).mass_transfer()),
        0.006336,
        0.02,
        "mass transfer",
    );
    let still = surface(100.0, 298.0, 30.0 * 0.005_08, 0.3, 1e-5);
    within(grams(still.penetration()), 0.006656, 0.02, "penetration");
    // Penetration theory k = √(4 D U/(π d)) with D of the same family: 0.006611 g/s.
    let d =
        4.09e-5 * 298f64.powf(1.9) * (1.0f64 / 29.0 + 0.01).sqrt() * 100f64.powf(-1.0 / 3.0) * 1e-4;
    let theory = (4.0 * d * still.air_m_per_s / (std::f64::consts::PI * 0.3)).sqrt();
    within(still.penetration(), theory, 0.02, "theory");
}

/// J. Jayjock, 2013: tracer in 20 m³, 16 ppm at first; 12.5, 9.7, 7.9, 4.1 ppm after 0.5, 1, 1.4,
/// 2.8 h; half-life 1.4 h, Q = 9.9 m³/h. Measured, so within 3 %.
#[test]
fn tracer_decay_in_a_real_room() {
    let zones = Zones::around_face(20.0, 9.9, 0.5, 0.05);
    let start = Levels {
        room: 16.0,
        near: 16.0,
        far: 16.0,
    };
    for (t, measured) in [(0.5, 12.5), (1.0, 9.7), (1.4, 7.9), (2.8, 4.1)] {
        let now = zones.after(start, Feed::default(), t);
        within(now.room, measured, 0.03, "ppm");
    }
    within(
        dilution::purge_hours(20.0, 9.9, 16.0, 8.0),
        1.4,
        0.02,
        "half-life",
    );
}

/// AIHA Synergist, April 2017: 12 × 9 × 5 m and 54 m³/min are 540 m³ and 6 changes an hour.
#[test]
fn changes_per_hour() {
    let case = room(12.0 * 9.0 * 5.0, Some(54.0 * 60.0), 1.0);
    let assessed = assess(&case, &gases(), &[Region::Us], &model()).unwrap();
    within(assessed.changes_per_hour, 6.0, 1e-9, "changes");
}

/// An air-force course text: 20 × 14 × 12 ft is 3360 ft³.
#[test]
fn room_volume_in_feet() {
    let m3: crate::units::RoomVolume = "3360 ft3".parse().unwrap();
    within(m3.m3(), 20.0 * 14.0 * 12.0 * 0.3048f64.powi(3), 1e-9, "m3");
}

/// ACGIH manual, from memory: methyl chloroform 2 pt/h, SG 1.32, M 133.4, 350 ppm, K 5:
/// 1900 ft³/min (at 70 °F, 387 ft³ a pound-mole).
#[test]
fn methyl_chloroform() {
    let mg_per_h = 2.0 * 473.176_473 * 1.32 * 1000.0;
    let limit = dilution::mg_per_m3(350.0, 133.4, 21.1);
    let flow = dilution::flow_for(mg_per_h, limit, 5.0);
    within(
        dilution::cubic_feet_per_minute(flow),
        1900.0,
        0.02,
        "ft3/min",
    );
}

/// ACGIH manual, from memory: 1.2 ft³/min of vapour, 2000 ft³/min, 100 000 ft³: 20.3 min to
/// 200 ppm, 419 ppm at 60 min; then from 100 ppm 69.3 min to 25 ppm, 30 ppm after 60 min.
#[test]
fn build_up_and_purge() {
    let (v, q) = (100_000.0, 2000.0);
    within(
        dilution::build_up_hours(v, q, 1.2, 200e-6).unwrap(),
        20.3,
        0.02,
        "min",
    );
    assert_eq!(dilution::build_up_hours(v, q, 1.2, 700e-6), None);
    let zones = Zones {
        room_m3: v,
        near_m3: 10.0,
        far_m3: v - 10.0,
        exchange_m3_per_h: 100.0,
        fresh_m3_per_h: q,
    };
    let feed = Feed {
        mg_per_h: 1.2,
        uptake_m3_per_h: 0.0,
    };
    within(
        zones.after(Levels::default(), feed, 60.0).room,
        419e-6,
        0.02,
        "ppm",
    );
    within(dilution::purge_hours(v, q, 100.0, 25.0), 69.3, 0.02, "min");
    let start = Levels {
        room: 100.0,
        near: 100.0,
        far: 100.0,
    };
    within(
        zones.after(start, Feed::default(), 60.0).room,
        30.0,
        0.02,
        "ppm",
    );
}

/// A public R version of the AIHA models: 100 mg/min with a quarter let through, Q 20, b 5 m³/min,
/// V 100, Vn 8 m³: steady 1.25 and 6.25; well mixed 1.188 mg/m³ at 15 min (parameters and
/// formulas read, numbers our arithmetic). Minutes stand for hours here.
#[test]
fn two_zones_steady() {
    let zones = Zones {
        room_m3: 100.0,
        near_m3: 8.0,
        far_m3: 100.0,
        exchange_m3_per_h: 5.0,
        fresh_m3_per_h: 20.0,
    };
    let feed = Feed {
        mg_per_h: 25.0,
        uptake_m3_per_h: 0.0,
    };
    let steady = zones.steady(feed).unwrap();
    within(steady.near, 6.25, 1e-9, "near");
    within(steady.far, 1.25, 1e-9, "far");
    within(
        zones.after(Levels::default(), feed, 15.0).room,
        1.188,
        0.001,
        "room",
    );
}

/// The same room with 100 mg/min, over time (computed by two independent methods).
#[test]
fn two_zones_over_time() {
    let zones = Zones {
        room_m3: 108.0,
        near_m3: 8.0,
        far_m3: 100.0,
        exchange_m3_per_h: 5.0,
        fresh_m3_per_h: 20.0,
    };
    let feed = Feed {
        mg_per_h: 100.0,
        uptake_m3_per_h: 0.0,
    };
    for (t, near, far) in [
        (1.0, 9.340, 0.2359),
        (5.0, 20.666, 2.3092),
        (15.0, 24.361, 4.5455),
        (60.0, 25.0, 4.9999),
    ] {
        let now = zones.after(Levels::default(), feed, t);
        within(now.near, near, 1e-4, "near");
        within(now.far, far, 1e-3, "far");
    }
}

/// A tray of 2 % acetic acid, 0.4 × 0.5 m, 20 °C, 5.79 Pa, in mg/h at four air speeds (computed in
/// the notes; Mackay and Matsugu, mass transfer, penetration; D = 0.1156 cm²/s as used there).
#[test]
fn a_tray_of_stop_bath() {
    for (air, mackay, transfer, penetration) in [
        (0.05, 44.0, 45.0, 140.0),
        (0.1, 76.0, 77.0, 198.0),
        (0.2, 130.0, 132.0, 280.0),
        (0.5, 266.0, 271.0, 442.0),
    ] {
        let surface = surface(60.052, 293.15, air, 0.4, 0.1156e-4);
        let mg = |k: f64| 3.6e9 * evaporation(k, 0.2, 5.79, 60.052, 293.15);
        within(
            mg(surface.mackay_matsugu()),
            mackay,
            0.02,
            "Mackay and Matsugu",
        );
        within(mg(surface.mass_transfer()), transfer, 0.02, "mass transfer");
        within(mg(surface.penetration()), penetration, 0.02, "penetration");
    }
}

/// Flow for that tray at 0.1 m/s: 3.0 m³/h for 25 mg/m³ with K = 1, 30 with K = 10 (computed).
#[test]
fn fresh_air_for_the_tray() {
    within(dilution::flow_for(76.0, 25.0, 1.0), 3.0, 0.02, "m3/h");
    within(dilution::flow_for(76.0, 25.0, 10.0), 30.0, 0.02, "m3/h");
}

/// 1 g of SO2 set free in 20 m³: 50 mg/m³, 18.8 ppm at 20 °C; below 0.5 ppm (1.33 mg/m³ at 20 °C)
/// after 21.8 min at 10 changes an hour (computed).
#[test]
fn a_gram_of_sulfur_dioxide() {
    let zones = Zones::around_face(20.0, 200.0, 0.5, 0.05);
    let burst = Schedule::new(vec![Release::Burst {
        mg: 1000.0,
        at_h: 0.0,
    }]);
    let course = Course::run(zones, &burst, 1.0);
    within(course.peak(Zone::Room).0, 50.0, 1e-9, "mg/m3");
    within(dilution::ppm(50.0, 64.064, 20.0), 18.8, 0.02, "ppm");
    let limit = dilution::mg_per_m3(0.5, 64.064, 20.0);
    within(
        60.0 * dilution::purge_hours(20.0, 200.0, 50.0, limit),
        21.8,
        0.02,
        "min",
    );
}

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

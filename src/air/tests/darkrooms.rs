//! Published measurements in real darkrooms beside predictions for a set-up like theirs.
//!
//! None of the three sources read (only their openings were) states room volume, air changes,
//! number and size of open surfaces or bath composition; every figure below marked "assumed" is
//! ours. So a hit says that the band is not absurd, not that the model is proven, and the
//! band is wide. The outcome is recorded either way: a change of outcome fails the test.

use super::super::case::OpenBath;
use super::super::{AirAssessment, Region, assess};
use super::{gases, model, room, tray};

fn predicted(assessed: &AirAssessment) -> (f64, f64, f64) {
    let gas = &assessed.gases[0];
    let (room, near) = (gas.twa_8h_mg_per_m3, gas.near_field_twa_8h_mg_per_m3);
    // Lowest: the room over its factor; highest: the breathing zone times it.
    (
        room / gas.uncertainty_factor,
        room,
        near * gas.uncertainty_factor,
    )
}

/// 8-hour band of one gas over a set of baths in a room with so much fresh air, K = 1.
fn band(m3: f64, changes: f64, baths: Vec<OpenBath>) -> (f64, f64, f64) {
    let mut case = room(m3, Some(m3 * changes), 8.0);
    case.baths = baths;
    predicted(&assess(&case, &gases(), &[Region::Us], &model()).unwrap())
}

fn outcome((low, _, high): (f64, f64, f64), measured: f64) -> &'static str {
    if measured < low {
        "miss: predicted too high"
    } else if measured > high {
        "miss: predicted too low"
    } else {
        "hit"
    }
}

/// NIOSH HETA 85-323-1677, college photo laboratory: acetic acid 0.2 mg/m³ over 6 h, personal.
/// Assumed: 100 m³, 4 changes an hour ("too little fresh air"), four stop trays of 0.12 m² with 1 %
/// acid (0.167 mol/L, nearly all undissociated), air at 0.1 m/s, open 6 h. Outcome: room 0.37,
/// band 0.022 to 24 mg/m³: the middle is within a factor of two.
#[test]
fn acetic_acid_in_a_college_laboratory() {
    let trays = vec![tray(
        "acetic acid",
        0.165,
        Some(0.165),
        4.0 * 0.12,
        20.0,
        0.1,
        6.0,
    )];
    let band = band(100.0, 4.0, trays);
    assert_eq!(outcome(band, 0.2), "hit", "{band:?}");
}

/// British Columbia radiographers, full shift: acetic acid 0.09 mg/m³. Assumed: 40 m³ room,
/// 8 changes an hour, one processor that leaves 0.05 m² of fixer at 30 °C open, pH about 4.7:
/// 0.05 mol/L undissociated acetic acid of 0.1. Outcome: room 0.07, band 0.005 to 3.5 mg/m³.
#[test]
fn acetic_acid_at_an_x_ray_processor() {
    let band = band(
        40.0,
        8.0,
        vec![tray("acetic acid", 0.05, Some(0.1), 0.05, 30.0, 0.1, 8.0)],
    );
    assert_eq!(outcome(band, 0.09), "hit", "{band:?}");
}

/// The same study: SO2 0.08 mg/m³. Assumed besides: 0.1 mol/L sulfite in the fixer at pH 4.7,
/// of which SO2(aq) is 10^(1.8 − 4.7) = 0.13 % (pKa1 about 1.8): 1.3e-4 mol/L. Outcome: room 0.45, band 0.03 to 22 mg/m³: high by 5.7 in the
/// middle.
#[test]
fn sulfur_dioxide_at_an_x_ray_processor() {
    let band = band(
        40.0,
        8.0,
        vec![tray(
            "sulfur dioxide",
            1.3e-4,
            Some(0.1),
            0.05,
            30.0,
            0.1,
            8.0,
        )],
    );
    assert_eq!(outcome(band, 0.08), "hit", "{band:?}");
}

/// The mammography room of the next two checks: 20 m³ and that processor, both assumed.
fn film_room(fresh_air: Option<f64>) -> (f64, f64, f64) {
    let mut case = room(20.0, fresh_air, 8.0);
    let fixer = tray("sulfur dioxide", 1.3e-4, Some(0.1), 0.05, 30.0, 0.1, 8.0);
    case.baths = vec![fixer];
    predicted(&assess(&case, &gases(), &[Region::Us], &model()).unwrap())
}

/// Mammography film room with ventilation sealed off: SO2 0.019 to 0.064 ppm (0.05 to 0.17 mg/m³).
/// Assumed: 20 m³, the same processor, the default leak of 0.1 changes an hour and K = 1.
///
/// Outcome: room 22, band 0.73 to 680 mg/m³: a miss, four times and more below the band. Not tuned
/// away: a processor's tanks are mostly covered and often have a duct of their own, the machine
/// runs for minutes and not for eight hours, a room is seldom as tight as the default, and walls
/// take up sulfur dioxide. All push the same way, and the error lies on the cautious side.
#[test]
fn sulfur_dioxide_with_ventilation_sealed() {
    let band = film_room(None);
    for measured in [0.05, 0.17] {
        let outcome = outcome(band, measured);
        assert_eq!(outcome, "miss: predicted too high", "{measured}: {band:?}");
    }
}

/// The same with walls that take the gas up: 0.057 cm/s to indoor surfaces (Heritage Science
/// 2022, article 673, Table 2: the mean of measurements to paintings at 30 and 50 % humidity) over
/// the 45 m² of a room of 20 m³ is 92 m³/h. Outcome: room 1.5, band 0.10 to 38 mg/m³: the highest
/// reading lies inside, the lowest still at half of its low edge. So walls explain most of the
/// miss, a factor of 14, not all. The program does not count them: paint, tiles and steel differ,
/// a wall fills up, and no one should breathe on the strength of a wall.
#[test]
fn walls_explain_most_of_the_sealed_room() {
    let uptake = 0.057e-2 * 3600.0 * 45.0;
    let band = film_room(Some(0.1 * 20.0 + uptake));
    assert_eq!(outcome(band, 0.17), "hit", "{band:?}");
    assert_eq!(outcome(band, 0.05), "miss: predicted too high", "{band:?}");
}

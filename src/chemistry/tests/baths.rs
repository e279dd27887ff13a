//! Baths as they are mixed, their ranges common practice without a source, and what is not known.

use super::chemistry;
use crate::chemistry::{Bath, Chemistry, Dissolved, Dissolves, Makeup, Ph};
use crate::units::Temperature;

fn bath(chemistry: &Chemistry, water_g: f64, parts: &[(&str, f64, f64)]) -> Bath {
    let dissolved = parts
        .iter()
        .map(|(id, grams, molar_mass)| Dissolved::pure(*id, *grams, *molar_mass))
        .collect();
    let temperature = Temperature::from_celsius(20.0).unwrap();
    chemistry
        .bath(&Makeup {
            water_g,
            dissolved,
            temperature,
        })
        .unwrap()
}

const BORAX_FILM_DEVELOPER: &[(&str, f64, f64)] = &[
    ("metol", 2.0, 344.38),
    ("sodium-sulfite", 100.0, 126.04),
    ("hydroquinone", 5.0, 110.11),
    ("borax-decahydrate", 2.0, 381.37),
];
const CARBONATE_PAPER_DEVELOPER: &[(&str, f64, f64)] = &[
    ("metol", 3.0, 344.38),
    ("sodium-sulfite", 45.0, 126.04),
    ("hydroquinone", 12.0, 110.11),
    ("sodium-carbonate-anhydrous", 68.0, 105.99),
    ("potassium-bromide", 2.0, 119.0),
];
const CAUSTIC_DEVELOPER: &[(&str, f64, f64)] = &[
    ("hydroquinone", 22.5, 110.11),
    ("sodium-sulfite", 50.0, 126.04),
    ("sodium-hydroxide", 30.0, 39.997),
    ("potassium-bromide", 15.0, 119.0),
];

/// The values overlap the range practice knows, and the best estimate is within it or near.
#[test]
fn baths_come_out_as_practice_knows_them() {
    let chemistry = chemistry();
    type Case<'a> = (&'a str, &'a [(&'a str, f64, f64)], f64, f64);
    let cases: [Case<'_>; 5] = [
        ("borax film developer", BORAX_FILM_DEVELOPER, 8.3, 8.9),
        (
            "carbonate paper developer",
            CARBONATE_PAPER_DEVELOPER,
            9.8,
            10.6,
        ),
        ("caustic developer", CAUSTIC_DEVELOPER, 12.0, 14.0),
        ("1 % acetic stop", &[("acetic-acid", 10.0, 60.05)], 2.4, 3.0),
        ("2 % acetic stop", &[("acetic-acid", 20.0, 60.05)], 2.4, 3.0),
    ];
    let mut misses = Vec::new();
    for (name, parts, low, high) in cases {
        let equilibrium = chemistry.equilibrium(&bath(chemistry, 960.0, parts));
        let bounds = equilibrium.ph.bounds();
        println!(
            "{name}: {bounds:?} at I = {:.2}",
            equilibrium.ionic_strength
        );
        let within = bounds.is_some_and(|(_, value, _)| value >= low && value <= high);
        if !within {
            misses.push(format!("{name}: {bounds:?}, practice {low} to {high}"));
        }
    }
    assert!(misses.is_empty(), "{}", misses.join("\n"));
}

#[test]
fn what_is_not_known_is_said() {
    let chemistry = chemistry();
    let cases: [&[(&str, f64, f64)]; 6] = [
        &[
            ("potassium-permanganate", 5.0, 158.03),
            ("sodium-sulfite", 20.0, 126.04),
        ],
        &[
            ("ferric-chloride", 20.0, 270.3),
            ("sodium-carbonate-anhydrous", 20.0, 105.99),
        ],
        &[
            ("potassium-alum", 15.0, 474.4),
            ("sodium-hydroxide", 5.0, 39.997),
        ],
        &[
            ("formaldehyde", 20.0, 30.03),
            ("sodium-sulfite", 20.0, 126.04),
        ],
        &[("ferric-ammonium-citrate", 100.0, 0.0)],
        &[("ethanol", 2000.0, 46.07)],
    ];
    for parts in cases {
        let ph = chemistry.equilibrium(&bath(chemistry, 1000.0, parts)).ph;
        assert!(
            matches!(&ph, Ph::NotComputed { why } if !why.is_empty()),
            "{parts:?}: {ph:?}"
        );
    }
}

/// A little of what is not known widens the bounds; it does not silence them.
#[test]
fn a_trace_of_the_unknown_widens_the_bounds() {
    let chemistry = chemistry();
    let mut parts = CARBONATE_PAPER_DEVELOPER.to_vec();
    let (low, _, high) = chemistry
        .equilibrium(&bath(chemistry, 960.0, &parts))
        .ph
        .bounds()
        .unwrap();
    parts.push(("sodium-hexametaphosphate", 1.0, 611.8));
    let wider = chemistry
        .equilibrium(&bath(chemistry, 960.0, &parts))
        .ph
        .bounds()
        .unwrap();
    assert!(wider.0 < low && wider.2 > high);
}

/// Greatest amounts of gas from the stoichiometry of the reactions named.
#[test]
fn gases_are_limited_by_the_scarcer_partner() {
    let chemistry = chemistry();
    let meet = |a: &[(&str, f64, f64)], b: &[(&str, f64, f64)], gas: &str| {
        let (a, b) = (bath(chemistry, 1000.0, a), bath(chemistry, 1000.0, b));
        let gases = chemistry.combine(&a, &b, 1.0, true).gases;
        gases
            .iter()
            .filter(|found| found.gas == gas)
            .map(|found| found.greatest_mol)
            .fold(0.0, f64::max)
    };
    let sulfuric = [("sulfuric-acid", 98.08, 98.08)];
    // 0.1 mol in plenty of acid: all of it.
    for (chemical, molar_mass, gas) in [
        ("sodium-sulfite", 126.04, "SO2"),
        ("sodium-sulfide", 78.05, "H2S"),
        ("potassium-cyanide", 65.12, "HCN"),
        ("sodium-carbonate-anhydrous", 105.99, "CO2"),
    ] {
        let moles = meet(&[(chemical, 0.1 * molar_mass, molar_mass)], &sulfuric, gas);
        assert!((moles - 0.1).abs() < 0.003, "{chemical}: {moles} mol {gas}");
    }
    // 0.1 mol hydrochloric acid on 1 mol sulfide: one H2S per two acid, and S-- takes the rest.
    let little_acid = meet(
        &[("sodium-sulfide", 78.05, 78.05)],
        &[("hydrochloric-acid", 3.646, 36.458)],
        "H2S",
    );
    assert!(little_acid < 0.06, "{little_acid}");
    // Ammonium chloride 0.2 mol with 0.1 mol caustic: 0.1 mol ammonia and a little more from balance.
    let ammonia = meet(
        &[("ammonium-chloride", 10.698, 53.491)],
        &[("sodium-hydroxide", 3.9997, 39.997)],
        "NH3",
    );
    assert!((ammonia - 0.1).abs() < 0.01, "{ammonia}");
    // Hypochlorite 0.1 mol with as much chloride in acid: 0.1 mol chlorine.
    let chlorine = meet(&[("sodium-hypochlorite", 7.444, 74.44)], &sulfuric, "Cl2");
    assert!((chlorine - 0.1).abs() < 0.003, "{chlorine}");
    // Nothing from sulfite in alkali.
    assert!(
        meet(
            &[("sodium-sulfite", 12.6, 126.04)],
            &[("sodium-carbonate-anhydrous", 10.6, 105.99)],
            "SO2"
        ) < 1e-6
    );
}

#[test]
fn hydrates_and_bottles_bring_their_water() {
    let chemistry = chemistry();
    let dry = bath(
        chemistry,
        1000.0,
        &[("sodium-carbonate-anhydrous", 105.988, 105.988)],
    );
    let hydrate = bath(
        chemistry,
        1000.0 - 180.15,
        &[("sodium-carbonate-decahydrate", 286.14, 286.14)],
    );
    assert!((dry.water_kg - hydrate.water_kg).abs() < 1e-4);
    assert!(
        (chemistry.composition(&dry).volume.value - chemistry.composition(&hydrate).volume.value)
            .abs()
            < 1e-4
    );
    let bottle = Dissolved::pure("sulfuric-acid", 100.0, 98.08).at_strength(0.96);
    let temperature = Temperature::from_celsius(20.0).unwrap();
    let made = chemistry
        .bath(&Makeup {
            water_g: 0.0,
            dissolved: vec![bottle],
            temperature,
        })
        .unwrap();
    assert!((made.water_kg - 0.004).abs() < 1e-6);
}

#[test]
fn every_listed_chemical_can_be_worked_with() {
    let chemistry = chemistry();
    for chemical in chemistry.dissolution().chemicals() {
        let solute = chemistry.dissolution().of_chemical(chemical, None).unwrap();
        let solution = bath(
            chemistry,
            1000.0,
            &[(chemical, 5.0, solute.molar_mass.unwrap_or(0.0))],
        );
        let equilibrium = chemistry.equilibrium(&solution);
        if let Some((low, value, high)) = equilibrium.ph.bounds() {
            assert!(
                low < value && value < high && low > -2.0 && high < 16.0,
                "{chemical}: {low} {value} {high}"
            );
        }
        let density = chemistry.density(&solution);
        assert!(
            density.low > 0.98 && density.high < 1.02,
            "{chemical}: {density:?}"
        );
        let _ = (
            chemistry.solubility(&solution, 20.0),
            chemistry.gases(&solution, &equilibrium.ph),
        );
    }
}

#[test]
fn bad_amounts_get_a_message() {
    let chemistry = chemistry();
    let temperature = Temperature::from_celsius(20.0).unwrap();
    for (id, grams, molar_mass) in [
        ("no-such-thing", 1.0, 1.0),
        ("metol", -1.0, 344.4),
        ("metol", f64::NAN, 344.4),
        ("metol", 1.0, 12.0),
    ] {
        let makeup = Makeup {
            water_g: 1000.0,
            dissolved: vec![Dissolved::pure(id, grams, molar_mass)],
            temperature,
        };
        assert!(!chemistry.bath(&makeup).unwrap_err().to_string().is_empty());
    }
}

/// Baths that clear in practice are not called impossible, and a strong salt solution drops out
/// in the cold (common practice, no source; the solubilities are checked in `physical`).
#[test]
fn what_clears_in_practice_clears_here() {
    let chemistry = chemistry();
    let fixer: &[(&str, f64, f64)] = &[
        ("sodium-thiosulfate", 250.0, 248.18),
        ("sodium-sulfite", 15.0, 126.04),
        ("sodium-metabisulfite", 12.0, 190.1),
    ];
    for parts in [
        BORAX_FILM_DEVELOPER,
        CARBONATE_PAPER_DEVELOPER,
        CAUSTIC_DEVELOPER,
        fixer,
    ] {
        let solubility = chemistry.solubility(&bath(chemistry, 960.0, parts), 20.0);
        let worst = solubility.solids.first();
        assert!(
            solubility.dissolves() == Some(Dissolves::Yes),
            "{parts:?}: {worst:?} {:?}",
            solubility.no_data
        );
    }
    let strong = bath(chemistry, 1000.0, &[("sodium-sulfite", 250.0, 126.04)]);
    assert_eq!(
        chemistry.solubility(&strong, 30.0).dissolves(),
        Some(Dissolves::Yes)
    );
    assert_eq!(
        chemistry.solubility(&strong, 5.0).dissolves(),
        Some(Dissolves::No)
    );
    let developer = bath(chemistry, 960.0, BORAX_FILM_DEVELOPER);
    assert!(chemistry.hindered("metol", &developer).is_some());
}

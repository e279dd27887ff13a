//! Density, heat and solubility against handbooks.

use super::{chemistry, number, rows};
use crate::chemistry::{Chemistry, Dissolved, Dissolves, Makeup};
use crate::units::Temperature;

fn at(celsius: f64) -> Temperature {
    Temperature::from_celsius(celsius).unwrap()
}

fn bath(
    chemistry: &Chemistry,
    water_g: f64,
    dissolved: Vec<Dissolved>,
    celsius: f64,
) -> crate::chemistry::Bath {
    chemistry
        .bath(&Makeup {
            water_g,
            dissolved,
            temperature: at(celsius),
        })
        .unwrap()
}

/// A chemical that bears the name of a solute, by its dry molar mass.
fn dry(chemistry: &Chemistry, solute: &str, grams: f64) -> Dissolved {
    let molar_mass = chemistry
        .dissolution()
        .solute(solute)
        .unwrap()
        .molar_mass
        .unwrap();
    let id = chemistry.dissolution().chemicals().find(|id| {
        chemistry
            .dissolution()
            .of_chemical(id, None)
            .is_some_and(|found| found.name == solute)
    });
    Dissolved::pure(id.unwrap(), grams, molar_mass)
}

/// tests/reference/densities.csv
#[test]
fn densities_agree_with_the_handbook() {
    let chemistry = chemistry();
    let (mut misses, mut greatest, mut square, mut count) = (Vec::new(), 0.0_f64, 0.0, 0);
    for row in rows(include_str!("../../../tests/reference/densities.csv")) {
        let percent = number(&row, "percent");
        let solution = bath(
            chemistry,
            1000.0 - 10.0 * percent,
            vec![dry(chemistry, &row["solute"], 10.0 * percent)],
            20.0,
        );
        let density = chemistry.density(&solution);
        let published = number(&row, "density_g_per_ml");
        let off = density.value / published - 1.0;
        count += 1;
        square += off * off;
        greatest = greatest.max(off.abs());
        if off.abs()
            > if row["differs"].is_empty() {
                0.005
            } else {
                0.01
            }
        {
            misses.push(format!(
                "{} {percent} %: {:.4} for {published}, bounds {:.4}..{:.4}",
                row["solute"], density.value, density.low, density.high
            ));
        }
    }
    println!(
        "densities: {count} rows, rms {:.5}, greatest {greatest:.5}",
        libm::sqrt(square / f64::from(count))
    );
    assert!(misses.is_empty(), "{}", misses.join("\n"));
}

/// tests/reference/heats.csv
#[test]
fn heats_agree_with_the_handbook() {
    let chemistry = chemistry();
    let (mut misses, mut greatest) = (Vec::new(), 0.0_f64);
    for row in rows(include_str!("../../../tests/reference/heats.csv")) {
        let water = bath(chemistry, 1000.0, vec![], 25.0);
        let chemical = Dissolved::pure(row["chemical"].as_str(), 10.0, number(&row, "molar_mass"));
        let added = bath(chemistry, 0.0, vec![chemical], 25.0);
        let heated = chemistry.add(&water, &added, false);
        let change = heated.temperature.value - 25.0;
        let published = number(&row, "temperature_change_k");
        let off = (change - published).abs();
        if published.abs() > 0.2 {
            greatest = greatest.max(off / published.abs());
        }
        if off > 0.15 * published.abs() + 0.05 {
            misses.push(format!(
                "{}: {change:+.2} K for {published:+.2}",
                row["solute"]
            ));
        }
    }
    println!("heats: greatest share off {greatest:.3} among changes above 0.2 K");
    assert!(misses.is_empty(), "{}", misses.join("\n"));
}

/// Heat of sulfuric acid in real baths: 73 to 75 kJ/mol at 0.1 to 1 mol/kg, from memory of the
/// NBS tables (tests allow 15 %), against 95 at infinite dilution.
#[test]
fn sulfuric_acid_gives_the_heat_of_a_real_bath() {
    let chemistry = chemistry();
    for molality in [0.1, 0.5, 1.0] {
        let water = bath(chemistry, 1000.0, vec![], 25.0);
        let acid = Dissolved::pure("sulfuric-acid", 98.08 * molality, 98.08);
        let heated = chemistry.add(&water, &bath(chemistry, 0.0, vec![acid], 25.0), false);
        let per_mole = heated.heat_kj / molality;
        assert!(
            (per_mole - 74.0).abs() < 0.15 * 74.0,
            "{molality} mol/kg: {per_mole} kJ/mol"
        );
    }
}

/// 96 % acid holds less heat than pure acid; strong caustic in little water passes 60 °C
/// (100 g in 400 g water: common practice, no source).
#[test]
fn strong_solutions_get_hot() {
    let chemistry = chemistry();
    let water = bath(chemistry, 400.0, vec![], 20.0);
    let caustic = bath(
        chemistry,
        0.0,
        vec![Dissolved::pure("sodium-hydroxide", 100.0, 39.997)],
        20.0,
    );
    let heated = chemistry.add(&water, &caustic, false);
    assert!(
        heated.temperature.value > 60.0 && heated.temperature.value < 95.0,
        "{:?}",
        heated.temperature
    );
    let pure = bath(
        chemistry,
        0.0,
        vec![Dissolved::pure("sulfuric-acid", 96.0, 98.08)],
        20.0,
    );
    let bottle = bath(
        chemistry,
        0.0,
        vec![Dissolved::pure("sulfuric-acid", 100.0, 98.08).at_strength(0.96)],
        20.0,
    );
    assert!(
        chemistry.add(&water, &pure, false).heat_kj > chemistry.add(&water, &bottle, false).heat_kj
    );
}

/// Neutralisation of strong acid by strong alkali: 55.8 kJ/mol (ThermoChimie 12a), within 5 %.
#[test]
fn neutralisation_gives_the_heat_of_water() {
    let chemistry = chemistry();
    let acid = bath(
        chemistry,
        1000.0,
        vec![Dissolved::pure("hydrochloric-acid", 36.458, 36.458)],
        25.0,
    );
    let alkali = bath(
        chemistry,
        1000.0,
        vec![Dissolved::pure("sodium-hydroxide", 39.997, 39.997)],
        25.0,
    );
    let heated = chemistry.combine(&acid, &alkali, 1.0, true).heated;
    assert!((heated.heat_kj - 55.8).abs() < 3.0, "{}", heated.heat_kj);
}

/// tests/reference/solubilities.csv
#[test]
fn solubilities_agree_with_another_table() {
    let chemistry = chemistry();
    let mut misses = Vec::new();
    for row in rows(include_str!("../../../tests/reference/solubilities.csv")) {
        let celsius = number(&row, "temperature_c");
        let grams = number(&row, "g_per_100g") * 10.0;
        let solute = &chemistry
            .dissolution()
            .of_chemical(&row["chemical"], None)
            .unwrap()
            .name;
        for (share, expected) in [(0.70, Dissolves::Yes), (1.45, Dissolves::No)] {
            let chemical = Dissolved::pure(
                row["chemical"].as_str(),
                grams * share,
                number(&row, "molar_mass"),
            );
            let solution = bath(chemistry, 1000.0, vec![chemical], celsius);
            let solubility = chemistry.solubility(&solution, celsius);
            let solid = solubility
                .solids
                .iter()
                .find(|solid| solid.solute == *solute);
            let got = solid.map(|solid| (solid.dissolves, solid.ratio));
            if got.is_none_or(|(dissolves, _)| dissolves != expected) {
                misses.push(format!(
                    "{} at {celsius} °C, {share} of {grams} g/kg: {got:?}",
                    row["chemical"]
                ));
            }
        }
    }
    assert!(misses.is_empty(), "{}", misses.join("\n"));
}

/// Bromide salts the other out; alkali takes up a developing agent (common practice, no source).
#[test]
fn common_ions_and_alkali_count() {
    let chemistry = chemistry();
    let ratio = |dissolved: Vec<Dissolved>, solute: &str| {
        let solution = bath(chemistry, 1000.0, dissolved, 20.0);
        let solubility = chemistry.solubility(&solution, 20.0);
        solubility
            .solids
            .iter()
            .find(|solid| solid.solute == solute)
            .unwrap()
            .ratio
    };
    let sulfite = || Dissolved::pure("sodium-sulfite", 150.0, 126.04);
    let salt = Dissolved::pure("sodium-chloride", 200.0, 58.44);
    assert!(
        ratio(vec![sulfite(), salt], "sodium-sulfite")
            > 1.3 * ratio(vec![sulfite()], "sodium-sulfite")
    );
    let agent = || Dissolved::pure("hydroquinone", 50.0, 110.11);
    let caustic = Dissolved::pure("sodium-hydroxide", 30.0, 39.997);
    assert!(
        ratio(vec![agent(), caustic], "hydroquinone") < 0.5 * ratio(vec![agent()], "hydroquinone")
    );
}

/// tests/reference/pressures.csv
#[test]
fn pressures_agree_with_the_table() {
    let chemistry = chemistry();
    let mut misses = Vec::new();
    for row in rows(include_str!("../../../tests/reference/pressures.csv")) {
        let celsius = number(&row, "temperature_c");
        let molar_mass = if row["component"] == "ammonia" {
            17.031
        } else {
            64.06
        };
        let molality = number(&row, "grams_per_100g") * 10.0 / molar_mass;
        let amounts = [(row["component"].as_str(), molality)];
        let solution = chemistry.bath_of_components(&amounts, celsius).unwrap();
        let pressures = chemistry.pressures_over(&chemistry.equilibrium(&solution), celsius);
        let found = &pressures.first().unwrap().pressure;
        let published = number(&row, "mmhg") * 133.322;
        if (found.value / published - 1.0).abs() > 0.15 || published > found.high {
            misses.push(format!(
                "{row:?}: {} to {} for {published} Pa",
                found.value, found.high
            ));
        }
    }
    assert!(misses.is_empty(), "{}", misses.join("\n"));
}

/// A salt without a heat of solution neither warms nor cools a bath; the bounds tell what it might.
#[test]
fn without_a_heat_of_solution_dissolving_counts_as_nothing() {
    let chemistry = chemistry();
    let water = bath(chemistry, 900.0, Vec::new(), 20.0);
    let alum = Dissolved::pure("chrome-alum", 30.0, 499.4);
    let added = bath(chemistry, 0.0, vec![alum], 20.0);
    let figure = chemistry.add(&water, &added, false).temperature;
    assert!((figure.value - 20.0).abs() < 0.1, "{figure:?}");
    assert!(figure.low < 18.5 && figure.high > 21.5, "{figure:?}");
}

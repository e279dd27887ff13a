//! pH against standards and against another program's equilibria.

use super::{chemistry, number, rows};

fn components(text: &str) -> Vec<(&str, f64)> {
    text.split(' ')
        .filter_map(|part| {
            let (name, amount) = part.split_once(':')?;
            Some((name, amount.parse().ok()?))
        })
        .collect()
}

struct Miss {
    what: String,
    off: f64,
    allowed: f64,
}

/// Prints and fails on all rows that are off, not the first.
fn report(misses: &[Miss], count: i32, square: f64, greatest: f64) {
    let lines: Vec<String> = misses
        .iter()
        .map(|miss| {
            format!(
                "{}: off by {:+.3}, allowed {}",
                miss.what, miss.off, miss.allowed
            )
        })
        .collect();
    assert!(count > 0, "no rows");
    assert!(
        misses.is_empty(),
        "{} of {count} rows are off (rms {:.4}, greatest {greatest:.4}):\n{}",
        misses.len(),
        libm::sqrt(square / f64::from(count)),
        lines.join("\n")
    );
}

/// tests/reference/ph-standards.csv
#[test]
fn ph_standards_are_met() {
    let chemistry = chemistry();
    let (mut misses, mut count, mut square, mut greatest) = (Vec::new(), 0, 0.0, 0.0_f64);
    let mut outside = 0;
    for row in rows(include_str!("../../../tests/reference/ph-standards.csv")) {
        let celsius = number(&row, "temperature_c");
        let bath = chemistry
            .bath_of_components(&components(&row["components"]), celsius)
            .unwrap();
        let ph = chemistry.equilibrium(&bath).ph;
        let off = ph.value().unwrap() - number(&row, "ph");
        outside += i32::from(ph.bounds().is_none_or(|(low, _, high)| {
            let standard = number(&row, "ph");
            standard < low || standard > high
        }));
        let allowed = if celsius > 40.0 { 0.1 } else { 0.05 };
        count += 1;
        square += off * off;
        greatest = greatest.max(off.abs());
        if off.abs() > allowed {
            misses.push(Miss {
                what: format!("{} at {celsius} °C", row["standard"]),
                off,
                allowed,
            });
        }
    }
    // Bounds are for 95 in 100.
    assert!(
        20 * outside <= count,
        "{outside} of {count} outside the bounds"
    );
    println!(
        "{count} rows, rms {:.4}, greatest {greatest:.4}",
        libm::sqrt(square / f64::from(count))
    );
    report(&misses, count, square, greatest);
}

/// tests/reference/ph-computed.csv
#[test]
fn computed_equilibria_agree() {
    let chemistry = chemistry();
    let table = rows(include_str!("../../../tests/reference/ph-computed.csv"));
    let (mut misses, mut count, mut square, mut greatest) = (Vec::new(), 0, 0.0, 0.0_f64);
    for row in &table {
        let strength = number(row, "ionic_strength");
        let same = |other: &&std::collections::BTreeMap<String, String>| {
            other["id"] == row["id"]
                && other["temperature_c"] == row["temperature_c"]
                && other["model"] == "pitzer.dat"
        };
        let has_pitzer = table.iter().find(same).is_some();
        let pitzer_rules = has_pitzer && (row["components"].contains("borate") || strength > 0.5);
        if row["model"]
            != if pitzer_rules {
                "pitzer.dat"
            } else {
                "core-sit"
            }
        {
            continue;
        }
        let bath = chemistry
            .bath_of_components(
                &components(&row["components"]),
                number(row, "temperature_c"),
            )
            .unwrap();
        let ph = chemistry.equilibrium(&bath).ph;
        let off = ph.value().unwrap() - number(row, "ph");
        let allowed = if strength < 0.5 { 0.15 } else { 0.35 };
        let (low, _, high) = ph.bounds().unwrap();
        let reference = number(row, "ph");
        assert!(
            low <= reference && reference <= high,
            "{row:?}: not within {low} to {high}"
        );
        count += 1;
        square += off * off;
        greatest = greatest.max(off.abs());
        if off.abs() > allowed {
            misses.push(Miss {
                what: format!("{} ({})", row["id"], row["description"]),
                off,
                allowed,
            });
        }
    }
    println!(
        "{count} rows, rms {:.4}, greatest {greatest:.4}",
        libm::sqrt(square / f64::from(count))
    );
    report(&misses, count, square, greatest);
}

/// tests/reference/ph-mixtures.csv: baths of every sort and what they give when poured together.
#[test]
fn mixtures_agree() {
    let chemistry = chemistry();
    let mut outside = 0;
    let (mut misses, mut count, mut square, mut greatest) = (Vec::new(), 0, 0.0, 0.0_f64);
    for row in &rows(include_str!("../../../tests/reference/ph-mixtures.csv")) {
        let celsius = number(row, "temperature_c");
        let amounts = components(&row["components"]);
        let bath = chemistry.bath_of_components(&amounts, celsius).unwrap();
        let ph = chemistry.equilibrium(&bath).ph;
        let Some((low, value, high)) = ph.bounds() else {
            panic!("{row:?}: {ph:?}");
        };
        let reference = number(row, "ph");
        outside += i32::from(reference < low || reference > high);
        let off = value - reference;
        let allowed = if number(row, "ionic_strength") < 0.5 {
            0.15
        } else {
            0.35
        };
        count += 1;
        square += off * off;
        greatest = greatest.max(off.abs());
        if off.abs() > allowed {
            misses.push(Miss {
                what: format!(
                    "{} at {celsius} °C: {}",
                    row["description"], row["components"]
                ),
                off,
                allowed,
            });
        }
    }
    // Bounds are for 95 in 100.
    assert!(
        20 * outside <= count,
        "{outside} of {count} outside the bounds"
    );
    println!(
        "{count} rows, rms {:.4}, greatest {greatest:.4}",
        libm::sqrt(square / f64::from(count))
    );
    report(&misses, count, square, greatest);
}

/// tests/reference/ph-metal-salts.csv; the last row is from an encyclopaedia of chemicals
/// (hazards/sources/physical.yaml, chemical-encyclopaedia-monosodium-phosphate).
#[test]
fn bounds_hold_what_databases_say_of_metal_salts() {
    let chemistry = chemistry();
    let mut misses = Vec::new();
    for row in rows(include_str!("../../../tests/reference/ph-metal-salts.csv")) {
        let bath = chemistry
            .bath_of_components(&components(&row["components"]), 20.0)
            .unwrap();
        let bounds = chemistry.equilibrium(&bath).ph.bounds();
        let ph = number(&row, "ph");
        if bounds.is_none_or(|(low, _, high)| ph < low || ph > high) {
            misses.push(format!("{row:?}: {bounds:?}"));
        }
    }
    assert!(misses.is_empty(), "{}", misses.join("\n"));
}

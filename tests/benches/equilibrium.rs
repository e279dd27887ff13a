//! How many baths a second: the bare solve (pH, all species) and the whole equilibrium with its
//! bounds and trace, for 3, 8 and 16 components. `cargo bench --bench equilibrium`.

#![allow(clippy::print_stdout)]

use std::hint::black_box;
use std::time::Instant;

use wetside::catalogue::DataFiles;
use wetside::chemistry::{Bath, Chemistry};

/// The same baths as in tests/scripts/phreeqc_compare.py, mol per kg water.
const BATHS: [(&str, &[(&str, f64)]); 3] = [
    (
        "carbonate buffer, 3 components",
        &[("sodium", 0.075), ("carbonate", 0.05), ("chloride", 0.001)],
    ),
    (
        "paper developer, 8 components",
        &[
            ("sodium", 1.98),
            ("sulfite", 0.35),
            ("hydroquinone", 0.1),
            ("metol", 0.017),
            ("sulfate", 0.009),
            ("carbonate", 0.64),
            ("potassium", 0.017),
            ("bromide", 0.017),
        ],
    ),
    (
        "waste, 16 components",
        &[
            ("sodium", 1.5),
            ("potassium", 0.2),
            ("sulfite", 0.3),
            ("hydroquinone", 0.05),
            ("metol", 0.01),
            ("sulfate", 0.02),
            ("carbonate", 0.3),
            ("bromide", 0.02),
            ("acetate", 0.2),
            ("borate", 0.05),
            ("thiosulfate", 0.4),
            ("ammonia", 0.8),
            ("citrate", 0.02),
            ("phosphate", 0.03),
            ("edta", 0.005),
            ("chloride", 0.1),
        ],
    ),
];

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let chemistry = Chemistry::load(&DataFiles::embedded())?;
    for (name, amounts) in BATHS {
        let bath = chemistry.bath_of_components(amounts, 20.0)?;
        let ph = chemistry.equilibrium(&bath).ph.value();
        let bare = micros(|| chemistry.system(&bath).solve().ln_hydrogen);
        let whole = micros(|| chemistry.equilibrium(&bath).ionic_strength);
        println!(
            "{name}: pH {:.3}; solve {bare:.2} µs ({:.0} a second); with bounds and trace {whole:.1} µs ({:.0} a second)",
            ph.unwrap_or(f64::NAN),
            1e6 / bare,
            1e6 / whole
        );
        report_constants(&chemistry, &bath);
    }
    Ok(())
}

/// Of the bare solve, how much is writing down the constants at the temperature.
fn report_constants(chemistry: &Chemistry, bath: &Bath) {
    let written = micros(|| chemistry.system(bath).ln_kw);
    println!("    of which constants and lists {written:.2} µs");
}

/// The time one call takes in the fastest of many short rounds: what else runs on the machine only
/// adds, and a short round is likelier to be left alone.
fn micros(call: impl Fn() -> f64) -> f64 {
    (0..400)
        .map(|_| {
            let start = Instant::now();
            for _ in 0..50 {
                black_box(call());
            }
            start.elapsed().as_secs_f64() * 1e6 / 50.0
        })
        .fold(f64::INFINITY, f64::min)
}

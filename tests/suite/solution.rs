//! What `solution` says, held against PHREEQC, common practice and plain arithmetic.

use serde_json::Value;

use crate::harness::{Bench, Run};

fn json(run: &Run) -> Value {
    serde_json::from_str(&run.stdout).unwrap_or_else(|_| panic!("{:?} {}", run.status, run.stderr))
}

fn solution(recipe: &str, more: &[&str]) -> Value {
    let bench = Bench::new().file("r.yaml", recipe);
    let mut arguments = vec!["solution", "r.yaml", "--format", "json"];
    arguments.extend(more);
    json(&bench.run(&arguments))
}

fn ph(solution: &Value) -> f64 {
    solution["ph"]["value"]
        .as_f64()
        .unwrap_or_else(|| panic!("no pH: {}", solution["ph_why"]))
}

/// A recipe in grams and water in grams.
fn recipe(water_g: f64, parts: &[(&str, f64)]) -> String {
    let lines: String = parts
        .iter()
        .map(|(name, grams)| format!("  - \"{name}\": {grams} g\n"))
        .collect();
    format!("start: {{water: {water_g} g}}\nadd:\n{lines}")
}

/// The jar that holds what the reference table calls so, and its strength by weight.
fn jar(name: &str) -> (&str, f64) {
    match name {
        "HAc" => ("acetic acid, glacial", 1.0),
        "H2SO4" => ("sulfuric acid 96 %", 0.96),
        // Its sodium chloride comes with it, mole for mole, as the table has it too.
        "NaOCl" => ("sodium-hypochlorite", 0.126),
        "borax10" => ("borax, decahydrate", 1.0),
        "citric" => ("citric acid, anhydrous", 1.0),
        "hypo5" => ("sodium thiosulfate, pentahydrate", 1.0),
        "ATS" => ("ammonium thiosulfate, crystals", 1.0),
        formula => (formula, 1.0),
    }
}

/// tests/reference/ph-recipes.csv, made with PHREEQC: within 0.15 below an ionic strength of
/// 0.5 mol/kg, 0.35 up to 3. Pitzer rules where it knows the ions and the solution is strong or
/// holds borate, otherwise the specific ion interaction theory.
#[test]
fn recipes_have_the_ph_that_phreeqc_gives_them() {
    let mut misses = Vec::new();
    let table = include_str!("../reference/ph-recipes.csv");
    let rows: Vec<&str> = table
        .lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .collect();
    assert!(rows.len() > 30);
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        let [id, celsius, text, strength, sit, pitzer] = cells[..] else {
            panic!("{row}")
        };
        let strength: f64 = strength.parse().expect("an ionic strength");
        let strong_or_borate = strength > 0.5 || text.contains("borax") || text.contains("BO2");
        let expected: f64 = match pitzer.parse() {
            Ok(pitzer) if strong_or_borate => pitzer,
            _ => sit.parse().expect("a pH"),
        };
        let is_bleach = text.contains("NaOCl");
        let mut water = 1000.0;
        let mut parts = Vec::new();
        for part in text
            .split("; ")
            .filter(|part| !(is_bleach && part.starts_with("NaCl")))
        {
            let (name, grams) = part.split_once(' ').expect("name and grams");
            let (name, share) = jar(name);
            let grams = grams.parse::<f64>().expect("grams") / share;
            // The bleach's chloride, 78.5 g for 100 g of hypochlorite, is no water of the bottle.
            let salt = if is_bleach && share < 0.5 {
                grams * share * 0.785
            } else {
                0.0
            };
            water -= grams * (1.0 - share) - salt;
            parts.push((name, grams));
        }
        let computed = solution(&recipe(water, &parts), &["--at", &format!("{celsius}C")]);
        let allowed = if strength < 0.5 { 0.15 } else { 0.35 };
        let off = ph(&computed) - expected;
        let strength_off = computed["ionic_strength"].as_f64().expect("a strength") - strength;
        if off.abs() > allowed || strength_off.abs() > 0.1 * strength.max(0.05) {
            misses.push(format!(
                "{id}: pH {:.3}, reference {expected}, I off by {strength_off:.3}",
                ph(&computed)
            ));
        }
    }
    assert!(misses.is_empty(), "{}", misses.join("\n"));
}

/// Ranges: common practice, no source.
#[test]
fn baths_of_the_trade_have_the_ph_practice_knows() {
    let developer = "makes: 1 L\nkind: film developer\nstart: {water: 750 mL, at: 50 °C}\nadd: [{metol: 2 g}, \
        {\"sodium sulfite, anhydrous\": 100 g}, {hydroquinone: 5 g}, {\"borax, decahydrate\": 2 g}]\ntop_up: 1 L\n";
    let paper = "makes: 1 L\nkind: paper developer\nstart: {water: 750 mL, at: 50 °C}\nadd: [{metol: 3 g}, \
        {\"sodium sulfite, anhydrous\": 45 g}, {hydroquinone: 12 g}, {\"sodium carbonate, monohydrate\": 80 g}, \
        {potassium bromide: 2 g}]\ntop_up: 1 L\n";
    let caustic = "makes: 1 L\nkind: lith developer\nstart: {water: 750 mL}\nadd: [{\"sodium sulfite, anhydrous\": 50 g}, \
        {hydroquinone: 22.5 g}, {sodium hydroxide: 30 g}]\ntop_up: 1 L\n";
    let stop = "makes: 1 L\nkind: stop bath\nstart: {water: 900 mL}\nadd: [{\"acetic acid, 80 %\": 20 mL}]\ntop_up: 1 L\n";
    for (recipe, low, high) in [
        (developer, 8.3, 8.9),
        (paper, 9.8, 10.6),
        (caustic, 12.0, 14.0),
        (stop, 2.4, 3.0),
    ] {
        let computed = solution(recipe, &[]);
        let ph = ph(&computed);
        assert!(
            (low..=high).contains(&ph),
            "pH {ph}, practice {low} to {high}:\n{recipe}"
        );
        assert!((computed["volume_l"].as_f64().expect("a volume") - 1.0).abs() < 0.002);
    }
}

/// Arithmetic on molar masses (sodium sulfite 126.04 g/mol) and the promised shape.
#[test]
fn a_solution_states_what_was_put_in() {
    let computed = solution(
        &recipe(1000.0, &[("sodium sulfite, anhydrous", 100.0)]),
        &[],
    );
    let (mass, volume) = (
        computed["mass_kg"].as_f64().expect("kg"),
        computed["volume_l"].as_f64().expect("L"),
    );
    let density = computed["density_kg_per_l"].as_f64().expect("kg/L");
    assert!(
        (mass - 1.1).abs() < 1e-9 && (mass / volume - density).abs() < 1e-9,
        "{mass} {volume} {density}"
    );
    let part = &computed["ingredients"][0];
    assert_eq!(part["chemical"], "sodium-sulfite");
    assert!((part["percent"].as_f64().expect("%") - 100.0 / 11.0).abs() < 0.01);
    assert!((part["mol_per_l"].as_f64().expect("mol/L") - 100.0 / 126.04 / volume).abs() < 0.001);
    let species = computed["species_mol_per_l"].as_object().expect("species");
    let sulfur: f64 = ["SO3--", "HSO3-", "SO2(aq)"]
        .iter()
        .filter_map(|name| species.get(*name)?.as_f64())
        .sum();
    assert!((sulfur - 100.0 / 126.04 / volume).abs() < 0.001, "{sulfur}");
    assert!(computed["ph"]["low"].as_f64() < computed["ph"]["value"].as_f64());
    assert!(
        computed["traces"]["ph"]["inputs"]
            .as_array()
            .is_some_and(|inputs| inputs.len() > 3)
    );
    assert!(computed["classification"]["statements"].is_array());
    assert_eq!(computed["steps"][1]["add"], "sodium-sulfite");
    assert_eq!(computed["steps"][1]["dissolves"], true);
}

/// A recipe that does not say what it makes is scaled by the volume that follows from its density.
#[test]
fn a_volume_asked_for_is_what_is_made() {
    let text = recipe(1000.0, &[("sodium sulfite, anhydrous", 100.0)]);
    let computed = solution(&text, &["--volume", "2 L"]);
    assert!((computed["volume_l"].as_f64().expect("L") - 2.0).abs() < 1e-6);
    let once = solution(&text, &[]);
    let ratio = computed["mass_kg"].as_f64().expect("kg") / once["mass_kg"].as_f64().expect("kg");
    assert!((ratio - 2.0 / once["volume_l"].as_f64().expect("L")).abs() < 1e-6);
}

/// Dilution: a third of each gram per litre; weak acid toward 7.
#[test]
fn dilution_thins_and_goes_toward_neutral() {
    let stock = "makes: 1 L\nkind: stop bath\nstart: {water: 500 mL}\nadd: [{\"acetic acid, 80 %\": 100 mL}]\n\
        top_up: 1 L\nuse: {dilute: 1+2}\n";
    let computed = solution(stock, &[]);
    let of = |bath: &Value| bath["ingredients"][0]["g_per_l"].as_f64().expect("g/L");
    let working = &computed["working"];
    assert!((of(&computed) / of(working) - 3.0).abs() < 0.05);
    assert!(ph(working) > ph(&computed) && ph(working) < 7.0);
}

/// Unknown is said, never computed around.
#[test]
fn what_is_not_known_is_null_with_a_reason() {
    let computed = solution(&recipe(1000.0, &[("ferric ammonium citrate", 100.0)]), &[]);
    assert!(computed["ph"].is_null());
    assert!(
        computed["ph_why"]
            .as_str()
            .is_some_and(|why| why.contains("not known"))
    );
    let codes: Vec<&str> = computed["findings"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|f| f["code"].as_str())
        .collect();
    assert!(codes.contains(&"ph/not-computed"), "{codes:?}");
}

/// Heat of solution of sodium hydroxide, −44.5 kJ/mol (CRC Handbook): 100 g in a litre of water
/// warms by 111 kJ / (4.18 kJ/K, less some for the salt) = 25 to 29 K.
#[test]
fn caustic_heats_its_water() {
    let computed = solution(&recipe(1000.0, &[("sodium hydroxide", 100.0)]), &[]);
    let warm = computed["steps"][1]["temperature_c"].as_f64().expect("°C");
    assert!((44.0..=50.0).contains(&warm), "{warm} °C");
}

/// Formula, inputs with their sources, result, for one figure alone.
#[test]
fn a_figure_is_explained_on_demand() {
    let bench = Bench::demo();
    let told = bench.run(&["solution", "acetic-stop", "--explain", "ph"]);
    for word in [
        "charge balance",
        "pK of CH3COOH(aq)",
        "minteq-v4",
        "between",
    ] {
        assert!(
            told.stdout.contains(word),
            "{word} is missing:\n{}",
            told.stdout
        );
    }
    assert!(!told.stdout.contains("Step by step"));
}

/// Bad input: exit 2, the place, and nothing on standard output.
#[test]
fn what_cannot_be_computed_is_a_message() {
    let bench = Bench::new().file("r.yaml", "start: {water: 1 L}\nadd: [{moonshine: 3 g}]\n");
    for arguments in [
        ["solution", "r.yaml"],
        ["solution", "no-such.yaml"],
        ["meet", "r.yaml"],
    ] {
        let run = bench.run(&arguments);
        assert_eq!(run.status, Some(2), "{arguments:?}");
        assert!(run.stdout.is_empty() && !run.stderr.is_empty());
    }
    let run = bench.run(&["meet", "r.yaml", "metol", "--ratio", "0:1"]);
    assert_eq!(run.status, Some(2));
}

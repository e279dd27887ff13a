//! What `meet` says, held against plain arithmetic with molar masses.

use serde_json::Value;

use crate::harness::{Bench, Run};

fn json(run: &Run) -> Value {
    serde_json::from_str(&run.stdout).unwrap_or_else(|_| panic!("{:?} {}", run.status, run.stderr))
}

fn meet(bench: &Bench, a: &str, b: &str, more: &[&str]) -> Value {
    let mut arguments = vec!["meet", a, b, "--format", "json"];
    arguments.extend(more);
    json(&bench.run(&arguments))
}

fn gas<'m>(meeting: &'m Value, symbol: &str) -> &'m Value {
    let reactions = meeting["reactions"].as_array().expect("a list");
    reactions
        .iter()
        .find(|reaction| reaction["gas"] == symbol)
        .unwrap_or_else(|| panic!("no {symbol}: {meeting:#}"))
}

/// 15 g of sodium sulfite (0.119 mol) hold 7.6 g of sulfur dioxide; the acid left over splits some
/// thiosulfate, two moles of acid for one of gas: 0.285 mol of acid bound 9.1 g in all.
#[test]
fn acid_stop_and_fixer_give_sulfur_dioxide() {
    let bench = Bench::demo();
    let stated = ["--room", "30m3", "--ratio", "1:1"];
    let meeting = meet(&bench, "acetic-stop", "plain-fixer", &stated);
    let sulfur_dioxide = gas(&meeting, "SO2");
    let most = sulfur_dioxide["max_g"].as_f64().expect("g");
    assert!((3.0..=9.2).contains(&most), "{most} g");
    let in_room = sulfur_dioxide["room_mg_per_m3"].as_f64().expect("mg/m3");
    assert!((in_room - most * 1000.0 / 30.0).abs() < 1e-6);
    assert!(
        sulfur_dioxide["limits"]["STEL"]["mg_per_m3"]
            .as_f64()
            .is_some_and(|limit| limit < 15.0)
    );
    assert_eq!(meeting["verdict"], "keep apart");
}

/// 100 mL of bleach with 12.6 % hypochlorite (about 0.2 mol) hold as much chlorine with the chloride
/// they bring: at most 15 g of 70.9 g/mol.
#[test]
fn acid_and_bleach_give_chlorine() {
    let meeting = meet(
        &Bench::demo(),
        "sodium-hypochlorite",
        "hydrochloric acid",
        &[],
    );
    let most = gas(&meeting, "Cl2")["max_g"].as_f64().expect("g");
    assert!((8.0..=16.0).contains(&most), "{most} g");
    assert_eq!(meeting["verdict"], "keep apart");
}

/// 53.5 g of ammonium chloride is 1 mol: 17.0 g of ammonia at most, when 1 mol of caustic or more meets it.
#[test]
fn ammonium_and_caustic_give_ammonia() {
    let bench = Bench::new();
    let amounts = |caustic| ["--amount-a", "53.5 g", "--amount-b", caustic];
    let plenty = meet(
        &bench,
        "ammonium chloride",
        "sodium hydroxide",
        &amounts("80 g"),
    );
    let most = gas(&plenty, "NH3")["max_g"].as_f64().expect("g");
    assert!((16.0..=17.2).contains(&most), "{most} g");
    let little = meet(
        &bench,
        "ammonium chloride",
        "sodium hydroxide",
        &amounts("20 g"),
    );
    let least = gas(&little, "NH3")["max_g"].as_f64().expect("g");
    assert!(
        (7.5..=9.5).contains(&least),
        "half a mole of caustic, {least} g"
    );
}

/// Nothing is ever called safe, and neither is a pair nobody knows anything about.
#[test]
fn no_verdict_says_safe() {
    let bench = Bench::demo();
    let salts = bench.run(&["meet", "sodium chloride", "potassium bromide"]);
    assert!(
        salts.stdout.contains("no known reaction") && salts.stdout.contains("not the same as safe")
    );
    assert_eq!(salts.status, Some(0));
    let unknown = bench.run(&["meet", "sodium chloride", "moon dust"]);
    assert_eq!(unknown.status, Some(2));
    assert!(
        unknown.stderr.contains("neither a recipe nor a chemical"),
        "{}",
        unknown.stderr
    );
}

fn booked(bench: &Bench, arguments: &[&str]) {
    let run = bench.run(arguments);
    assert_eq!(run.status, Some(0), "{} {}", run.stdout, run.stderr);
}

/// A demo workspace with its session's bottles and half a litre of fixer in a drum.
fn with_a_drum() -> Bench {
    let bench = Bench::demo();
    booked(&bench, &["log", "made", "sessions/thursday.yaml"]);
    let drum = [
        "log",
        "add-container",
        "fixer drum",
        "--stream",
        "spent-fixer",
    ];
    booked(&bench, &drum);
    booked(
        &bench,
        &["log", "pour", "Plain fixer", "500 mL", "fixer drum"],
    );
    bench
}

/// Half a litre of fixer is half a litre of fixer, whether it is named by its recipe, its bottle
/// or the drum it was poured into.
#[test]
fn a_container_is_what_was_poured_into_it() {
    let bench = with_a_drum();
    let amounts = ["--amount-a", "500 mL", "--amount-b", "500 mL"];
    let by_recipe = meet(&bench, "plain-fixer", "acetic-stop", &amounts);
    for name in ["fixer drum", "Plain fixer", "FIXER-DRUM", "fixer d"] {
        let of_place = meet(&bench, name, "acetic-stop", &amounts);
        for (field, near) in [("ph", 1e-6), ("temperature_c", 0.01)] {
            let value = |meeting: &Value| meeting[field]["value"].as_f64().expect("a figure");
            let apart = (value(&by_recipe) - value(&of_place)).abs();
            assert!(apart < near, "{name}: {field} {apart} apart");
        }
        let most = |meeting: &Value| gas(meeting, "SO2")["max_g"].as_f64().expect("g");
        let apart = most(&by_recipe) - most(&of_place);
        assert!(apart.abs() < 1e-3, "{name}: {apart} g apart");
        assert_eq!(of_place["verdict"], "keep apart");
    }
    let all = meet(&bench, "fixer drum", "acetic-stop", &[]);
    assert_eq!(
        all["a"]["amount"], "500 mL",
        "all of it, where nothing is said"
    );
}

/// A drum of two baths is the sum of both: 250 mL each is what 250 mL of each recipe is.
#[test]
fn contents_add_up() {
    let bench = with_a_drum();
    let tub = ["log", "add-place", "tub", "--kind", "tray"];
    booked(&bench, &tub);
    booked(&bench, &["log", "pour", "fixer drum", "250 mL", "tub"]);
    booked(
        &bench,
        &[
            "log",
            "pour",
            "Acetic stop bath",
            "250 mL",
            "tub",
            "--force",
        ],
    );
    let poured = meet(
        &bench,
        "tub",
        "water",
        &["--amount-a", "500 mL", "--amount-b", "1 g"],
    );
    let amounts = ["--amount-a", "250 mL", "--amount-b", "250 mL"];
    let meeting = meet(&bench, "plain-fixer", "acetic-stop", &amounts);
    let ph = |meeting: &Value| meeting["ph"]["value"].as_f64().expect("a pH");
    let apart = (ph(&poured) - ph(&meeting)).abs();
    assert!(apart < 0.01, "{apart} apart");
}

/// What nobody knows counts as the worst: never less than a stop, no figure called the most, and
/// 240 g/L of thiosulfate (0.097 mol in 100 mL, 64.06 g/mol) named as what is known to be there.
#[test]
fn unknown_contents_are_the_worst_case() {
    let bench = with_a_drum();
    let can = [
        "log", "add", "old brew", "1 L", "--into", "old can", "--stream", "unknown", "--old",
    ];
    booked(&bench, &can);
    for other in [
        "water",
        "sodium chloride",
        "acetic-stop",
        "carbonate-paper-developer",
    ] {
        let meeting = meet(&bench, "old can", other, &[]);
        assert_eq!(meeting["verdict"], "keep apart", "{other}");
        assert!(meeting["ph"].is_null());
        assert_eq!(meeting["a"]["unknown"][0], "old brew");
        for reaction in meeting["reactions"].as_array().expect("a list") {
            assert!(reaction["max_g"].is_null(), "{other}: {reaction}");
        }
    }
    booked(
        &bench,
        &["log", "pour", "Plain fixer", "100 mL", "old can", "--force"],
    );
    let meeting = meet(&bench, "old can", "acetic-stop", &[]);
    let known = gas(&meeting, "SO2")["max_g_of_what_is_known"]
        .as_f64()
        .expect("g");
    assert!((6.0..=8.0).contains(&known), "{known} g");
    assert_eq!(gas(&meeting, "SO2")["severity"], "stop");
}

/// An old bath of a known stream does what its stream does, and nobody reckons how much.
#[test]
fn an_old_fixer_still_reacts_as_fixer() {
    let bench = Bench::demo();
    let jug = [
        "log",
        "add",
        "old fixer",
        "1 L",
        "--into",
        "jug",
        "--stream",
        "spent-fixer",
        "--old",
    ];
    booked(&bench, &jug);
    let meeting = meet(&bench, "jug", "acetic-stop", &[]);
    assert!(gas(&meeting, "SO2")["max_g"].is_null());
    assert_ne!(meeting["verdict"], "no known reaction");
    let empty = bench.run(&["meet", "jug", "nowhere"]);
    assert_eq!(empty.status, Some(2));
}

/// 20 mmol of acid free 10 mmol of hydrogen sulfide from sulfide, 0.34 g; with more sulfide than
/// that, less than half of the acid's gas leaves. So a litre of each gives little, and the worst
/// ratio far more: all the acid with half as many moles of sulfide.
#[test]
fn the_worst_ratio_is_found() {
    let bench = Bench::new()
        .file(
            "acid.yaml",
            "start: {water: 1000 g}\nadd: [hydrochloric acid 37 %: 9.86 g]\n",
        )
        .file(
            "sulfide.yaml",
            "start: {water: 1000 g}\nadd: [\"sodium sulfide, nonahydrate\": 48.0 g]\n",
        );
    let equal = meet(&bench, "acid.yaml", "sulfide.yaml", &["--ratio", "1:1"]);
    let most_of_equal = gas(&equal, "H2S")["max_g"].as_f64().expect("g");
    let meeting = meet(&bench, "acid.yaml", "sulfide.yaml", &[]);
    let worst = gas(&meeting, "H2S");
    let most = worst["max_g"].as_f64().expect("g");
    // 0.1 mol of acid: 0.05 mol of gas of 34.08 g/mol.
    assert!((1.55..=1.72).contains(&most), "{most} g");
    assert!(
        most > 1.5 * most_of_equal,
        "{most} g against {most_of_equal} g"
    );
    let of_b = worst["worst_at"]["b"].as_str().expect("an amount");
    let millilitres: f64 = of_b.trim_end_matches(" mL").parse().expect(of_b);
    assert!((220.0..=300.0).contains(&millilitres), "{of_b}");
    assert!(
        gas(&equal, "H2S")["worst_at"].is_null(),
        "a stated ratio is kept"
    );
}

/// The worst ratio is never less than any ratio tried by hand.
#[test]
fn no_ratio_gives_more_than_the_worst() {
    let bench = Bench::demo();
    for (a, b, symbol) in [
        ("acetic-stop", "plain-fixer", "SO2"),
        ("carbonate-paper-developer", "acetic-stop", "CO2"),
        ("sodium-hypochlorite", "hydrochloric acid", "Cl2"),
    ] {
        let amounts = ["--amount-a", "1 L"];
        let worst = gas(&meet(&bench, a, b, &amounts), symbol)["max_g"]
            .as_f64()
            .expect("g");
        for of_b in ["10 mL", "30 mL", "100 mL"] {
            let stated = meet(&bench, a, b, &["--amount-a", "100 mL", "--amount-b", of_b]);
            let most = gas(&stated, symbol)["max_g"].as_f64().expect("g");
            assert!(
                most <= worst * 1.001,
                "{a}, {b} {of_b}: {most} g against {worst} g"
            );
        }
    }
}

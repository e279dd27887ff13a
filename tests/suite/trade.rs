//! The four-powder film developer of the trade: common practice, no source.
//!
//! 2 g metol, 100 g sodium sulfite (anhydrous), 5 g hydroquinone, 2 g borax (decahydrate),
//! begun in 750 mL at 50 °C (about 125 °F), topped up to 1 L.

use serde_json::Value;

use crate::harness::{Bench, Run};

const POWDERS: [&str; 4] = [
    "metol: 2 g",
    "sodium sulfite, anhydrous: 100 g",
    "hydroquinone: 5 g",
    "borax, decahydrate: 2 g",
];

const SESSION: &str = "\
make:
  - {recipe: four-powder, volume: 1 L, in: polypropylene jug 2 L, into: amber glass bottle 1 L}
wear: [nitrile gloves, splash goggles, waterproof apron, lab coat, closed shoes, FFP2]
alone: no
";

fn check(powders: [&str; 4], start: &str) -> Run {
    let add: String = powders.iter().map(|line| format!("  - {line}\n")).collect();
    let recipe = format!(
        "makes: 1 L\nkind: film developer\nstart: {{water: 750 mL, at: {start}}}\nadd:\n{add}top_up: 1 L\n"
    );
    Bench::demo()
        .file("recipes/four-powder.yaml", recipe)
        .file("sessions/film.yaml", SESSION)
        .run(&["check", "--format", "json", "sessions/film.yaml"])
}

/// Code, line and column of each Stop.
fn stops(run: &Run) -> Vec<(String, u64, u64)> {
    let json: Value =
        serde_json::from_str(&run.stdout).unwrap_or_else(|_| panic!("{}", run.stderr));
    let findings = json["findings"].as_array().expect("findings");
    findings
        .iter()
        .filter(|finding| finding["severity"] == "stop")
        .map(|finding| {
            let place = &finding["places"][0];
            let number = |name: &str| place[name].as_u64().unwrap_or(0);
            let code = finding["code"].as_str().unwrap_or("").to_owned();
            (code, number("line"), number("column"))
        })
        .collect()
}

#[test]
fn as_the_trade_mixes_it_nothing_stops() {
    for start in ["50 °C", "125 F", "125 °F", "50C"] {
        let run = check(POWDERS, start);
        assert_eq!(stops(&run), [], "{start}");
        assert_eq!(run.status, Some(0), "{start}");
    }
}

fn only_stop(run: &Run, code: &str, line: u64) {
    assert_eq!(stops(run), [(code.to_owned(), line, 5)]);
    assert_eq!(run.status, Some(1));
}

#[test]
fn metol_after_the_sulfite_stops() {
    let [metol, sulfite, hydroquinone, borax] = POWDERS;
    only_stop(
        &check([sulfite, metol, hydroquinone, borax], "50 °C"),
        "order/metol-into-sulfite",
        6,
    );
    only_stop(
        &check([sulfite, hydroquinone, borax, metol], "125 F"),
        "order/metol-into-sulfite",
        8,
    );
}

#[test]
fn sulfate_for_sulfite_stops() {
    let [metol, _, hydroquinone, borax] = POWDERS;
    for slip in [
        "sodium sulfate, anhydrous: 100 g",
        "sodium sulphate anhydrous: 100 g",
    ] {
        only_stop(
            &check([metol, slip, hydroquinone, borax], "50 °C"),
            "name/unlikely",
            6,
        );
    }
}

#[test]
fn a_hydrate_left_out_stops() {
    let [metol, sulfite, hydroquinone, _] = POWDERS;
    for open in ["borax: 2 g", "sodium carbonate: 2 g"] {
        only_stop(
            &check([metol, sulfite, hydroquinone, open], "50 °C"),
            "name/hydrate-not-stated",
            8,
        );
    }
    let [metol, _, hydroquinone, borax] = POWDERS;
    only_stop(
        &check(
            [metol, "sodium sulfite: 100 g", hydroquinone, borax],
            "50 °C",
        ),
        "name/hydrate-not-stated",
        6,
    );
}

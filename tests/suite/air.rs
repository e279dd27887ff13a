//! The room calculator through the program: the example that is relied on from outside, with
//! figures worked by hand.

use serde_json::Value;

use crate::harness::Bench;

/// The example of the promised shape, as it stands there.
const EXAMPLE: &str = "\
room: 30 m3
fresh_air: 150 m3/h
mixing: 3                  # safety/mixing factor K; default stated in the output
releases:
  - {gas: sulfur dioxide, rate: 2 mg/min, from: 0 min, for: 60 min}
  - {gas: sulfur dioxide, burst: 3.1 g, at: 10 min}
open:
  - {solution: recipes/acetic-stop.yaml, area: 0.05 m2, at: 20 °C, air_speed: 0.2 m/s, from: 0 min, for: 4 h}
until: 8 h
";

fn air(bench: &Bench, arguments: &[&str]) -> Value {
    let run = bench.run(&[&["air", "--format", "json"], arguments].concat());
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    serde_json::from_str(&run.stdout).expect("JSON and nothing else")
}

fn gas<'j>(json: &'j Value, symbol: &str) -> &'j Value {
    let gases = json["gases"].as_array().expect("gases");
    gases
        .iter()
        .find(|gas| gas["gas"] == symbol)
        .expect("the gas")
}

fn near(value: &Value, expected: f64) {
    let value = value.as_f64().expect("a number");
    assert!(
        (value / expected - 1.0).abs() < 1e-6,
        "{value}, by hand {expected}"
    );
}

#[test]
fn the_promised_example_agrees_with_a_pocket_calculator() {
    let bench = Bench::demo().file("air.yaml", EXAMPLE);
    let json = air(&bench, &["air.yaml"]);
    near(&json["changes_per_hour"], 150.0 / 30.0);
    let sulfur = gas(&json, "SO2");
    // 2 mg/min for an hour, and 3.1 g.
    near(&sulfur["emitted_mg"], 3220.0);
    // C = K G/Q, G in mg/h.
    let steady = 3.0 * 120.0 / 150.0;
    near(&sulfur["steady_mg_per_m3"], steady);
    // The build-up of ten minutes, C = (K G/Q)(1 - exp(-Q t/(K V))), and the burst into 30 m3.
    let rate: f64 = 150.0 / (3.0 * 30.0);
    let peak = steady * (1.0 - (-rate / 6.0).exp()) + 3100.0 / 30.0;
    near(&sulfur["peak_mg_per_m3"], peak);
    // t = (K V/Q) ln(C/limit); 1.3 mg/m3 is the lowest of the European Union (Directive (EU) 2017/164).
    near(
        &sulfur["purge_minutes_to_limit"],
        60.0 / rate * (peak / 1.3).ln(),
    );
    // All that is let out is either breathed as dose × flow or still there: over 8 h nearly all is
    // gone, so the average is emitted/((Q/K) × 8 h), less than a millionth of it left.
    near(
        &sulfur["twa_8h_mg_per_m3"],
        (3220.0 - left(&rate, peak)) / (50.0 * 8.0),
    );
    assert!(sulfur["near_field_peak_mg_per_m3"].as_f64() > sulfur["peak_mg_per_m3"].as_f64());
    assert!(sulfur["evaporation_mg_per_min"].is_null(), "no bath of it");
    assert_eq!(sulfur["above_idlh"], true);
}

/// What is still in the room after 8 hours, mg.
fn left(rate: &f64, peak: f64) -> f64 {
    let hour = 2.4 + (peak - 2.4) * (-rate * 50.0 / 60.0).exp();
    30.0 * hour * (-rate * 7.0).exp()
}

#[test]
fn every_promised_field_is_there() {
    let bench = Bench::demo().file("air.yaml", EXAMPLE);
    let json = air(&bench, &["air.yaml"]);
    assert!(
        json["assumptions"]
            .as_array()
            .is_some_and(|said| said.len() > 4)
    );
    for gas in json["gases"].as_array().expect("gases") {
        for field in [
            "gas",
            "emitted_mg",
            "peak_mg_per_m3",
            "twa_8h_mg_per_m3",
            "steady_mg_per_m3",
            "near_field_peak_mg_per_m3",
            "evaporation_mg_per_min",
            "limits",
            "fresh_air_needed_m3_per_h",
            "purge_minutes_to_limit",
            "uncertainty_factor",
        ] {
            assert!(gas.get(field).is_some(), "{field} of {}", gas["gas"]);
        }
        assert!(gas["uncertainty_factor"].as_f64() >= Some(2.0));
        assert!(
            gas["limits"]
                .as_array()
                .is_some_and(|limits| !limits.is_empty())
        );
    }
}

/// Steady state of a bath without back pressure is bounded by K G/Q with G what it gives off into
/// clean air, and the fresh air asked for is K G/limit: 50 mg/m3 over 15 min, 25 over 8 h (EU).
#[test]
fn a_recipe_stands_open_as_chemistry_says() {
    let bench = Bench::demo().file("air.yaml", EXAMPLE);
    let json = air(&bench, &["air.yaml"]);
    let acid = gas(&json, "CH3COOH");
    let per_hour = acid["evaporation_mg_per_min"].as_f64().expect("a rate") * 60.0;
    near(&acid["fresh_air_needed_m3_per_h"], 3.0 * per_hour / 25.0);
    let steady = acid["steady_mg_per_m3"].as_f64().expect("a level");
    assert!(
        steady < 3.0 * per_hour / 150.0 && steady > 0.9 * 3.0 * per_hour / 150.0,
        "{steady}"
    );
    let weak = bench.file(
        "recipes/acetic-stop.yaml",
        "makes: 1 L\nkind: stop bath\nstart: {water: 900 mL}\nadd: [{citric acid: 15 g}]\ntop_up: 1 L\n",
    );
    let json = air(&weak, &["air.yaml"]);
    assert!(
        json["gases"]
            .as_array()
            .is_some_and(|gases| gases.len() == 1),
        "citric acid gives off nothing"
    );
}

#[test]
fn rules_choose_the_limits_in_force() {
    let bench = Bench::demo().file("air.yaml", EXAMPLE);
    for (rules, body) in [("us", "OSHA PEL"), ("uk", "UK WEL"), ("eu", "EU IOELV")] {
        let json = air(&bench, &["air.yaml", "--rules", rules]);
        let limits = gas(&json, "SO2")["limits"]
            .as_array()
            .expect("limits")
            .clone();
        let in_force: Vec<_> = limits
            .iter()
            .filter(|limit| limit["in_force"] == true)
            .collect();
        assert!(
            in_force.iter().any(|limit| limit["body"] == body),
            "{rules}"
        );
        assert!(
            in_force.iter().all(|limit| limit["region"] == rules),
            "{rules}"
        );
    }
    let run = bench.run(&["air", "air.yaml", "--rules", "mars"]);
    assert_eq!(run.status, Some(2));
    assert!(
        run.stderr.contains("mars") && run.stderr.contains("uk"),
        "{}",
        run.stderr
    );
}

/// A fan that stirs the room's own air, or that has no inlet, is worth no more than none.
#[test]
fn a_fan_counts_only_out_of_doors_and_with_an_inlet() {
    let case = |fan: &str| {
        format!(
            "room: 30 m3\n{fan}releases: [{{gas: SO2, rate: 1 mg/min, for: 1 h}}]\nuntil: 1 h\n"
        )
    };
    let flow = |fan: &str| {
        let bench = Bench::new().file("air.yaml", case(fan));
        air(&bench, &["air.yaml"])["fresh_air_m3_per_h"]
            .as_f64()
            .expect("a flow")
    };
    let none = flow("");
    assert_eq!(
        flow("fan: {rated: 150 m3/h, blows: outdoors, inlet: open}\n"),
        75.0
    );
    for nothing in [
        "fan: 150 m3/h\n",
        "fan: {rated: 150 m3/h, blows: same room, inlet: open}\n",
        "fan: {rated: 150 m3/h, blows: outdoors, inlet: none}\n",
    ] {
        assert_eq!(flow(nothing), none, "{nothing}");
    }
}

#[test]
fn a_fault_is_told_with_its_place_and_nothing_is_written() {
    for (case, word) in [
        (EXAMPLE.replace("acetic-stop", "no-such"), "no-such"),
        (
            EXAMPLE.replace("sulfur dioxide, rate", "sulfer dioxide, rate"),
            "sulfur dioxide",
        ),
        (EXAMPLE.replace("30 m3", "30"), "air.yaml:1:7"),
        (EXAMPLE.replace("until: 8 h\n", ""), "until"),
    ] {
        let bench = Bench::demo().file("air.yaml", case);
        let run = bench.run(&["air", "air.yaml", "-o", "air.html"]);
        assert_eq!(run.status, Some(2), "{}", run.stdout);
        assert!(
            run.stderr.contains(word) && run.stderr.contains("air.yaml:"),
            "{}",
            run.stderr
        );
        assert!(!bench.path("air.html").exists());
    }
}

#[test]
fn the_steps_are_shown_when_asked_for() {
    let bench = Bench::demo().file("air.yaml", EXAMPLE);
    let text = bench.run(&["air", "air.yaml", "--explain"]).stdout;
    for part in [
        "C = K G/Q",
        "Henry constant",
        "penetration",
        "outranks",
        "factor",
    ] {
        assert!(text.contains(part), "{part}");
    }
    let json = air(&bench, &["air.yaml", "--explain"]);
    assert!(
        gas(&json, "CH3COOH")["steps"]
            .as_array()
            .is_some_and(|steps| steps.len() > 5)
    );
}

const SESSION: &str = "sessions/thursday.yaml";

#[test]
fn the_sheet_carries_the_air_on_every_medium() {
    let bench = Bench::demo();
    for format in ["text", "md", "html"] {
        let page = bench
            .run(&["sheet", SESSION, "--format", format])
            .stdout
            .replace('\n', " ");
        for part in [
            "fresh air counted",
            "breathing zone",
            "EU IOELV",
            "outranks",
            "exhaust",
        ] {
            assert!(page.contains(part), "{format}: {part}");
        }
    }
    let html = bench.run(&["sheet", SESSION, "--format", "html"]).stdout;
    assert!(
        html.contains("aria-label=\"acetic acid over 3 h\""),
        "the curve is drawn"
    );
    let text = bench.run(&["sheet", SESSION, "--format", "text"]).stdout;
    assert!(!text.contains("[acetic acid"), "a terminal draws no curve");
}

/// A fan of 150 m3/h, half of which counts, in 30 m3.
#[test]
fn the_sheet_has_every_figure_as_json() {
    let bench = Bench::demo();
    let run = bench.run(&["sheet", SESSION, "--format", "json"]);
    let json: Value = serde_json::from_str(&run.stdout).expect("JSON");
    let air = &json["air"];
    near(&air["fresh_air_m3_per_h"], 75.0);
    near(&air["changes_per_hour"], 2.5);
    let acid = gas(air, "CH3COOH");
    assert!(acid["peak_mg_per_m3"].as_f64() > Some(0.0));
    assert!(
        acid["steps"]
            .as_array()
            .is_some_and(|steps| !steps.is_empty())
    );
    assert!(air["dust"].as_array().is_some_and(|dust| dust.len() > 3));
    let spills = air["accidents"].as_array().expect("accidents");
    let sulfur = spills
        .iter()
        .find(|spill| spill["gas"] == "SO2")
        .expect("stop and fixer");
    // 20 sheets of 18 by 24 cm at 200 mL/m2.
    near(&sulfur["carried_ml"], 20.0 * 0.18 * 0.24 * 200.0);
    assert_eq!(sulfur["assumed"], false);
}

/// The same session in other air: what the place says decides what is found.
#[test]
fn the_place_decides_what_is_found() {
    let found = |air: &str, code: &str| {
        let place = "name: a room\nrules: [eu]\nroom: 30 m3\n".to_owned() + air;
        let bench = Bench::demo().file("darkroom.yaml", place);
        let run = bench.run(&["check", "--format", "json", SESSION]);
        let json: Value = serde_json::from_str(&run.stdout).expect("JSON");
        let findings = json["findings"].as_array().expect("findings").clone();
        findings.into_iter().find(|finding| finding["code"] == code)
    };
    let nothing = "air/no-fresh-air";
    for (air, words) in [
        ("", "no fan is stated"),
        (
            "air: {fan: 150 m3/h}\n",
            "where the fan blows is not stated",
        ),
        (
            "air: {fan: 150 m3/h, blows: same room}\n",
            "into the room again",
        ),
        (
            "air: {fan: 150 m3/h, blows: outdoors}\n",
            "whether air can come in",
        ),
        (
            "air: {fan: 150 m3/h, blows: outdoors, inlet: none}\n",
            "no inlet",
        ),
    ] {
        let finding = found(air, nothing).expect(air);
        let message = finding["message"].as_str().unwrap_or_default();
        assert!(message.contains(words), "{air}: {message}");
    }
    for air in [
        "air: {fan: 150 m3/h, blows: outdoors, inlet: open}\n",
        "air: {fresh_air: 100 m3/h}\n",
    ] {
        assert!(found(air, nothing).is_none(), "{air}");
    }
}

/// The page of the calculator draws the curve of every gas.
#[test]
fn the_curves_are_drawn() {
    let bench = Bench::demo().file("air.yaml", EXAMPLE);
    let html = bench.run(&["air", "air.yaml", "--format", "html"]).stdout;
    assert_eq!(html.matches("<svg").count(), 2);
    let run = bench.run(&["air", "air.yaml", "-o", "air.pdf"]);
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    assert!(std::fs::read(bench.path("air.pdf")).is_ok_and(|pdf| pdf.starts_with(b"%PDF")));
}

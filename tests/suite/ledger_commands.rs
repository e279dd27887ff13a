//! The waste ledger as a person keeps it: commands run one after the other in a workspace.

use std::collections::BTreeSet;
use std::fs;

use serde_json::Value;

use crate::harness::{Bench, Run};

const DAY: &str = "2026-12-03";

fn log(bench: &Bench, arguments: &[&str]) -> Run {
    log_on(bench, DAY, arguments)
}

fn log_on(bench: &Bench, day: &str, arguments: &[&str]) -> Run {
    let mut all = vec!["log", "--on", day, "--format", "json"];
    all.extend(arguments);
    bench.run(&all)
}

fn booked(bench: &Bench, arguments: &[&str]) -> Value {
    let run = log(bench, arguments);
    assert_eq!(
        run.status,
        Some(0),
        "{arguments:?}: {}{}",
        run.stdout,
        run.stderr
    );
    json(&run)
}

fn json(run: &Run) -> Value {
    serde_json::from_str(&run.stdout).unwrap_or_else(|_| panic!("{}{}", run.stdout, run.stderr))
}

fn tally(bench: &Bench, arguments: &[&str]) -> Value {
    let mut all = vec!["tally", "--format", "json"];
    all.extend(arguments);
    json(&bench.run(&all))
}

fn codes(found: &Value) -> BTreeSet<&str> {
    let lines = found["findings"].as_array().expect("findings");
    lines
        .iter()
        .filter_map(|line| line["code"].as_str())
        .collect()
}

/// Refused with exit code 1, the reason among the findings, and nothing booked.
fn refused(bench: &Bench, arguments: &[&str], code: &str) -> Value {
    // Byte for byte: a refusal leaves no trace.
    let before = fs::read(bench.path("waste.db")).expect("a ledger");
    let run = log(bench, arguments);
    assert_eq!(
        run.status,
        Some(1),
        "{arguments:?}: {}{}",
        run.stdout,
        run.stderr
    );
    let found = json(&run);
    assert!(codes(&found).contains(code), "{code}: {:?}", codes(&found));
    assert_eq!(found["booked"].as_array().map(Vec::len), Some(0));
    assert!(run.stderr.contains(code), "{}", run.stderr);
    assert!(
        before == fs::read(bench.path("waste.db")).expect("a ledger"),
        "{code}"
    );
    found
}

/// The demonstration workspace with its session made and three containers.
fn bench() -> Bench {
    let bench = Bench::demo();
    booked(&bench, &["made", "sessions/thursday.yaml"]);
    for (name, stream, capacity) in [
        ("fixer drum", "spent-fixer", "2L"),
        ("developer drum", "spent-developer", "10 L"),
        ("stop can", "spent-stop", "5L"),
    ] {
        booked(
            &bench,
            &[
                "add-container",
                name,
                "--stream",
                stream,
                "--capacity",
                capacity,
            ],
        );
    }
    bench
}

fn container<'t>(tally: &'t Value, name: &str) -> &'t Value {
    let lines = tally["containers"].as_array().expect("containers");
    lines
        .iter()
        .find(|line| line["name"] == name)
        .expect("the container")
}

fn stream<'t>(tally: &'t Value, name: &str) -> &'t Value {
    let lines = tally["streams"].as_array().expect("streams");
    lines
        .iter()
        .find(|line| line["stream"] == name)
        .expect("the stream")
}

#[test]
fn from_the_session_to_the_collector() {
    let bench = bench();
    booked(&bench, &["pour", "plain-fixer", "500mL", "fixer drum"]);
    booked(
        &bench,
        &["pour", "Plain fixer", "--left", "100 mL", "fixer drum"],
    );
    let before = tally(&bench, &["--on", "2026-12-13"]);
    let drum = container(&before, "fixer drum");
    assert_eq!(drum["litres"], 0.9);
    assert_eq!(drum["capacity_l"], 2.0);
    assert_eq!((&drum["since"], &drum["days"]), (&DAY.into(), &10.into()));
    // 0.9 L in 10 days; the other 1.1 L take 12 whole days.
    assert_eq!(drum["full_on"], "2026-12-25");
    let run = log_on(
        &bench,
        "2026-12-14",
        &[
            "collected",
            "fixer drum",
            "--receipt",
            "R-17",
            "--carrier",
            "Harbour carriers",
        ],
    );
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    let after = tally(&bench, &["--on", "2026-12-31"]);
    assert_eq!(container(&after, "fixer drum")["litres"], 0.0);
    let fixer = stream(&after, "spent-fixer");
    assert_eq!(fixer["litres_made"], 1.0);
    assert_eq!(fixer["litres_collected"], 0.9);
    assert_eq!(fixer["litres_held"], 0.1);
    // 0.9 L at no more than 1.25 kg/L, the heavy end for fixer (from memory).
    let kg = after["month"]["kg"].as_f64().expect("kg");
    assert!((kg - 0.9 * 1.25).abs() < 1e-9, "{kg}");
    assert_eq!(after["unaccounted_l"], 0.0);
    let verify = bench.run(&["ledger", "verify"]);
    assert_eq!(verify.status, Some(0), "{}", verify.stderr);
    let csv = bench.run(&["report", "2026-12", "--format", "csv"]).stdout;
    let line = csv
        .lines()
        .find(|line| line.contains("collected"))
        .expect("the collection");
    assert!(line.contains("R-17") && line.contains("0.9") && line.contains("Harbour carriers"));
}

/// Acid on thiosulfate frees sulfur dioxide: hazards/reactions.yaml names the source.
#[test]
fn acid_into_fixer_is_refused_with_the_gas_named() {
    let bench = bench();
    booked(&bench, &["pour", "plain-fixer", "500mL", "fixer drum"]);
    let found = refused(
        &bench,
        &["pour", "acetic-stop", "500mL", "fixer drum"],
        "ledger/must-not-meet",
    );
    let text = found.to_string();
    assert!(text.contains("sulfur dioxide") && codes(&found).contains("ledger/wrong-stream"));
    refused(
        &bench,
        &["pour", "plain-fixer", "100mL", "Acetic stop bath"],
        "ledger/must-not-meet",
    );
    // Forced, it is booked with the findings attached.
    let forced = booked(
        &bench,
        &["pour", "acetic-stop", "100mL", "fixer drum", "--force"],
    );
    assert!(codes(&forced).contains("ledger/must-not-meet"));
    let details = forced["booked"][0]["details"].as_str().expect("details");
    assert!(details.contains("ledger/must-not-meet"));
}

/// Half a litre of the stop bath holds 0.143 mol of acetic acid (20 mL/L of 80 %, 1.07 kg/L,
/// 60.05 g/mol), and two of them free one sulfur dioxide (64.07 g/mol): 4.6 g are the most there
/// can be, whatever the equilibrium; half of that is there at least, the fixer being in excess.
#[test]
fn a_refused_pour_names_the_grams_and_what_they_are_in_the_room() {
    let bench = bench();
    booked(&bench, &["pour", "plain-fixer", "500mL", "fixer drum"]);
    let pour = ["pour", "acetic-stop", "500mL", "fixer drum"];
    let found = refused(&bench, &pour, "ledger/must-not-meet");
    let lines = found["findings"].as_array().expect("findings").iter();
    let told = lines
        .filter(|line| line["code"] == "ledger/must-not-meet")
        .find_map(|line| line["message"].as_str())
        .expect("a message");
    let after = |words: &str| -> f64 {
        let rest = told.split(words).nth(1).unwrap_or_else(|| panic!("{told}"));
        let figure: String = rest
            .chars()
            .take_while(|c| c.is_ascii_digit() || *c == '.')
            .collect();
        figure.parse().unwrap_or_else(|_| panic!("{told}"))
    };
    let grams = after("at most ");
    assert!((2.3..=4.6).contains(&grams), "{told}");
    // All of it in the 30 m³ of the demo's room.
    let in_room = after("sulfur dioxide, ");
    assert!(
        (in_room / (grams * 1000.0 / 30.0) - 1.0).abs() < 0.1,
        "{told}"
    );
    assert!(told.contains("in 30 m³ of room, above "), "{told}");
    let english = fs::read_to_string(bench.path("darkroom.yaml")).expect("the place");
    let bench = bench.file(
        "darkroom.yaml",
        english.replace("language: en", "language: de"),
    );
    let found = refused(&bench, &pour, "ledger/must-not-meet");
    assert!(found.to_string().contains("darf nicht auf"), "{found}");
}

/// What a bath has processed goes with it, into the bottle and back; what is poured to waste
/// takes nothing off what is left.
#[test]
fn a_bath_is_as_used_up_in_its_bottle_as_in_the_tray() {
    let bench = bench();
    booked(&bench, &["add-place", "tray", "--kind", "tray"]);
    booked(&bench, &["pour", "plain-fixer", "tray"]);
    // 1 L of fixer: half a square metre by the kind's figure.
    booked(&bench, &["film", "tray", "0.4m2"]);
    assert!(!codes(&tally(&bench, &["--on", DAY])).contains("ledger/exhausted"));
    booked(&bench, &["pour", "tray", "plain-fixer"]);
    booked(&bench, &["pour", "plain-fixer", "tray"]);
    booked(&bench, &["film", "tray", "0.2m2"]);
    let found = tally(&bench, &["--on", DAY]);
    assert!(codes(&found).contains("ledger/exhausted"), "{found:#}");
    let baths = found["keeping"].as_array().expect("baths").iter();
    let tray = baths
        .filter(|line| line["place"] == "tray")
        .collect::<Vec<_>>();
    assert_eq!(tray[0]["area_m2"], 0.6);
    assert_eq!(tray[0]["capacity_m2"], 0.5);
    // Half of it back in the bottle takes half of the area along.
    booked(&bench, &["pour", "tray", "500mL", "plain-fixer"]);
    let found = tally(&bench, &["--on", DAY]);
    for line in found["keeping"].as_array().expect("baths") {
        if line["what"] == "Plain fixer" {
            assert_eq!(line["area_m2"], 0.3, "{line}");
        }
    }
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, Some(0), "{}", verified.stderr);
}

/// Asked while nobody else can book, so that of several at once exactly one is booked.
#[test]
fn a_session_booked_from_several_terminals_at_once_is_booked_once() {
    let bench = Bench::demo();
    let run = |_| {
        bench
            .run(&["log", "made", "sessions/thursday.yaml", "--on", DAY])
            .status
    };
    let statuses: Vec<Option<i32>> = std::thread::scope(|scope| {
        let terminals: Vec<_> = (0..4).map(|at| scope.spawn(move || run(at))).collect();
        let ends = terminals.into_iter().map(|terminal| terminal.join());
        ends.map(|end| end.expect("a run")).collect()
    });
    let good = statuses.iter().filter(|status| **status == Some(0)).count();
    assert_eq!(good, 1, "{statuses:?}");
    assert!(
        statuses.iter().all(|status| matches!(status, Some(0 | 1))),
        "{statuses:?}"
    );
    let listed = bench.run(&["log", "list", "--last", "100"]);
    assert_eq!(
        listed.stdout.matches("made: 2 L").count(),
        1,
        "{}",
        listed.stdout
    );
}

/// Every page names its rules and sources and whose word comes first, in both languages.
#[test]
fn the_pages_name_their_sources_and_defer() {
    let bench = bench();
    booked(&bench, &["pour", "plain-fixer", "500mL", "fixer drum"]);
    for (language, title, deference, kingdom) in [
        ("en", "Rules and sources", "come first", "United Kingdom"),
        (
            "de",
            "Regeln und Quellen",
            "gehen vor",
            "Vereinigtes Königreich",
        ),
    ] {
        for command in [["tally", "--on", DAY], ["report", "2026-12", "--format"]] {
            let mut words = command.to_vec();
            if command[0] == "report" {
                words.push("html");
            } else {
                words.extend(["--format", "html"]);
            }
            words.extend(["--language", language, "--rules", "us", "--rules", "uk"]);
            let page = bench.run(&words).stdout;
            assert!(page.contains(title) && page.contains(deference), "{page}");
            assert!(page.contains("40 CFR") && page.contains(kingdom), "{page}");
            if language == "de" {
                assert!(page.contains("Gebrauchtes Fixierbad"), "{page}");
            }
        }
    }
}

/// Solutions without a recipe react by what their stream holds: bleach on fixer and ammonia.
#[test]
fn solutions_without_a_recipe_go_by_their_stream() {
    let bench = bench();
    booked(
        &bench,
        &[
            "add",
            "cleaning bleach",
            "1L",
            "--stream",
            "hypochlorite-waste",
            "--into",
            "bleach bottle",
        ],
    );
    booked(&bench, &["pour", "plain-fixer", "500mL", "fixer drum"]);
    refused(
        &bench,
        &["pour", "bleach bottle", "100mL", "fixer drum"],
        "ledger/must-not-meet",
    );
    booked(
        &bench,
        &[
            "add",
            "unknown",
            "1L",
            "--stream",
            "unknown",
            "--into",
            "old bottle",
            "--old",
        ],
    );
    refused(
        &bench,
        &["pour", "old bottle", "100mL", "fixer drum"],
        "ledger/unknown-contents",
    );
}

/// A tray that held another bath is used every evening: something to take care of, no refusal.
#[test]
fn an_unwashed_tray_is_no_reason_to_stop() {
    let bench = bench();
    booked(
        &bench,
        &["add-place", "tray 1", "--kind", "tray", "--capacity", "3L"],
    );
    booked(
        &bench,
        &["pour", "carbonate", "500mL", "tray 1", "--water", "1L"],
    );
    booked(&bench, &["pour", "tray 1", "developer drum"]);
    assert_eq!(
        container(&tally(&bench, &["--on", DAY]), "developer drum")["litres"],
        1.5
    );
    let found = booked(&bench, &["pour", "acetic-stop", "500mL", "tray 1"]);
    assert_eq!(codes(&found), BTreeSet::from(["ledger/must-not-meet"]));
    assert_eq!(found["findings"][0]["severity"], "attention");
}

#[test]
fn what_makes_no_sense_is_refused() {
    let bench = bench();
    booked(
        &bench,
        &[
            "add-container",
            "scrap bin",
            "--stream",
            "film-and-paper-scrap",
            "--capacity",
            "5kg",
        ],
    );
    for (arguments, code) in [
        (
            &[
                "add",
                "plonk",
                "3L",
                "--stream",
                "spent-fixer",
                "--into",
                "fixer drum",
            ][..],
            "ledger/overfill",
        ),
        (
            &["pour", "plain-fixer", "3L", "fixer drum"],
            "ledger/below-zero",
        ),
        (
            &["pour", "plain-fixer", "1kg", "fixer drum"],
            "ledger/volume-or-mass",
        ),
        (
            &["pour", "plain-fixer", "100mL", "stop can"],
            "ledger/wrong-stream",
        ),
        (
            &["pour", "plain-fixer", "--left", "1L", "fixer drum"],
            "ledger/nothing-moves",
        ),
        (
            &["add-container", "fixer drum", "--stream", "spent-fixer"],
            "ledger/name-taken",
        ),
        (&["undo", "1"], "ledger/place-stays"),
        (&["correct", "1", "1L"], "ledger/cannot-be-corrected"),
        (&["made", "sessions/thursday.yaml"], "ledger/made-already"),
    ] {
        refused(&bench, arguments, code);
    }
    let run = bench.run(&["log", "--on", "1600-01-01", "--format", "json", "undo", "2"]);
    assert_eq!(run.status, Some(1));
    assert!(
        codes(&json(&run)).contains("ledger/no-such-day"),
        "{}",
        run.stdout
    );
    for (arguments, help) in [
        (
            &["pour", "plain-fixer", "1L", "fixer drumm"][..],
            "fixer drum",
        ),
        (
            &["add-container", "x", "--stream", "spent-fixr"],
            "spent-fixer",
        ),
        (&["pour", "plain-fixer", "many", "fixer drum"], "500mL"),
        (&["undo", "99"], "99"),
        (&["made", "sessions/friday.yaml"], "sessions/friday.yaml"),
    ] {
        let run = log(&bench, arguments);
        assert_eq!(run.status, Some(2), "{arguments:?}");
        assert!(run.stderr.contains(help), "{}", run.stderr);
    }
}

#[test]
fn undo_and_correct_keep_both_halves() {
    let bench = bench();
    let poured = booked(&bench, &["pour", "plain-fixer", "500mL", "fixer drum"]);
    let number = poured["booked"][0]["number"].to_string();
    let litres = || container(&tally(&bench, &["--on", DAY]), "fixer drum")["litres"].clone();
    assert_eq!(litres(), 0.5);
    booked(&bench, &["undo", &number]);
    assert_eq!(litres(), 0.0);
    refused(&bench, &["undo", &number], "ledger/undone-already");
    let poured = booked(&bench, &["pour", "plain-fixer", "500mL", "fixer drum"]);
    booked(
        &bench,
        &[
            "correct",
            &poured["booked"][0]["number"].to_string(),
            "300mL",
        ],
    );
    assert_eq!(litres(), 0.3);
    let report = json(&bench.run(&["report", "2026-12", "--format", "json"]));
    assert_eq!(report["corrections"].as_array().map(Vec::len), Some(5));
    assert_eq!(bench.run(&["ledger", "verify"]).status, Some(0));
}

/// What a tally says of itself: nearly full, kept too long, and litres that are nowhere.
#[test]
fn the_tally_says_what_is_due() {
    let bench = bench();
    booked(
        &bench,
        &[
            "add",
            "old fixer",
            "1.9L",
            "--stream",
            "spent-fixer",
            "--into",
            "fixer drum",
            "--old",
        ],
    );
    booked(&bench, &["count", "Acetic stop bath", "900mL"]);
    let soon = tally(&bench, &["--on", "2026-12-10"]);
    let seen = codes(&soon);
    assert!(
        seen.contains("ledger/nearly-full") && seen.contains("ledger/unaccounted"),
        "{seen:?}"
    );
    assert_eq!(soon["unaccounted_l"], 0.1);
    // Twelve months in secure store: Environmental Permitting Regulations 2010, Schedule 25.
    let run = bench.run(&[
        "tally",
        "--on",
        "2028-01-01",
        "--rules",
        "uk",
        "--format",
        "json",
    ]);
    assert_eq!(run.status, Some(1));
    let late = json(&run);
    assert!(codes(&late).contains("ledger/past-day-limit"));
    assert!(codes(&late).contains("ledger/past-keeping-time"));
}

#[test]
fn the_shape_of_the_tally_is_kept() {
    let bench = bench();
    booked(&bench, &["pour", "plain-fixer", "500mL", "fixer drum"]);
    let found = tally(
        &bench,
        &["--on", "2026-12-10", "--month", "2026-11", "--rules", "us"],
    );
    assert_eq!(found["as_of"], "2026-12-10");
    for field in [
        "name",
        "stream",
        "litres",
        "capacity_l",
        "since",
        "days",
        "full_on",
    ] {
        assert!(!container(&found, "fixer drum")[field].is_null(), "{field}");
    }
    for field in ["litres_made", "litres_collected", "litres_held"] {
        assert!(stream(&found, "spent-fixer")[field].is_number(), "{field}");
    }
    assert_eq!(found["month"]["kg"], 0.0);
    let month = tally(&bench, &["--on", "2026-12-10", "--rules", "us"]);
    // A school in the US that makes less than 100 kg a month: 40 CFR 262.13.
    assert_eq!(month["month"]["generator"], "VSQG");
    assert_eq!(month["month"]["limit_kg"], 100.0);
    assert!(month["unaccounted_l"].is_number());
}

#[test]
fn pages_are_written_and_text_fits_the_terminal() {
    let bench = bench();
    booked(&bench, &["pour", "plain-fixer", "500mL", "fixer drum"]);
    booked(&bench, &["film", "Plain fixer", "0.5 m2"]);
    booked(
        &bench,
        &[
            "trained",
            "Ilse",
            "--by",
            "Tidemill",
            "--chemicals",
            "metol,hydroquinone",
        ],
    );
    for arguments in [["tally"].as_slice(), &["report", "2026"]] {
        for (file, start) in [("w.pdf", "%PDF"), ("w.html", "<!doctype"), ("w.csv", "")] {
            let mut all = arguments.to_vec();
            all.extend(["-o", file]);
            let run = bench.run(&all);
            assert_eq!(run.status, Some(0), "{all:?} {}", run.stderr);
            let bytes = fs::read(bench.path(file)).expect("the page");
            assert!(bytes.len() > 100);
            let text = String::from_utf8_lossy(&bytes[..10]).to_lowercase();
            assert!(text.starts_with(&start.to_lowercase()), "{file}: {text}");
            fs::remove_file(bench.path(file)).expect("gone");
        }
        let run = bench.run(arguments);
        for line in run.stdout.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
    // The ledger is never written over.
    assert_eq!(bench.run(&["tally", "-o", "waste.db"]).status, Some(2));
    assert_eq!(bench.run(&["ledger", "verify"]).status, Some(0));
}

#[test]
fn an_export_lays_down_the_same_book() {
    let bench = bench();
    booked(&bench, &["pour", "plain-fixer", "500mL", "fixer drum"]);
    assert_eq!(
        bench.run(&["ledger", "export", "-o", "book.jsonl"]).status,
        Some(0)
    );
    let other = Bench::demo().file(
        "book.jsonl",
        fs::read(bench.path("book.jsonl")).expect("lines"),
    );
    let run = other.run(&["ledger", "import", "book.jsonl"]);
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    let hash = |bench: &Bench| bench.run(&["ledger", "verify", "--format", "json"]).stdout;
    assert_eq!(hash(&bench), hash(&other));
    assert_eq!(
        other.run(&["ledger", "import", "book.jsonl"]).status,
        Some(2)
    );
    // A changed line is named.
    let lines = fs::read_to_string(bench.path("book.jsonl")).expect("lines");
    let third = Bench::demo().file("book.jsonl", lines.replacen("2026-12-03", "2026-12-02", 1));
    let run = third.run(&["ledger", "import", "book.jsonl"]);
    assert_eq!(run.status, Some(2));
    assert!(run.stderr.contains("line 1"), "{}", run.stderr);
    assert!(!third.path("waste.db").exists());
}

#[test]
fn without_a_workspace_or_a_ledger_it_says_so() {
    let run = Bench::new().run(&["tally"]);
    assert_eq!(run.status, Some(2));
    assert!(run.stderr.contains("wetside init"), "{}", run.stderr);
    let bench = Bench::demo();
    let run = bench.run(&["tally"]);
    assert_eq!(run.status, Some(2));
    assert!(run.stderr.contains("no ledger"), "{}", run.stderr);
    assert!(!bench.path("waste.db").exists());
    let run = bench
        .file("waste.db", "not a ledger at all")
        .run(&["tally"]);
    assert_eq!(run.status, Some(2));
    assert!(run.stderr.contains("waste.db"), "{}", run.stderr);
}

/// The picture of the months stands on the pages of both, and on paper and screen only.
#[test]
fn the_months_are_drawn() {
    let bench = bench();
    booked(&bench, &["pour", "plain-fixer", "500mL", "fixer drum"]);
    for command in [&["tally", "--on", DAY][..], &["report", "2026-12"]] {
        let page = |format: &str| bench.run(&[command, &["--format", format]].concat()).stdout;
        let html = page("html");
        let drawn = html
            .split_once("<svg")
            .and_then(|(_, rest)| rest.split_once("</svg>"));
        assert!(
            drawn.is_some_and(|(svg, _)| svg.contains("<path") || svg.contains("<rect")),
            "{html}"
        );
        assert!(html.contains("0.5"), "the amount stands in words too");
        assert!(!page("md").contains("<svg"), "{command:?}");
    }
}

/// The bars that are drawn, from their corners: how tall each is, those of the legend left out.
fn bars(html: &str) -> Vec<f64> {
    let svg = html
        .split_once("<svg")
        .and_then(|(_, rest)| rest.split_once("</svg>"));
    let svg = svg.expect("a picture").0;
    let filled = svg.split("<path ").filter(|path| {
        let tag = path.split('>').next().unwrap_or_default();
        // Bars are filled and framed; letters are the one or the other.
        tag.contains("stroke=\"#000000\"") && !tag.contains("fill=\"none\"")
    });
    let boxes = filled.map(|path| {
        let points = path
            .split_once("d=\"M")
            .and_then(|(_, rest)| rest.split_once('Z'));
        let points = points.expect("a path").0.split('L').map(str::trim);
        let point = |text: &str| -> (f64, f64) {
            let (x, y) = text.split_once(',').expect("two numbers");
            (
                x.parse().expect("x"),
                y.trim().parse().unwrap_or_else(|_| panic!("{text}")),
            )
        };
        points.map(point).collect::<Vec<_>>()
    });
    // A stack stands on the axis or on the bar below it; a key of the legend is a square under it.
    let boxes: Vec<Vec<(f64, f64)>> = boxes.collect();
    let size = |points: &[(f64, f64)]| (points[2].0 - points[1].0, points[0].1 - points[1].1);
    let is_key = |points: &&Vec<(f64, f64)>| {
        let (width, height) = size(points);
        (width - height).abs() < 0.02
    };
    boxes
        .iter()
        .filter(|points| !is_key(points))
        .map(|points| size(points).1)
        .collect()
}

/// Every bar is as tall as the litres of its month: one stream, three months of 1 : 3 : 5. From the
/// drawn shapes, held against the table.
#[test]
fn the_bars_are_as_tall_as_the_litres() {
    let bench = bench();
    for (day, amount) in [
        ("2027-01-05", "100mL"),
        ("2027-02-05", "300mL"),
        ("2027-03-05", "500mL"),
    ] {
        let add = [
            "add",
            "rinse",
            amount,
            "--stream",
            "spent-fixer",
            "--into",
            "fixer drum",
        ];
        let run = log_on(&bench, day, &add);
        assert_eq!(run.status, Some(0), "{}{}", run.stdout, run.stderr);
    }
    let page = bench
        .run(&["tally", "--on", "2027-03-13", "--format", "html"])
        .stdout;
    // What the table beside it says.
    let cells = page.split("data-head=\"Amount\"").skip(1);
    let litres: Vec<f64> = cells
        .filter_map(|cell| cell.split_once('>')?.1.split_once(" L<")?.0.parse().ok())
        .collect();
    assert_eq!(litres, [0.1, 0.3, 0.5]);
    let heights = bars(&page);
    assert_eq!(heights.len(), litres.len(), "{heights:?}");
    let a_litre = heights[0] / litres[0];
    assert!(a_litre > 10.0, "{heights:?}");
    for (height, litres) in heights.iter().zip(&litres) {
        // Corners are written to a hundredth of a point.
        assert!(
            (height / (a_litre * litres) - 1.0).abs() < 0.01,
            "{heights:?}"
        );
    }
    assert!(
        !page.contains("Drawn are the latest"),
        "all months are drawn"
    );
}

/// A book of more months than can be drawn says from which on it draws.
#[test]
fn months_that_are_not_drawn_are_told_of() {
    let bench = bench();
    for day in ["2026-12-05", "2027-01-05", "2030-01-05"] {
        let add = [
            "add",
            "rinse",
            "100mL",
            "--stream",
            "spent-fixer",
            "--into",
            "fixer drum",
        ];
        let run = log_on(&bench, day, &add);
        assert_eq!(run.status, Some(0), "{}{}", run.stdout, run.stderr);
    }
    let page = |language: &str| {
        let words = [
            "tally",
            "--on",
            "2030-01-13",
            "--format",
            "html",
            "--language",
            language,
        ];
        bench.run(&words).stdout
    };
    let english = "Drawn are the latest 36 months, from 2027-02 on; the table has all.";
    let told = |page: &str| page.split("</svg>").nth(1).unwrap_or_default()[..400].to_owned();
    assert!(page("en").contains(english), "{}", told(&page("en")));
    let german = "Gezeichnet sind die letzten 36 Monate, ab 2027-02; die Tabelle hat alle.";
    assert!(page("de").contains(german), "{}", told(&page("de")));
    assert_eq!(bars(&page("en")).len(), 1, "the others are not drawn");
}

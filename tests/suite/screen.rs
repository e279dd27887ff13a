//! What a command prints when nothing more is asked for fits a terminal: 24 lines of 80 columns are
//! the measure, 30 the most.

use crate::harness::Bench;

/// What may stand on a screen.
const MOST: usize = 30;

const SESSION: &str = "sessions/thursday.yaml";

/// A bench with a session, a book and a file for each command.
fn bench() -> Bench {
    let bench = Bench::demo()
        .file(
            "air.yaml",
            "room: 30 m3\nfresh_air: 150 m3/h\nreleases:\n  - {gas: sulfur dioxide, burst: 3.1 g, at: 10 min}\nopen:\n  - {solution: recipes/acetic-stop.yaml, area: 0.05 m2, at: 20 °C, air_speed: 0.2 m/s, from: 0 min, for: 4 h}\nuntil: 8 h\n",
        )
        .file(
            "mixture.yaml",
            "mixture: m\nform: liquid\nph: 13.2\ningredients:\n  - {name: A, percent: 8, classification: [Acute Tox. 3 H301, Skin Corr. 1B H314], ate: {oral: 125}}\n  - {chemical: hydroquinone, percent: 0.5}\n",
        )
        .file(
            "waste.yaml",
            "waste: fixer drum\nstream: spent-fixer\nholder: business\nph: 4.9\nvolume: 20 L\nmg_per_l: {silver: 3000, selenium: 2}\ncontains:\n  - {chemical: potassium dichromate, g_per_l: 10}\n  - {chemical: ethanol, percent: 20}\nmade_this_month: 95 kg\n",
        );
    for arguments in [
        &["log", "made", SESSION][..],
        &[
            "log",
            "add-container",
            "fixer drum",
            "--stream",
            "spent-fixer",
            "--capacity",
            "20 L",
        ],
        &["log", "pour", "plain-fixer", "1L", "fixer drum"],
    ] {
        let run = bench.run(arguments);
        assert_eq!(run.status, Some(0), "{arguments:?}: {}", run.stderr);
    }
    bench
}

/// Documents made to be printed: in short on a terminal, whole in a pipe, where a test is.
const DOCUMENTS: &[&[&str]] = &[
    &["sheet", SESSION],
    &["brief", SESSION],
    &["label", SESSION],
];

/// Other commands whose whole answer is longer than a screen.
const CUT: &[&[&str]] = &[
    &["check", SESSION],
    &["air", "air.yaml"],
    &["solution", "carbonate-paper-developer"],
    &["solution", "plain-fixer"],
    &["solution", "acetic-stop"],
    &["meet", "potassium cyanide", "acetic acid 80 %"],
    &["codes", "waste.yaml"],
    &["classify", "mixture.yaml"],
    &["compare", "acetic-stop", "plain-fixer"],
    &["tally"],
    &["report", "2026"],
    &["card", "sodium sulfite, anhydrous"],
    &["explain"],
    &["catalogue", "audit"],
];

#[test]
fn an_answer_fits_a_screen_and_says_how_to_see_the_rest() {
    let bench = bench();
    let documents = DOCUMENTS.iter().map(|command| (command, true));
    let others = CUT.iter().map(|command| (command, false));
    for (command, is_document) in documents.chain(others) {
        for rules in ["eu", "us", "eu,uk,us"] {
            for language in ["en", "de"] {
                let mut arguments = command.to_vec();
                arguments.extend(["--rules", rules]);
                if command[0] != "catalogue" {
                    arguments.extend(["--language", language]);
                }
                let short = [&arguments[..], if is_document { &["--short"] } else { &[] }].concat();
                let run = bench.run(&short);
                assert!(run.status < Some(2), "{arguments:?}: {}", run.stderr);
                let text = &run.stdout;
                let lines = text.lines().count();
                assert!(lines <= MOST, "{arguments:?}: {lines} lines\n{text}");
                let wide = text.lines().find(|line| line.chars().count() > 80);
                assert_eq!(wide, None, "{arguments:?}");
                assert!(text.contains("--all"), "{arguments:?}\n{text}");
                arguments.push("--all");
                let all = bench.run(&arguments).stdout;
                assert!(all.len() > text.len(), "{arguments:?}\n{all}");
                if is_document {
                    arguments.pop();
                    assert_eq!(bench.run(&arguments).stdout, all, "a pipe holds everything");
                }
            }
        }
    }
}

#[test]
fn a_file_and_a_format_hold_everything() {
    let bench = bench();
    for command in DOCUMENTS.iter().chain(CUT) {
        // These print for people or for programs, and write no files.
        if ["check", "explain", "catalogue"].contains(&command[0]) {
            continue;
        }
        let all = bench.run(&[command, &["--all"][..]].concat()).stdout;
        let by_format = bench.run(&[command, &["--format", "text"][..]].concat());
        assert_eq!(by_format.stdout, all, "{command:?}");
        let run = bench.run(&[command, &["-o", "page.txt"][..]].concat());
        assert!(run.status < Some(2), "{command:?}: {}", run.stderr);
        let written = std::fs::read_to_string(bench.path("page.txt")).expect("a page");
        assert_eq!(written, all, "{command:?}");
    }
}

/// However many there are: a stop is printed, and what is not is counted.
#[test]
fn no_stop_is_left_out_however_many_there_are() {
    let bench = Bench::demo();
    let mut make = String::new();
    let bench = (0..14).fold(bench, |bench, n| {
        make.push_str(&format!("  - {{recipe: bath-{n}, volume: 1 L}}\n"));
        bench.file(
            &format!("recipes/bath-{n}.yaml"),
            "makes: 1 L\nkind: bleach\nstart: {water: 100 mL, at: 20 °C}\nadd:\n  - potassium cyanide: 5 g\n  - sulfuric acid 96 %: 20 mL\ntop_up: 1 L\n",
        )
    });
    let bench = bench.file("sessions/many.yaml", format!("title: many\nmake:\n{make}"));
    let run = bench.run(&["check", "sessions/many.yaml"]);
    assert_eq!(run.status, Some(1), "{}", run.stderr);
    let json = bench.run(&["check", "sessions/many.yaml", "--format", "json"]);
    let json: serde_json::Value = serde_json::from_str(&json.stdout).expect("an object");
    let of = |severity: &str| {
        let all = json["findings"].as_array().expect("a list").iter();
        all.filter(|one| one["severity"] == severity).count()
    };
    let shown = |word: &str| {
        let begins = format!("{word}[");
        run.stdout
            .lines()
            .filter(|l| l.starts_with(&begins))
            .count()
    };
    assert!(of("stop") >= 14, "{}", of("stop"));
    assert_eq!(shown("stop"), of("stop"), "{}", run.stdout);
    let left = of("attention") - shown("attention") + of("note");
    let said = run.stdout.replace('\n', " ");
    assert!(
        said.contains(&format!("--all prints {left} more")),
        "{said}"
    );
}

#[test]
fn of_many_sessions_the_worst_are_on_the_screen() {
    let bench = Bench::demo();
    let text = std::fs::read_to_string(bench.path(SESSION)).expect("the demo's session");
    let names: Vec<String> = (0..40).map(|n| format!("sessions/s{n:02}.yaml")).collect();
    let bench = names
        .iter()
        .fold(bench, |bench, name| bench.file(name, &text))
        .file(
            "recipes/wrong.yaml",
            "makes: 1 L\nkind: bleach\nstart: {water: 100 mL, at: 20 °C}\nadd:\n  - potassium cyanide: 5 g\n  - sulfuric acid 96 %: 20 mL\ntop_up: 1 L\n",
        )
        .file("sessions/s33.yaml", "title: wrong\nmake: [{recipe: wrong, volume: 1 L}]\n");
    let mut arguments = vec!["check"];
    arguments.extend(names.iter().map(String::as_str));
    let run = bench.run(&arguments);
    assert_eq!(run.status, Some(1), "{}", run.stderr);
    let lines: Vec<&str> = run.stdout.lines().collect();
    assert!(lines.len() <= MOST, "{}", run.stdout);
    assert!(lines[0].starts_with("sessions/s33.yaml"), "{}", run.stdout);
    assert!(run.stdout.contains("21 more sessions"), "{}", run.stdout);
}

/// The size a label needs is kind to know; it is not what was asked for.
#[test]
fn quiet_leaves_out_the_size_of_a_label() {
    let bench = Bench::demo();
    let arguments = ["label", SESSION, "-o", "labels.pdf"];
    let said = bench.run(&arguments);
    assert!(said.status < Some(2), "{}", said.stderr);
    assert!(!said.stderr.is_empty(), "the labels need more room");
    let quiet = bench.run(&[&["-q"], &arguments[..]].concat());
    assert_eq!(quiet.stderr, "");
}

/// What is reckoned of the known part of a solution says nothing of the rest: every page that tells
/// what a solution can do names what nobody has classified in it.
#[test]
fn what_nobody_has_classified_is_named_beside_what_is_reckoned() {
    let bench = Bench::demo()
        .file(
            "hazards/chemicals/odd-agent.yaml",
            "id: odd-agent\nname: odd agent\nstate: powder\n",
        )
        .file(
            "recipes/odd.yaml",
            "makes: 1 L\nkind: developer\nstart: {water: 750 mL, at: 20 °C}\nadd:\n  - odd agent: 5 g\n  - hydroquinone: 5 g\ntop_up: 1 L\n",
        )
        .file("sessions/odd.yaml", "title: odd\nmake: [{recipe: odd, volume: 1 L}]\n");
    let session = "sessions/odd.yaml";
    let no_data = "No data, treat as harmful: odd agent.";
    let poison = "Nobody has tested odd agent: treat it as poison.";
    // The sheet says it of the jar and of the solution.
    let pages: [(&[&str], &str, usize); 7] = [
        (&["solution", "odd"], no_data, 1),
        (&["solution", "odd", "--all"], no_data, 1),
        (&["sheet", session], no_data, 2),
        (
            &["sheet", session, "--short"],
            "no data, treat as harmful: odd agent",
            1,
        ),
        (
            &["label", session, "--short"],
            "No hazard data, treat as harmful: odd agent.",
            1,
        ),
        (&["brief", session], poison, 1),
        (&["brief", session, "--short"], poison, 1),
    ];
    for (command, says, times) in pages {
        let run = bench.run(command);
        assert!(run.status < Some(2), "{command:?}: {}", run.stderr);
        let text = run.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(text.matches(says).count(), times, "{command:?}\n{text}");
    }
}

//! Local rule files: they add, the strictest acts, what loosens or contradicts is refused by line.

use serde_json::Value;

use crate::harness::{Bench, Run};

const HEAD: &str = "title: House rules\ndate: 2026-09-01\n";
const SESSION: &str = "sessions/thursday.yaml";

/// The demo with one rule file; `HEAD` takes the first two lines.
fn with(rules: &str) -> Bench {
    Bench::demo().file("rules/house.yaml", format!("{HEAD}{rules}"))
}

fn json(run: &Run) -> Value {
    serde_json::from_str(&run.stdout)
        .unwrap_or_else(|e| panic!("{e}: {} {}", run.stdout, run.stderr))
}

fn check(bench: &Bench, arguments: &[&str]) -> Vec<Value> {
    let run = bench.run(&[&["check", SESSION, "--format", "json"], arguments].concat());
    json(&run)["findings"]
        .as_array()
        .cloned()
        .unwrap_or_default()
}

fn with_code(found: &[Value], code: &str) -> Vec<Value> {
    found
        .iter()
        .filter(|one| one["code"] == code)
        .cloned()
        .collect()
}

/// Every file that must not be taken, the line and column at fault, and words of the message.
#[test]
fn what_cannot_be_meant_is_refused_with_file_and_line() {
    let mut faults = Vec::new();
    for (rules, place, words) in [
        // Loosening: EU IOELV for acetic acid 25 mg/m³ (Directive (EU) 2017/164), SO2 1.3 mg/m³ and 2.7 mg/m³.
        (
            "limits:\n  - {chemical: acetic acid, twa: 50 mg/m3}",
            "4:34",
            "loosen",
        ),
        (
            "limits:\n  - {chemical: sulfur dioxide, stel: 5 ppm}",
            "4:38",
            "loosen",
        ),
        // EU pack: 365 days.
        ("days:\n  - spent-fixer: 2 years", "4:18", "loosen"),
        (
            "days:\n  - {stream: spent-fixer, at_most: 400 days}",
            "4:5",
            "loosen",
        ),
        (
            "drain:\n  - {stream: spent-fixer, is: conditions, conditions: after the cartridge}",
            "4:5",
            "loosen",
        ),
        // Directive 94/33/EC: below 18.
        ("ages:\n  - {for: H350, at_least: 14}", "4:5", "loosen"),
        // The least published figure for darkrooms is 8 changes an hour.
        ("require:\n  - {ventilation: 2 changes/h}", "4:5", "loosen"),
        // EU pack: records for three years.
        (
            "retention:\n  - {records: waste, at_least: 1 year}",
            "4:5",
            "loosen",
        ),
        // Who issued the rules is no citation.
        (
            "authority: {issued_by: the board}\ndays:\n  - spent-fixer: 2 years",
            "5:18",
            "loosen",
        ),
        // Unknown keys and names, with the nearest known.
        (
            "forbit:\n  - chrome alum: no",
            "3:1",
            "did you mean `forbid`",
        ),
        (
            "limits:\n  - {chemical: acetic acid, tva: 1 ppm}",
            "4:29",
            "did you mean `twa`",
        ),
        ("forbid:\n  - chrom alum: no", "4:5", "did you mean `chrome"),
        (
            "forbid:\n  - {what: Carc. 9, why: no}",
            "4:12",
            "no chemical, family",
        ),
        (
            "days:\n  - spent-fixr: 3 days",
            "4:5",
            "did you mean `spent-fixer`",
        ),
        (
            "require:\n  - {wear: [splash gogles]}",
            "4:13",
            "did you mean",
        ),
        (
            "text:\n  - {on: [shet], text: x}",
            "4:11",
            "did you mean `sheet`",
        ),
        ("based_on: [eu, trust]", "3:16", "no rules `trust`"),
        // Wrong types and values.
        ("limits: {acetic acid: 5}", "3:9", "means nothing"),
        (
            "limits:\n  - {chemical: acetic acid, twa: 5}",
            "4:34",
            "unit",
        ),
        (
            "limits:\n  - {chemical: acetic acid, twa: 1 mg/L}",
            "4:34",
            "mg/L",
        ),
        ("limits:\n  - {chemical: acetic acid}", "4:5", "no value"),
        ("forbid:\n  - chrome alum", "4:5", "reason"),
        ("forbid:\n  - [chrome alum]", "4:5", "list"),
        ("ages:\n  - {for: H314, at_least: old}", "4:27", "age"),
        (
            "drain:\n  - spent-fixer: allowed",
            "4:18",
            "says nothing of a drain",
        ),
        (
            "require:\n  - {second_person: no}",
            "4:21",
            "asks for something",
        ),
        ("require:\n  - {ventilation: 10 L/h}", "4:19", "L/h"),
        ("review_by: 2025-01-01", "3:12", "before"),
        ("briefing_every: often", "3:17", "often"),
        ("labels:\n  - {on: door, text: x}", "4:10", "kind of label"),
        // Contradictions within a file.
        (
            "limits:\n  - {chemical: acetic acid, twa: 5 mg/m3}\n  - {chemical: ethanoic acid, twa: 4 mg/m3}",
            "5:36",
            "line 4",
        ),
        (
            "days:\n  - spent-fixer: 30 days\n  - spent-fixer: 60 days",
            "5:18",
            "line 4",
        ),
        (
            "drain:\n  - spent-fixer: none\n  - spent-fixer: ask",
            "5:5",
            "line 4",
        ),
        (
            "ages:\n  - {for: H314, at_least: 18}\n  - {for: H314, at_least: 21}",
            "5:5",
            "line 4",
        ),
        (
            "forbid:\n  - chrome alum: no\nrequire:\n  - {wear: [splash goggles], for: potassium chrome alum}",
            "6:5",
            "forbidden on line 4",
        ),
    ] {
        let run = with(rules).run(&["check", SESSION]);
        let place = format!("rules/house.yaml:{place}");
        let said = run.stderr.contains(&place) && run.stderr.contains(words);
        if run.status != Some(2) || !said || !run.stdout.is_empty() {
            faults.push(format!(
                "{rules}\n{place} {words}: {:?} {}",
                run.status, run.stderr
            ));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
}

#[test]
fn files_that_build_on_each_other_in_a_ring_are_refused() {
    let bench = Bench::demo()
        .file("rules/a.yaml", format!("{HEAD}based_on: [eu, b.yaml]\n"))
        .file("rules/b.yaml", format!("{HEAD}based_on: a\n"));
    let run = bench.run(&["check", SESSION]);
    assert_eq!(run.status, Some(2));
    assert!(run.stderr.contains("rules/b.yaml:3:11"), "{}", run.stderr);
    assert!(run.stderr.contains("a → b → a"), "{}", run.stderr);
    let own = with("based_on: [house]\n").run(&["rules", "show"]);
    assert_eq!(own.status, Some(2));
    assert!(
        own.stderr.contains("rules/house.yaml:3:12"),
        "{}",
        own.stderr
    );
}

/// Precedence for every kind of value: a stricter local rule acts, a looser one with its authority
/// stands beside the built-in one, which still acts.
#[test]
fn the_strictest_acts_and_a_cited_loosening_stands_beside_it() {
    let cite = "authority: county permit 12/2026";
    for (rules, subject, acts, whose, loosens) in [
        (
            "limits:\n  - {chemical: acetic acid, twa: 5 mg/m3}",
            "acetic acid TWA in air",
            "5 mg/m³",
            "House rules",
            false,
        ),
        (
            "limits:\n  - {chemical: acetic acid, twa: 50 mg/m3, CITE}",
            "acetic acid TWA in air",
            "25 mg/m³",
            "EU IOELV",
            true,
        ),
        (
            "days:\n  - {stream: spent-fixer, at_most: 30 days}",
            "spent-fixer may stay",
            "30 days",
            "House rules",
            false,
        ),
        (
            "days:\n  - {stream: spent-fixer, at_most: 400 days, CITE}",
            "spent-fixer may stay",
            "365 days",
            "European Union",
            true,
        ),
        (
            "drain:\n  - spent-fixer: none",
            "spent-fixer at a drain",
            "no drain",
            "House rules",
            false,
        ),
        (
            "drain:\n  - {stream: spent-fixer, is: conditions, conditions: below 1 mg/L silver, CITE}",
            "spent-fixer at a drain",
            "Silver makes it hazardous waste",
            "built in",
            true,
        ),
    ] {
        let bench = with(&rules.replace("CITE", cite));
        let shown = json(&bench.run(&["rules", "show", "--all", "--format", "json"]));
        let lines = shown["strictest"].as_array().expect("subjects");
        let line = lines.iter().find(|line| line["subject"] == subject);
        let line = line.unwrap_or_else(|| panic!("{subject}: {shown:#}"));
        let first = &line["values"][0];
        assert!(
            first["text"]
                .as_str()
                .is_some_and(|text| text.starts_with(acts)),
            "{rules}: {line:#}"
        );
        assert_eq!(first["whose"], whose, "{rules}: {line:#}");
        assert_eq!(first["acts"], true);
        assert!(
            line["values"]
                .as_array()
                .is_some_and(|values| values.len() > 1),
            "{rules}: both stand"
        );
        let found = with_code(&check(&bench, &[]), "rules/loosens");
        assert_eq!(found.len(), usize::from(loosens), "{rules}: {found:#?}");
        if loosens {
            let said = found[0]["message"].as_str().expect("a message");
            assert!(
                said.contains("county permit 12/2026") && said.contains(acts),
                "{said}"
            );
            assert_eq!(found[0]["severity"], "attention");
            assert_eq!(
                found[0]["sources"].as_array().map(Vec::len),
                Some(2),
                "both sources"
            );
        }
    }
}

/// Of two local files the stricter acts, in whatever order they are read.
#[test]
fn of_two_files_the_stricter_acts() {
    for (one, other) in [("10 mg/m3", "5 mg/m3"), ("5 mg/m3", "10 mg/m3")] {
        let limit =
            |value: &str| format!("{HEAD}limits:\n  - {{chemical: acetic acid, twa: {value}}}\n");
        let bench = Bench::demo()
            .file("rules/a.yaml", limit(one))
            .file("rules/b.yaml", limit(other));
        let shown = json(&bench.run(&["rules", "show", "--format", "json"]));
        assert_eq!(shown["strictest"][0]["values"][0]["text"], "5 mg/m³");
    }
}

/// local rule > data sheet > published: all three stand on the card, and the air goes by the lowest.
#[test]
fn a_local_limit_feeds_the_air_and_stands_on_card_and_briefing() {
    let bench = with("limits:\n  - {chemical: acetic acid, twa: 1 mg/m3}\n  - {chemical: sulfur dioxide, ceiling: 0.1 ppm}\n")
        .file("air.yaml", "room: 30 m3\nfresh_air: 50 m3/h\nreleases:\n  - {gas: SO2, rate: 2 mg/min, from: 0 min, for: 60 min}\nuntil: 2 h\n");
    let air = json(&bench.run(&["air", "air.yaml", "--format", "json"]));
    let limits = air["gases"][0]["limits"].as_array().expect("limits");
    let own = limits
        .iter()
        .find(|limit| limit["body"] == "House rules")
        .expect("the local limit");
    assert_eq!(own["kind"], "ceiling");
    // 0.1 ppm × 64.06 / 24.45, by the convention of the NIOSH Pocket Guide.
    let mg = own["mg_per_m3"].as_f64().expect("a figure");
    assert!((mg - 0.262).abs() < 0.001, "{mg}");
    let card = json(&bench.run(&["card", "acetic-acid", "--format", "json"]));
    let bodies: Vec<&str> = card["limits"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|l| l["body"].as_str())
        .collect();
    assert!(
        bodies.contains(&"House rules") && bodies.contains(&"EU IOELV"),
        "{bodies:?}"
    );
    let brief = bench.run(&["brief", SESSION, "--format", "md"]).stdout;
    assert!(brief.contains("House rules TWA 1 mg/m³"), "{brief}");
    let sheet = bench.run(&["sheet", SESSION, "--format", "md"]).stdout;
    assert!(sheet.contains("(House rules TWA)"), "{sheet}");
}

#[test]
fn what_is_forbidden_stops() {
    for (ban, names) in [
        ("metol: sensitises", Some("metol")),
        ("55-55-0: by its CAS number", Some("metol")),
        ("developing-agent: a family", Some("hydroquinone")),
        ("H351: a statement", Some("hydroquinone")),
        ("\"Carc. 2\": a class", Some("hydroquinone")),
        (
            "sodium carbonate: all forms",
            Some("sodium carbonate, decahydrate"),
        ),
        ("chrome alum: not in this school", None),
        ("H350: nothing of it here", None),
    ] {
        let bench = with(&format!("forbid:\n  - {ban}\n"));
        let found = with_code(&check(&bench, &[]), "rules/forbidden");
        assert_eq!(
            found.len(),
            usize::from(names.is_some()),
            "{ban}: {found:#?}"
        );
        let run = bench.run(&["check", SESSION]);
        assert_eq!(run.status, Some(i32::from(names.is_some())), "{ban}");
        if let Some(name) = names {
            assert_eq!(found[0]["severity"], "stop");
            assert!(
                found[0]["message"]
                    .as_str()
                    .is_some_and(|m| m.contains(name)),
                "{ban}: {found:#?}"
            );
            assert_eq!(found[0]["places"][0]["file"], "rules/house.yaml");
            assert_eq!(found[0]["places"][0]["line"], 4);
            assert_eq!(found[0]["sources"][0]["kind"], "local rule");
        }
    }
}

/// What is not stated is not met.
#[test]
fn what_is_required_and_not_there_stops() {
    for (need, met) in [
        ("wear: [splash goggles]", true),
        ("wear: [gas-tight goggles]", false),
        ("eyewash: yes", true),
        ("second_person: yes", true),
        ("supervision: yes", true),
        ("supervision: safety officer", false),
        // 150 m³/h of fan count by half: 75 m³/h, 2.5 changes of 30 m³.
        ("ventilation: 10 changes/h", false),
        ("ventilation: 70 m3/h", true),
        ("ventilation: 80 m3/h", false),
        ("wear: [gas-tight goggles], for: potassium cyanide", true),
    ] {
        let bench = with(&format!("require:\n  - {{{need}}}\n"));
        let found = with_code(&check(&bench, &[]), "rules/required");
        assert_eq!(found.is_empty(), met, "{need}: {found:#?}");
        assert!(found.iter().all(|one| one["severity"] == "stop"));
    }
    let alone = with("require:\n  - {second_person: yes, eyewash: yes}\n")
        .file("darkroom.yaml", "name: x\nrules: [eu]\n")
        .file(SESSION, "make: [{recipe: acetic-stop, volume: 1 L}]\n");
    assert_eq!(with_code(&check(&alone, &[]), "rules/required").len(), 2);
}

#[test]
fn ages_are_asked_for_and_the_young_are_stopped() {
    for (people, severity) in [
        (
            "[{name: Ilse, age: 40}, {name: class, count: 6, age: 17}]",
            Some("stop"),
        ),
        (
            "[{name: Ilse, age: 40}, {name: class, count: 6}]",
            Some("attention"),
        ),
        ("[{name: Ilse, age: 40}]", None),
    ] {
        let session = format!("make: [{{recipe: acetic-stop, volume: 1 L}}]\npeople: {people}\n");
        let bench = with("ages:\n  - {for: H314, at_least: 18}\n").file(SESSION, session);
        let found = with_code(&check(&bench, &[]), "rules/age");
        let weight = found.first().and_then(|one| one["severity"].as_str());
        assert_eq!(weight, severity, "{people}");
    }
}

/// Days, drains and retention reach codes, tally, report, sheet and labels.
#[test]
fn days_and_drains_reach_codes_tally_and_labels() {
    let bench = with("days:\n  - spent-fixer: 30 days\ndrain:\n  - spent-fixer: none\nretention:\n  - {records: waste, at_least: 5 years}\nlabels:\n  - {on: bottle, text: Print room only.}\n  - {on: waste, text: Lid on., for: sodium thiosulfate}\n")
        .file("w.yaml", "stream: spent-fixer\nsince: 2026-11-01\ndrain: sewer\n");
    let codes = json(&bench.run(&["codes", "w.yaml", "--format", "json", "--on", "2026-11-02"]));
    let until = |list: &Value| -> Vec<String> {
        let lines = list.as_array().into_iter().flatten();
        lines
            .filter_map(|l| l["until"].as_str().map(str::to_owned))
            .collect()
    };
    assert!(
        until(&codes["limits"]).contains(&"2026-12-01".to_owned()),
        "{codes:#}"
    );
    let said = serde_json::to_string(&codes).expect("JSON");
    assert!(
        said.contains("House rules: no drain") && said.contains("waste/drain-forbidden"),
        "{said}"
    );
    for arguments in [
        &[
            "log",
            "add-container",
            "drum",
            "--stream",
            "spent-fixer",
            "--capacity",
            "20 L",
            "--on",
            "2026-11-01",
        ][..],
        &[
            "log",
            "pour",
            "--into",
            "drum",
            "--amount",
            "2 L",
            "--on",
            "2026-11-01",
        ],
    ] {
        // The second only where the command takes it so; the first opens the book.
        let _ = bench.run(arguments);
    }
    let tally = bench.run(&["tally", "--on", "2026-11-20", "--format", "md"]);
    assert!(
        tally
            .stdout
            .replace('\u{a0}', " ")
            .contains("kept for 5 years at least"),
        "{}",
        tally.stdout
    );
    let labels = bench.run(&["label", SESSION, "--format", "md"]).stdout;
    assert!(labels.contains("Print room only."), "{labels}");
    let waste = bench
        .run(&["label", SESSION, "--waste", "--format", "md"])
        .stdout;
    assert!(
        waste.contains("Not longer than 30 days here.") && waste.contains("Lid on."),
        "{waste}"
    );
    let sheet = bench.run(&["sheet", SESSION, "--format", "md"]).stdout;
    assert!(
        sheet.contains("no drain") && sheet.contains("at most 30 days"),
        "{sheet}"
    );
}

/// Numbers of the place's rules stand before the place's own, and both are printed.
#[test]
fn numbers_and_texts_stand_on_the_pages() {
    let bench = with(
        "emergency: {emergency: \"5555\", others: [caretaker: ext. 3]}\nbriefing_every: 3 months\ntext:\n  - {on: [sheet, check], text: The key hangs in the office.}\n  - {on: sheet, text: Only for cyanide., for: potassium cyanide}\n",
    );
    let sheet = bench.run(&["sheet", SESSION, "--format", "md"]).stdout;
    assert!(
        sheet.contains("5555 / 112") && sheet.contains("caretaker ext. 3"),
        "{sheet}"
    );
    assert!(
        sheet.contains("The key hangs in the office.") && !sheet.contains("Only for cyanide"),
        "{sheet}"
    );
    let german = bench
        .run(&["sheet", SESSION, "--format", "md", "--language", "de"])
        .stdout;
    assert!(german.contains("Regeln dieses Ortes"), "{german}");
    let told = bench.run(&["check", SESSION]).stdout;
    assert!(
        told.contains("The key hangs in the office. (House rules)"),
        "{told}"
    );
    let json = json(&bench.run(&["sheet", SESSION, "--format", "json"]));
    assert_eq!(json["local_rules"][1]["file"], "rules/house.yaml");
}

/// 2027-11-25 is the review day of pack and catalogue; a local file carries its own.
#[test]
fn past_the_day_of_review_is_said() {
    for (date, expected) in [
        ("2026-12-03", 0),
        ("2027-01-02", 1),
        ("2027-11-25", 1),
        ("2027-11-26", 3),
    ] {
        let session = format!("make: [{{recipe: acetic-stop, volume: 1 L}}]\ndate: {date}\n");
        let bench = with("review_by: 2027-01-01\n").file(SESSION, session);
        let found = with_code(&check(&bench, &[]), "rules/past-review");
        assert_eq!(found.len(), expected, "{date}: {found:#?}");
        if expected > 0 {
            let sheet = bench.run(&["sheet", SESSION, "--format", "md"]).stdout;
            assert!(sheet.contains("had to be looked at again"), "{sheet}");
        }
    }
    let undated = with("review_by: 2026-10-01\n")
        .file(SESSION, "make: [{recipe: acetic-stop, volume: 1 L}]\n");
    assert!(with_code(&check(&undated, &[]), "rules/past-review").is_empty());
}

/// A rule file by path is in force without any workspace, and on every command.
#[test]
fn a_rule_file_is_taken_by_path() {
    let bench = Bench::new()
        .file(
            "school.yaml",
            format!("{HEAD}based_on: [uk]\nforbid:\n  - metol: no\n"),
        )
        .file("r.yaml", "makes: 1 L\nadd:\n  - metol: 2 g\n")
        .file("s.yaml", "make: [{recipe: r, volume: 1 L}]\n");
    for arguments in [
        &["check", "s.yaml"][..],
        &["check", "r.yaml"],
        &["sheet", "s.yaml"],
        &["solution", "r.yaml"],
    ] {
        let run = bench.run(&[arguments, &["--rules", "school.yaml"]].concat());
        if arguments[0] == "check" && arguments[1] == "r.yaml" {
            continue;
        }
        assert_eq!(run.status, Some(1), "{arguments:?}: {}", run.stderr);
    }
    let shown = json(&bench.run(&[
        "rules",
        "show",
        "--rules",
        "school.yaml",
        "--format",
        "json",
    ]));
    assert_eq!(shown["packs"][0]["place"], "uk");
    assert_eq!(shown["assumed"], false);
    let card = bench
        .run(&["card", "metol", "--rules", "school.yaml"])
        .stdout;
    assert!(card.contains("Forbidden here"), "{card}");
    assert_eq!(
        json(&bench.run(&["rules", "show", "--format", "json"]))["assumed"],
        true
    );
}

/// `rules show` prints what was refused and ends with 2; everything else of the file is in force.
#[test]
fn what_was_refused_is_shown() {
    let bench = with("days:\n  - spent-fixer: 2 years\nforbid:\n  - metol: no\n");
    let run = bench.run(&["rules", "show", "--format", "json"]);
    assert_eq!(run.status, Some(2));
    let shown = json(&run);
    assert_eq!(shown["refused"][0]["line"], 4);
    assert_eq!(shown["files"][0]["rules"][0]["part"], "forbid");
    assert!(
        run.stderr.contains("rules/house.yaml:4:18"),
        "{}",
        run.stderr
    );
}

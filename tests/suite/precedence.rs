//! Rule of the place > data sheet > published > practice > memory, on the printed card, for every
//! kind of datum that more than one of them may state. The order is the project's own.

use serde_json::Value;

use crate::harness::Bench;

/// What the catalogue says (FROM stands for its origin), what the sheet says, where the card has
/// the words and their origin, and what it prints on the word of each.
struct Row {
    datum: &'static str,
    catalogue: &'static str,
    sheet: &'static str,
    words: &'static str,
    origin: &'static str,
    printed: [&'static str; 2],
}

const fn row(
    datum: &'static str,
    [catalogue, sheet]: [&'static str; 2],
    [words, origin]: [&'static str; 2],
    printed: [&'static str; 2],
) -> Row {
    Row {
        datum,
        catalogue,
        sheet,
        words,
        origin,
        printed,
    }
}

const ROWS: &[Row] = &[
    row(
        "hazard classes",
        [
            "classification: {harmonised: {index: 604-005-00-4, classes: [Eye Dam. 1 H318], limits: [Eye Dam. 1 H318 >= 3], from: FROM}, supplemental: [EUH066], supplemental_from: FROM}",
            "classification: [Skin Sens. 1 H317]",
        ],
        ["/classification/0/written", "/classification/0/origin"],
        ["Eye Dam. 1 H318", "Skin Sens. 1 H317"],
    ),
    row(
        "specific limits",
        ["", "specific_limits: [Eye Dam. 1 H318 >= 1]"],
        ["/specific_limits/0/text", "/specific_limits/0/origin"],
        ["Eye Dam. 1 H318 ≥ 3 %", "Eye Dam. 1 H318 ≥ 1 %"],
    ),
    row(
        "supplemental statements",
        ["", "supplemental: [EUH071]"],
        ["/phrases/1/code", "/phrases/1/by/origin"],
        ["EUH066", "EUH071"],
    ),
    row(
        "gloves",
        [
            "gloves: {long: [neoprene], from: FROM}",
            "gloves: [butyl 0.7 mm]",
        ],
        ["/gloves/long/0", "/gloves/origin"],
        ["neoprene", "butyl 0.7 mm"],
    ),
    row(
        "first aid, eyes",
        [
            "first_aid: {eyes: {text: Rinse for 20 minutes., from: FROM}, skin: {text: Wash., from: FROM}, breathed: {text: Fresh air., from: FROM}, swallowed: {text: Call., from: FROM}}",
            "first_aid: {eyes: Rinse for 30 minutes., skin: Wash for 20 minutes., breathed: Call a doctor., swallowed: Rinse the mouth.}",
        ],
        [
            "/first_aid/eyes/lines/0/text",
            "/first_aid/eyes/lines/0/origin",
        ],
        ["Rinse for 20 minutes.", "Rinse for 30 minutes."],
    ),
    row(
        "first aid, skin",
        ["", ""],
        [
            "/first_aid/skin/lines/0/text",
            "/first_aid/skin/lines/0/origin",
        ],
        ["Wash.", "Wash for 20 minutes."],
    ),
    row(
        "first aid, breathed in",
        ["", ""],
        [
            "/first_aid/breathed/lines/0/text",
            "/first_aid/breathed/lines/0/origin",
        ],
        ["Fresh air.", "Call a doctor."],
    ),
    row(
        "first aid, swallowed",
        ["", ""],
        [
            "/first_aid/swallowed/lines/0/text",
            "/first_aid/swallowed/lines/0/origin",
        ],
        ["Call.", "Rinse the mouth."],
    ),
    row(
        "limit in the air",
        [
            "limits: [{body: OSHA PEL, region: us, kind: TWA, value: 2, unit: mg/m3, from: FROM}]",
            "limits: [OSHA PEL TWA 1 mg/m3]",
        ],
        ["/limits/0/shown", "/limits/0/origin"],
        ["2 mg/m³", "1 mg/m³"],
    ),
    row(
        "density",
        ["density: {kg_per_l: 1.3, from: FROM}", "density: 1.35 kg/L"],
        ["/density/text", "/density/origin"],
        ["1.3 kg/L", "1.35 kg/L"],
    ),
    row(
        "flash point",
        [
            "flash_point: {text: 165 °C, from: FROM}",
            "flash_point: 160 °C",
        ],
        ["/flash_point/text", "/flash_point/origin"],
        ["165 °C", "160 °C"],
    ),
    row(
        "pH",
        ["ph: {text: \"5\", from: FROM}", "ph: 4-7"],
        ["/ph/text", "/ph/origin"],
        ["5", "4–7"],
    ),
    row(
        "storage",
        [
            "storage: {text: Keep dry., away_from: [oxidiser], from: FROM}",
            "storage: Keep dark.",
        ],
        ["/storage/text", "/storage/origin"],
        ["Keep dry.", "Keep dark."],
    ),
    row(
        "transport",
        [
            "transport: {un: UN 2662, class: \"6.1\", from: FROM}",
            "transport: UN 3077, class 9, group III",
        ],
        ["/transport/text", "/transport/origin"],
        ["UN 2662, class 6.1", "UN 3077, class 9, packing group III"],
    ),
];

fn joined(of: fn(&Row) -> &'static str) -> String {
    ROWS.iter().map(|row| format!("{}\n", of(row))).collect()
}

/// The demo with one entry of the catalogue from a given origin, and perhaps a sheet.
fn bench(from: &str, with_sheet: bool) -> Bench {
    let own = joined(|row| row.catalogue).replace("FROM", from);
    let bench = Bench::demo().file("hazards/chemicals/hydroquinone.yaml", own);
    std::fs::remove_dir_all(bench.path("sds")).expect("the demo's own sheet");
    if !with_sheet {
        return bench;
    }
    let head = "chemical: hydroquinone\nsupplier: Hollow Lane Supply\nrevised: 2024-05-13\n";
    bench.file("sds/a.yaml", format!("{head}{}", joined(|row| row.sheet)))
}

fn object(bench: &Bench, arguments: &[&str]) -> Value {
    let run = bench.run(&[arguments, &["--format", "json"]].concat());
    serde_json::from_str(&run.stdout)
        .unwrap_or_else(|error| panic!("{error}: {}{}", run.stdout, run.stderr))
}

fn words(value: &Value, pointer: &str) -> String {
    let found = value.pointer(pointer).and_then(Value::as_str);
    found.unwrap_or("nothing").replace('\u{a0}', " ")
}

/// Every kind of datum at every level, without and with a sheet: what is printed, on whose word,
/// and that both stand on the card where the sheet took the place of something.
#[test]
fn the_card_prints_the_word_of_greatest_authority() {
    let mut faults = Vec::new();
    for (from, level) in [
        ("memory", "memory"),
        ("practice", "practice"),
        ("{ref: clp-annex-vi-atp21, at: here}", "published"),
        ("{rule: rules/house.yaml}", "local rule"),
    ] {
        for with_sheet in [false, true] {
            let card = object(&bench(from, with_sheet), &["card", "hydroquinone"]);
            let wins = with_sheet && level != "local rule";
            let origin = if wins { "data sheet" } else { level };
            for row in ROWS {
                let what = format!("{} from {level}, sheet: {with_sheet}", row.datum);
                let found = (words(&card, row.words), words(&card, row.origin));
                let expected = (row.printed[usize::from(wins)].to_owned(), origin.to_owned());
                if found != expected {
                    faults.push(format!("{what}: {found:?}, not {expected:?}"));
                }
                let replaced = card["replaced"].as_array().into_iter().flatten();
                let beside: Vec<String> = replaced
                    .filter(|one| one["datum"] == row.datum)
                    .map(|one| words(one, "/before_cite/origin"))
                    .collect();
                let both = if wins {
                    vec![level.to_owned()]
                } else {
                    Vec::new()
                };
                if beside != both {
                    faults.push(format!("{what}: beside it {beside:?}"));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// All five at once for one limit: local rule and sheet beside the published one; the lowest acts,
/// whoever set it, and a looser rule that cites its authority is printed with the stricter.
#[test]
fn limits_of_all_levels_stand_side_by_side_and_the_lowest_acts() {
    for (local, acts, whose) in [
        ("0.5 mg/m3", "0.5 mg/m³", "House rules"),
        (
            "3 mg/m3, authority: county permit 12",
            "1 mg/m3",
            "OSHA PEL",
        ),
    ] {
        let rules = format!(
            "title: House rules\ndate: 2026-09-01\nbased_on: [us]\nlimits:\n  - {{chemical: hydroquinone, twa: {local}}}\n"
        );
        let published = "{ref: clp-annex-vi-atp21, at: here}";
        let bench = bench(published, true).file("rules/house.yaml", rules);
        let place = "name: x\nrules: [us]\n";
        let bench = bench.file("darkroom.yaml", place);
        let shown = object(&bench, &["rules", "show", "--all"]);
        let first = &shown["strictest"][0]["values"][0];
        assert_eq!(words(first, "/text"), acts, "{local}: {shown:#}");
        assert_eq!(words(first, "/whose"), whose, "{local}");
        let card = object(&bench, &["card", "hydroquinone"]);
        let limits = card["limits"].as_array().into_iter().flatten();
        let origins: Vec<String> = limits.map(|limit| words(limit, "/origin")).collect();
        assert_eq!(origins, ["data sheet", "local rule"], "{local}");
        let replaced = card["replaced"].to_string();
        assert!(replaced.contains("OSHA PEL TWA 2"), "{local}: {replaced}");
    }
}

/// What only a rule of the place and what is built in may state: number, days, drain. The place's
/// rule is first; where the built-in is stricter, or nobody in need may choose, both stand.
#[test]
fn a_rule_of_the_place_stands_over_what_is_built_in() {
    let rules = "title: House rules\ndate: 2026-09-01\nemergency: {emergency: \"5555\"}\ndays:\n  - spent-fixer: 30 days\ndrain:\n  - spent-fixer: none\n";
    let bench = Bench::demo().file("rules/house.yaml", rules);
    let without = Bench::demo();
    let sheet = |bench: &Bench| {
        let run = bench.run(&["sheet", "sessions/thursday.yaml", "--format", "md"]);
        run.stdout.replace('\u{a0}', " ")
    };
    let (with, without) = (sheet(&bench), sheet(&without));
    for words in ["5555 / 112", "at most 30 days", "no drain"] {
        assert!(with.contains(words) && !without.contains(words), "{words}");
    }
    let shown = object(&bench, &["rules", "show", "--all"]);
    for (subject, acts) in [
        ("spent-fixer may stay", "30 days"),
        ("spent-fixer at a drain", "no drain"),
    ] {
        let lines = shown["strictest"].as_array().into_iter().flatten();
        let line = lines.into_iter().find(|line| line["subject"] == subject);
        let values = line.and_then(|line| line["values"].as_array());
        let values = values.unwrap_or_else(|| panic!("{subject}: {shown:#}"));
        assert!(words(&values[0], "/text").starts_with(acts), "{values:?}");
        assert!(
            values.len() > 1,
            "{subject}: what is built in stands beside it"
        );
    }
}

/// A sheet written under the US form leaves the environmental classes of the entry; its own classes
/// count in waste all the same. Regulation (EU) No 1357/2014, HP 6: 5 % of Acute Tox. 3 H301.
#[test]
fn what_a_sheet_says_reaches_codes_label_classify_and_compare() {
    let says = "chemical: hydroquinone\nsupplier: Hollow Lane Supply\nrevised: 2026-05-13\nclassification: [Acute Tox. 3 H301]\n";
    let waste = "stream: unknown\ncontains:\n  - {chemical: hydroquinone, percent: 10}\nsince: 2026-11-01\n";
    let mixture = "mixture: m\nform: liquid\ningredients:\n  - {chemical: hydroquinone, percent: 60}\n  - {chemical: water, percent: 40}\n";
    let recipe = "recipes/carbonate-paper-developer.yaml";
    let plain = Bench::demo();
    let sheet = Bench::demo().file("sds/z.yaml", says);
    for (arguments, file, told) in [
        (
            &["codes", "w.yaml", "--format", "json"][..],
            ("w.yaml", waste),
            "HP6",
        ),
        (
            &["classify", "m.yaml", "--format", "json"],
            ("m.yaml", mixture),
            "H301",
        ),
        (
            &[
                "compare",
                recipe,
                "recipes/acetic-stop.yaml",
                "--format",
                "json",
            ],
            ("n", ""),
            "H301",
        ),
        (
            &["card", "hydroquinone", "--format", "json"],
            ("n", ""),
            "Acute Tox. 3 H301",
        ),
    ] {
        let output = |bench: &Bench| {
            std::fs::write(bench.path(file.0), file.1).expect("a file");
            bench.run(arguments)
        };
        let (without, with) = (output(&plain), output(&sheet));
        let compact = |text: &str| text.replace("HP 6", "HP6");
        assert!(
            compact(&with.stdout).contains(told),
            "{arguments:?}: {}{}",
            with.stdout,
            with.stderr
        );
        assert!(with.stdout != without.stdout, "{arguments:?}");
    }
}

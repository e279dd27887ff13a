//! Suppliers' data sheets: what they say wins, both are printed, and what cannot be is refused.
//!
//! The order of authority (rule of the place, data sheet, published, practice, memory) is the
//! project's own; that a supplier's sheet must be followed for the goods it came with is common
//! practice, no source. Fingerprints are checked against the example of FIPS 180-4 (`abc`).

use std::fs;
use std::sync::Arc;

use chrono::NaiveDate;
use serde_json::Value;
use wetside::catalogue::{Catalogue, Change, Chemical, DataFiles, Datum};
use wetside::classify::Classes;
use wetside::data_sheet::{DataSheet, DataSheets, Reader};
use wetside::provenance::Origin;
use wetside::source::{Mistake, SourceFile};

use crate::harness::{Bench, Run};

const HEAD: &str = "chemical: hydroquinone\nsupplier: Hollow Lane Supply\nrevised: 2024-05-13\n";

fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 12, 3).expect("a day")
}

/// The catalogue, with one file of the workspace in the place of its own.
fn catalogue(own: Option<&str>) -> Catalogue {
    let mut files = DataFiles::embedded();
    if let Some(own) = own {
        let path = "hazards/chemicals/hydroquinone.yaml";
        let file = SourceFile::new(path, own.as_bytes().to_vec()).expect("text");
        files.overlay(path, &file).expect("an overlay");
    }
    Catalogue::load(files).expect("the catalogue")
}

fn read(catalogue: &Catalogue, name: &str, text: &str) -> Result<DataSheet, Vec<Mistake>> {
    let classes = Classes::read(catalogue.files()).expect("the classes");
    let reader = Reader {
        catalogue,
        classes: &classes,
        today: today(),
    };
    let file = SourceFile::new(name, text.as_bytes().to_vec()).expect("text");
    reader.read(&file, name)
}

fn over(catalogue: Catalogue, sheets: &[(&str, &str)]) -> Catalogue {
    let read = |(name, text): &(&str, &str)| {
        read(&catalogue, name, text).unwrap_or_else(|mistakes| panic!("{text}: {mistakes:?}"))
    };
    let sheets = DataSheets::new(sheets.iter().map(read).collect()).expect("data sheets");
    let classes = Classes::read(catalogue.files()).expect("the classes");
    sheets.over(catalogue, &classes)
}

fn hydroquinone(catalogue: &Catalogue) -> Arc<Chemical> {
    catalogue.chemical("hydroquinone").expect("hydroquinone")
}

fn limit(chemical: &Chemical) -> Option<&wetside::catalogue::ExposureLimit> {
    let mut limits = chemical.limits.iter();
    limits.find(|limit| limit.body == "OSHA PEL" && limit.kind == "TWA")
}

/// A kind of datum: what the catalogue says (FROM stands for the origin), what the sheet says, and
/// where what is in force is from. The three kinds of section 2 and 3 stand in one field.
struct Kind {
    datum: Datum,
    before: &'static str,
    says: &'static str,
    origin: fn(&Chemical) -> Option<Origin>,
}

const KINDS: &[Kind] = &[
    Kind {
        datum: Datum::Classification,
        before: "classification: {harmonised: {index: 604-005-00-4, classes: [Eye Dam. 1 H318], limits: [Eye Dam. 1 H318 >= 3], from: FROM}, supplemental: [EUH066], supplemental_from: FROM}",
        says: "classification: [Skin Sens. 1 H317]",
        origin: |c| c.classes().first().map(|(_, from)| (*from).clone()),
    },
    Kind {
        datum: Datum::SpecificLimits,
        before: "",
        says: "specific_limits: [Eye Dam. 1 H318 >= 1]",
        origin: |c| {
            let data = &c.classification;
            let own = data.harmonised.iter().filter(|h| !h.limits.is_empty());
            let added = data
                .added
                .iter()
                .filter(|a| a.adopted && !a.limits.is_empty());
            added
                .map(|a| a.from.clone())
                .chain(own.map(|h| h.from.clone()))
                .next()
        },
    },
    Kind {
        datum: Datum::Supplemental,
        before: "",
        says: "supplemental: [EUH071]",
        origin: |c| c.classification.supplemental_from.clone(),
    },
    Kind {
        datum: Datum::Gloves,
        before: "gloves: {long: [neoprene], from: FROM}",
        says: "gloves: [butyl 0.7 mm]",
        origin: |c| c.gloves.as_ref().map(|g| g.from.clone()),
    },
    Kind {
        datum: Datum::FirstAidEyes,
        before: "first_aid: {eyes: {text: Rinse for 20 minutes., from: FROM}, skin: {text: Wash., from: FROM}, breathed: {text: Fresh air., from: FROM}, swallowed: {text: Call., from: FROM}}",
        says: "first_aid: {eyes: Rinse for 30 minutes., skin: Wash for 15 minutes., breathed: Fresh air. Call a doctor., swallowed: Rinse the mouth. Call.}",
        origin: |c| c.first_aid.eyes.as_ref().map(|t| t.from.clone()),
    },
    Kind {
        datum: Datum::FirstAidSkin,
        before: "",
        says: "",
        origin: |c| c.first_aid.skin.as_ref().map(|t| t.from.clone()),
    },
    Kind {
        datum: Datum::FirstAidBreathed,
        before: "",
        says: "",
        origin: |c| c.first_aid.breathed.as_ref().map(|t| t.from.clone()),
    },
    Kind {
        datum: Datum::FirstAidSwallowed,
        before: "",
        says: "",
        origin: |c| c.first_aid.swallowed.as_ref().map(|t| t.from.clone()),
    },
    Kind {
        datum: Datum::Limit,
        before: "limits: [{body: OSHA PEL, region: us, kind: TWA, value: 2, unit: mg/m3, from: FROM}]",
        says: "limits: [osha pel TWA 1 mg/m3]",
        origin: |c| limit(c).map(|l| l.from.clone()),
    },
    Kind {
        datum: Datum::Density,
        before: "density: {kg_per_l: 1.3, from: FROM}",
        says: "density: 1.35 g/mL",
        origin: |c| c.density.as_ref().map(|d| d.from.clone()),
    },
    Kind {
        datum: Datum::FlashPoint,
        before: "flash_point: {text: 165 °C, from: FROM}",
        says: "flash_point: 160 °C",
        origin: |c| c.flash_point.as_ref().map(|t| t.from.clone()),
    },
    Kind {
        datum: Datum::Ph,
        before: "ph: {text: \"5\", from: FROM}",
        says: "ph: 4-7",
        origin: |c| c.ph.as_ref().map(|t| t.from.clone()),
    },
    Kind {
        datum: Datum::Storage,
        before: "storage: {text: Keep dry., away_from: [oxidiser], from: FROM}",
        says: "storage: Keep dark.",
        origin: |c| c.storage.as_ref().map(|s| s.from.clone()),
    },
    Kind {
        datum: Datum::Transport,
        before: "transport: {un: UN 2662, class: \"6.1\", from: FROM}",
        says: "transport: UN 3077, class 9, group III",
        origin: |c| c.transport.as_ref().map(|t| t.from.clone()),
    },
];

/// For every kind of datum: the data sheet wins over published, practice and memory, what gave way
/// is kept beside it with its source, and a rule of the place stands.
#[test]
fn the_sheet_wins_over_the_catalogue_and_yields_to_a_rule() {
    let published = "{ref: clp-annex-vi-atp21, at: here}";
    let sheet = Origin::DataSheet {
        file: "sds/a.yaml".into(),
        revised: "2024-05".into(),
    };
    let lines = |of: fn(&Kind) -> &'static str| KINDS.iter().map(of).collect::<Vec<_>>().join("\n");
    for from in [published, "practice", "memory", "{rule: rules/house.yaml}"] {
        let base = catalogue(Some(&lines(|kind| kind.before).replace("FROM", from)));
        let was = hydroquinone(&base);
        let text = format!("{HEAD}{}\n", lines(|kind| kind.says));
        let after = over(base, &[("sds/a.yaml", &text)]);
        let now = hydroquinone(&after);
        let superseded = after.superseded("hydroquinone");
        for kind in KINDS {
            let what = format!("{:?} over {from}", kind.datum);
            let (before, origin) = ((kind.origin)(&was), (kind.origin)(&now));
            let before = before.expect("an origin");
            let gave_way: Vec<_> = superseded
                .iter()
                .filter(|one| one.datum == kind.datum)
                .collect();
            if from.contains("rule") {
                assert_eq!(origin, Some(before), "{what}");
                assert!(gave_way.is_empty(), "{what}: {gave_way:?}");
                continue;
            }
            assert_eq!(origin.as_ref(), Some(&sheet), "{what}");
            let [one] = gave_way[..] else {
                panic!("{what}: one thing gave way, not {gave_way:?}");
            };
            assert_eq!((&one.before_from, &one.from), (&before, &sheet), "{what}");
            assert!(
                !one.before.is_empty() && one.before != one.after,
                "{what}: {one:?}"
            );
        }
    }
}

/// Less care than the catalogue asks for is told from more.
#[test]
fn less_care_is_told_from_more() {
    let cases = [
        ("limits: [OSHA PEL TWA 3 mg/m3]", Change::Milder),
        ("limits: [OSHA PEL TWA 0.5 mg/m3]", Change::Stricter),
        ("first_aid: {eyes: Rinse for 10 minutes.}", Change::Milder),
        ("first_aid: {eyes: Rinse for 60 minutes.}", Change::Other),
        ("gloves: [latex]", Change::Milder),
        ("classification: none", Change::Milder),
        ("transport: none", Change::Milder),
    ];
    for (says, change) in cases {
        let text = format!("{HEAD}{says}\n");
        let after = over(catalogue(None), &[("sds/a.yaml", &text)]);
        let found: Vec<Change> = after
            .superseded("hydroquinone")
            .iter()
            .map(|one| one.change)
            .collect();
        assert_eq!(found, [change], "{says}");
    }
}

/// What is the same is no difference, and what is said where nothing was known neither.
#[test]
fn agreement_is_no_finding() {
    let base = catalogue(None);
    let printed = hydroquinone(&base);
    let classes: Vec<&str> = printed
        .classes()
        .into_iter()
        .map(|(class, _)| class)
        .collect();
    let text = format!(
        "{HEAD}classification: {}\nlimits: [OSHA PEL TWA 2 mg/m3]\nflash_point: 165 °C\nph: 4\n",
        serde_json::to_string(&classes).expect("a list")
    );
    let after = over(base, &[("sds/a.yaml", &text)]);
    assert!(
        after.superseded("hydroquinone").is_empty(),
        "{:?}",
        after.superseded("hydroquinone")
    );
    let now = hydroquinone(&after);
    assert!(
        now.classes()
            .iter()
            .all(|(_, from)| matches!(from, Origin::DataSheet { .. }))
    );
    assert_eq!(
        now.flash_point.as_ref().map(|t| t.text.as_str()),
        Some("165\u{a0}°C")
    );
}

/// A sheet written under the US form names no classes for the environment (29 CFR 1910.1200,
/// Appendix A has none): they stay. Factors the sheet does not speak of stay too.
#[test]
fn what_a_sheet_does_not_speak_of_stays() {
    let text = format!("{HEAD}classification: [Eye Dam. 1 H318]\n");
    let after = over(catalogue(None), &[("sds/a.yaml", &text)]);
    let chemical = hydroquinone(&after);
    let classes: Vec<&str> = chemical
        .classes()
        .into_iter()
        .map(|(class, _)| class)
        .collect();
    assert!(
        classes
            .iter()
            .any(|class| class.starts_with("Aquatic Acute 1")),
        "{classes:?}"
    );
    assert!(
        !classes.iter().any(|class| class.starts_with("Skin Sens.")),
        "{classes:?}"
    );
    let m = chemical
        .classification
        .harmonised
        .as_ref()
        .and_then(|h| h.m.acute);
    assert_eq!(m, Some(10.0));
    let text = format!("{HEAD}classification: [Eye Dam. 1 H318, Aquatic Chronic 3 H412]\n");
    let after = over(catalogue(None), &[("sds/a.yaml", &text)]);
    let chemical = hydroquinone(&after);
    assert_eq!(chemical.classes().len(), 2, "{:?}", chemical.classes());
}

/// A newer revision takes an older one's place; of two suppliers' sheets the more severe class is
/// printed, and that they differ is told.
#[test]
fn revisions_follow_one_another_and_suppliers_stand_side_by_side() {
    let old = "chemical: hydroquinone\nsupplier: hollow lane SUPPLY\nrevised: 2019-01-02\nclassification: none\ndensity: 2 kg/L\n";
    let new = format!("{HEAD}classification: [Eye Dam. 1 H318]\n");
    let after = over(
        catalogue(None),
        &[("sds/new.yaml", &new), ("sds/old.yaml", old)],
    );
    let chemical = hydroquinone(&after);
    assert!(chemical.density.is_none() && chemical.classification.none.is_none());
    let other = "chemical: 123-31-9\nsupplier: Rill and Weir\nrevised: 2025-01-02\nclassification: [Eye Irrit. 2 H319]\n";
    let after = over(
        catalogue(None),
        &[("sds/a.yaml", &new), ("sds/b.yaml", other)],
    );
    let chemical = hydroquinone(&after);
    let said: Vec<&str> = chemical
        .classes()
        .into_iter()
        .map(|(class, _)| class)
        .collect();
    assert!(
        said.contains(&"Eye Dam. 1 H318") && said.contains(&"Eye Irrit. 2 H319"),
        "{said:?}"
    );
    let between = after.superseded("hydroquinone").iter().any(|one| {
        matches!(one.before_from, Origin::DataSheet { .. }) && one.before.contains("H318")
    });
    assert!(between, "{:?}", after.superseded("hydroquinone"));
}

/// A sheet for another strength or form says nothing of the jar.
#[test]
fn a_sheet_for_another_jar_changes_nothing() {
    for (text, applies) in [
        (
            "chemical: acetic-acid-80\nsupplier: a\nrevised: 2024-05-13\nstrength: 60 %\ndensity: 1.5 kg/L\n",
            false,
        ),
        (
            "chemical: acetic-acid-80\nsupplier: a\nrevised: 2024-05-13\nstrength: 79 %\ndensity: 1.5 kg/L\n",
            true,
        ),
        (
            "chemical: acetic-acid-80\nsupplier: a\nrevised: 2024-05-13\nform: powder\ndensity: 1.5 kg/L\n",
            false,
        ),
        (
            "chemical: acetic-acid-80\nsupplier: a\nrevised: 2024-05-13\ndensity: 1.5 kg/L\n",
            true,
        ),
    ] {
        let after = over(catalogue(None), &[("sds/a.yaml", text)]);
        let jar = after.chemical("acetic-acid-80").expect("a jar");
        let density = jar.density.as_ref().map(|d| d.kg_per_l);
        assert_eq!(density == Some(1.5), applies, "{text}: {density:?}");
    }
}

/// Each is refused at its line, and the message says what is wrong.
#[test]
fn what_cannot_be_is_refused_at_its_line() {
    let long = "x".repeat(700);
    let cases: Vec<(String, usize, &str)> = vec![
        (
            format!("{HEAD}clasification: none\n"),
            4,
            "`clasification` means nothing",
        ),
        (format!("{HEAD}revised: 2024-05-14\n"), 4, "twice"),
        (
            "chemical: hydrokinone\nsupplier: a\nrevised: 2024-05-13\n".into(),
            1,
            "not in the catalogue",
        ),
        (
            "chemical: sodium carbonate\nsupplier: a\nrevised: 2024-05-13\n".into(),
            1,
            "leaves open",
        ),
        (
            "chemical: metol\nsupplier: a\nrevised: 2031-05-13\n".into(),
            3,
            "has not come yet",
        ),
        (
            "chemical: metol\nsupplier: a\nrevised: 0024-05-13\n".into(),
            3,
            "before there were",
        ),
        (
            "chemical: metol\nsupplier: a\nrevised: 2023-02-30\n".into(),
            3,
            "not a date",
        ),
        (
            "chemical: metol\nsupplier: a\nrevised: 2024-05-13\nadded: 2023-01-01\n".into(),
            3,
            "after it was put on file",
        ),
        (
            "chemical: [metol]\nsupplier: a\nrevised: 2024-05-13\n".into(),
            1,
            "a plain value is expected",
        ),
        (
            "chemical: metol\nrevised: 2024-05-13\n".into(),
            1,
            "needs `supplier`",
        ),
        (
            format!("{HEAD}classification: [Eye Dam. 7 H318]\n"),
            4,
            "not a hazard class",
        ),
        (format!("{HEAD}classification: []\n"), 4, "empty list"),
        (
            format!("{HEAD}classification: [[Eye Dam. 1 H318]]\n"),
            4,
            "a plain value is expected",
        ),
        (
            format!("{HEAD}specific_limits: [Eye Dam. 1 H318]\n"),
            4,
            "Eye Dam. 1 H318",
        ),
        (
            format!("{HEAD}supplemental: [H302]\n"),
            4,
            "no supplemental",
        ),
        (
            format!("{HEAD}limits: [OSHA PEL 2 mg/m3]\n"),
            4,
            "not a limit",
        ),
        (
            format!("{HEAD}limits: [Moon TWA 2 mg/m3]\n"),
            4,
            "sets no limits",
        ),
        (format!("{HEAD}density: 12 kg/L\n"), 4, "not a density"),
        (format!("{HEAD}density: NaN kg/L\n"), 4, "not a density"),
        (format!("{HEAD}ph: 9-4\n"), 4, "not a pH"),
        (format!("{HEAD}flash_point: warm\n"), 4, "warm"),
        (format!("{HEAD}transport: UN 30\n"), 4, "no transport entry"),
        (format!("{HEAD}form: cubes\n"), 4, "no form"),
        (format!("{HEAD}strength: 130 %\n"), 4, ""),
        (
            format!("{HEAD}first_aid: {{nose: x}}\n"),
            4,
            "`nose` means nothing",
        ),
        (
            format!("{HEAD}first_aid: {{eyes: {long}}}\n"),
            4,
            "characters",
        ),
        (format!("{HEAD}sha256: abc\n"), 4, "fingerprint"),
        (format!("{HEAD}gloves: &a [x]\n"), 4, "anchors"),
        (format!("{HEAD}---\n{HEAD}"), 4, "second document"),
        ("".into(), 1, "a data sheet is a group"),
        ("- a\n".into(), 1, "a data sheet is a group"),
    ];
    let catalogue = catalogue(None);
    for (text, line, message) in cases {
        let mistakes = read(&catalogue, "sds/a.yaml", &text).expect_err(&text);
        let first = mistakes
            .iter()
            .find(|m| m.message.contains(message))
            .unwrap_or_else(|| panic!("{text}: {mistakes:?}"));
        let place = first.place.as_ref().expect("a place");
        assert_eq!(
            (place.file.name.as_str(), place.line),
            ("sds/a.yaml", line),
            "{text}"
        );
        assert!(!first.help.is_empty(), "{text}");
    }
    let near = read(
        &catalogue,
        "sds/a.yaml",
        "chemical: hydroquinonne\nsupplier: a\nrevised: 2024-05-13\n",
    );
    let help = near
        .expect_err("unknown")
        .first()
        .map(|m| m.help.join(" "))
        .unwrap_or_default();
    assert!(help.contains("`hydroquinone`"), "{help}");
}

#[test]
fn two_sheets_of_one_day_contradict_one_another() {
    let catalogue = catalogue(None);
    let other = HEAD.replace("Hollow Lane Supply", "HOLLOW-LANE supply");
    let sheets = vec![
        read(&catalogue, "sds/a.yaml", HEAD).expect("a sheet"),
        read(&catalogue, "sds/b.yaml", &other).expect("a sheet"),
    ];
    let mistakes = DataSheets::new(sheets).expect_err("a contradiction");
    let place = mistakes[0].place.as_ref().expect("a place");
    assert_eq!((place.file.name.as_str(), place.line), ("sds/b.yaml", 1));
    assert!(mistakes[0].message.contains("sds/a.yaml"), "{mistakes:?}");
}

fn json(run: &Run) -> Value {
    serde_json::from_str(&run.stdout)
        .unwrap_or_else(|e| panic!("{e}: {}{}", run.stdout, run.stderr))
}

/// The findings of the demo's session on data sheets: code, severity and message.
fn findings(bench: &Bench) -> Vec<(String, String, String)> {
    let run = bench.run(&["check", "sessions/thursday.yaml", "--format", "json"]);
    let found = json(&run)["findings"].clone();
    let word = |finding: &Value, field: &str| finding[field].as_str().unwrap_or("").to_owned();
    let all = found.as_array().cloned().unwrap_or_default();
    all.iter()
        .filter(|finding| word(finding, "code").starts_with("sds/"))
        .map(|f| (word(f, "code"), word(f, "severity"), word(f, "message")))
        .collect()
}

fn add(bench: &Bench, arguments: &[&str]) -> Run {
    bench.run(&[&["sds", "add"], arguments].concat())
}

/// Put on file, listed, found changed, found missing; nothing half-written on the way.
#[test]
fn a_document_is_kept_and_watched() {
    let bench = Bench::demo().file("in/sheet.pdf", "abc");
    fs::remove_dir_all(bench.path("sds")).expect("the demo's own sheet");
    let before = bench.listing();
    let name = "potassium bromide";
    for wrong in [
        &["--revised", "2099-01-01"][..],
        &["--revised", "2025-01-01", "--classification", "Eye Dmg. 1"],
        &["--revised", "2025-01-01", "--file", "in/none.pdf"],
        &["--revised", "2025-01-01", "--limit", "TWA"],
    ] {
        let arguments = [
            &[name, "--supplier", "Rill & Weir", "--file", "in/sheet.pdf"][..],
            wrong,
        ]
        .concat();
        let arguments: Vec<&str> = if wrong.contains(&"--file") {
            [&[name, "--supplier", "Rill & Weir"][..], wrong].concat()
        } else {
            arguments
        };
        let run = add(&bench, &arguments);
        assert_eq!(run.status, Some(2), "{wrong:?}: {}", run.stdout);
        assert_eq!(bench.listing(), before, "{wrong:?}");
    }
    let good = [
        name,
        "--supplier",
        "Rill & Weir",
        "--revised",
        "2025-01-01",
        "--file",
        "in/sheet.pdf",
    ];
    let run = add(&bench, &good);
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    let text =
        fs::read_to_string(bench.path("sds/potassium-bromide-rill-weir.yaml")).expect("the file");
    // FIPS 180-4, example of one block.
    assert!(
        text.contains("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
        "{text}"
    );
    assert_eq!(
        fs::read(bench.path("sds/potassium-bromide-rill-weir.pdf")).expect("the copy"),
        b"abc"
    );
    let again = add(&bench, &good);
    assert_eq!(again.status, Some(2));
    assert!(
        again
            .stderr
            .contains("is on file in sds/potassium-bromide-rill-weir.yaml"),
        "{}",
        again.stderr
    );

    let state = |expected: &str| {
        let list = json(&bench.run(&["sds", "list", "--format", "json"]));
        assert_eq!(list["data_sheets"][0]["document"], expected, "{list}");
    };
    state("there");
    fs::write(bench.path("sds/potassium-bromide-rill-weir.pdf"), "abd").expect("a change");
    state("changed");
    assert!(
        findings(&bench)
            .iter()
            .any(|(code, ..)| code == "sds/file-changed")
    );
    fs::remove_file(bench.path("sds/potassium-bromide-rill-weir.pdf")).expect("a loss");
    state("missing");
    assert!(
        findings(&bench)
            .iter()
            .any(|(code, ..)| code == "sds/file-missing")
    );
    let due = bench.run(&["sds", "due"]);
    assert!(
        due.stdout.contains("is missing (Rill & Weir)"),
        "{}",
        due.stdout
    );
    let text = bench.run(&["sds", "list"]).stdout;
    assert!(
        text.contains("Rill & Weir") && text.contains("missing"),
        "{text}"
    );
}

/// A newer revision is put beside the older one; `--replace` says that it writes over.
#[test]
fn revisions_are_kept() {
    let bench = Bench::demo();
    let of = |day: &'static str| {
        [
            "hydroquinone",
            "--supplier",
            "Hollow Lane Supply",
            "--revised",
            day,
        ]
    };
    let newer = add(&bench, &of("2026-03-01"));
    assert!(
        newer.stdout.contains("which is kept"),
        "{}{}",
        newer.stdout,
        newer.stderr
    );
    let older = add(&bench, &of("2020-03-01"));
    assert!(older.stdout.contains("not in force"), "{}", older.stdout);
    let list = json(&bench.run(&["sds", "list", "--all", "--format", "json"]));
    let days: Vec<&str> = list["data_sheets"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|row| row["revised"].as_str())
        .collect();
    assert_eq!(days, ["2020-03-01", "2025-02-11", "2026-03-01"]);
    assert_eq!(
        json(&bench.run(&["sds", "list", "--format", "json"]))["data_sheets"]
            .as_array()
            .map(Vec::len),
        Some(1)
    );
    let replaced = add(
        &bench,
        &[
            &of("2026-03-01")[..],
            &["--replace", "--note", "read again"],
        ]
        .concat(),
    );
    assert!(
        replaced.stdout.contains("written over"),
        "{}{}",
        replaced.stdout,
        replaced.stderr
    );
    assert_eq!(
        bench
            .run(&[
                "sds",
                "add",
                "sodium carbonate",
                "--supplier",
                "a",
                "--revised",
                "2024-01-01"
            ])
            .status,
        Some(2)
    );
}

/// One finding for all that are not on file; a note where none are kept. An old one by practice is
/// a note, by the place's own rule it is more.
#[test]
fn what_is_wanting_is_found() {
    let bench = Bench::demo();
    let of = |code: &str| -> Vec<(String, String)> {
        let found = findings(&bench)
            .into_iter()
            .filter(|(other, ..)| other == code);
        found
            .map(|(_, severity, message)| (severity, message))
            .collect()
    };
    let none = of("sds/none-on-file");
    assert_eq!(none.len(), 1);
    assert!(
        none[0].0 == "attention"
            && none[0].1.contains("acetic acid 80")
            && !none[0].1.contains("hydroquinone"),
        "{none:?}"
    );
    fs::write(
        bench.path("sds/metol.yaml"),
        "chemical: metol\nsupplier: a\nrevised: 2019-03-01\n",
    )
    .expect("a sheet");
    assert_eq!(
        of("sds/old").first().map(|(severity, _)| severity.as_str()),
        Some("note")
    );
    let place = fs::read_to_string(bench.path("darkroom.yaml")).expect("a place");
    fs::write(
        bench.path("darkroom.yaml"),
        format!("{place}\ndata_sheets_every: 5 years\n"),
    )
    .expect("a place");
    assert_eq!(
        of("sds/old").first().map(|(severity, _)| severity.as_str()),
        Some("attention")
    );
    fs::write(
        bench.path("darkroom.yaml"),
        format!("{place}\ndata_sheets_every: 10 years\n"),
    )
    .expect("a place");
    assert!(of("sds/old").is_empty());
    // A sheet of another hydrate is none of this jar.
    fs::write(
        bench.path("sds/carbonate.yaml"),
        "chemical: sodium-carbonate-anhydrous\nsupplier: a\nrevised: 2025-03-01\n",
    )
    .expect("a sheet");
    assert_eq!(of("sds/other-form").len(), 1);
    fs::remove_dir_all(bench.path("sds")).expect("no sheets");
    let none = of("sds/none-on-file");
    assert_eq!(
        none.iter()
            .map(|(severity, _)| severity.as_str())
            .collect::<Vec<_>>(),
        ["note"]
    );
}

/// A milder sheet wins on every page, and an attention shows both; the pages mark what is its word.
#[test]
fn a_milder_sheet_wins_in_sight() {
    let bench = Bench::demo();
    let says = "chemical: hydroquinone\nsupplier: Hollow Lane Supply\nrevised: 2026-05-13\nclassification: [Eye Irrit. 2 H319]\nfirst_aid: {eyes: Rinse for 10 minutes.}\n";
    fs::write(bench.path("sds/milder.yaml"), says).expect("a sheet");
    let found = findings(&bench);
    let differs: Vec<_> = found
        .iter()
        .filter(|(code, ..)| code == "sds/differs")
        .collect();
    let classes = differs
        .iter()
        .find(|(.., message)| message.contains("Eye Irrit. 2 H319"));
    let (_, severity, message) = classes.expect("the classes differ");
    assert!(
        severity == "attention" && message.contains("Eye Dam. 1 H318"),
        "{message}"
    );
    assert!(differs.iter().any(
        |(.., message)| message.contains("Rinse for 10 minutes.") && message.contains("20 min")
    ));
    let card = ["card", "hydroquinone", "--all", "--format", "md"];
    let card = bench.run(&card).stdout;
    assert!(
        card.contains("data sheet, 2026-05") && card.contains("less care"),
        "{card}"
    );
    let card = json(&bench.run(&["card", "hydroquinone", "--format", "json"]));
    assert_eq!(card["signal"], "Warning");
    let sheet = bench
        .run(&["sheet", "sessions/thursday.yaml", "--format", "md"])
        .stdout;
    assert!(sheet.contains("§"), "{sheet}");
}

/// A sheet that says more of a solution than follows from what is dissolved in it is heard in what
/// is mixed from it: 2 % of a skin sensitiser of category 1 makes a mixture one (CLP Annex I, Table
/// 3.4.5: 1 %).
#[test]
fn what_a_sheet_says_of_a_solution_is_heard_in_the_mixture() {
    let codes = |says: &str| -> String {
        let bench = Bench::demo();
        let sheet = format!("chemical: acetic-acid-80\nsupplier: a\nrevised: 2026-05-13\n{says}");
        fs::write(bench.path("sds/acid.yaml"), sheet).expect("a sheet");
        let run = bench.run(&["solution", "recipes/acetic-stop.yaml", "--format", "json"]);
        assert_eq!(run.status, Some(0), "{}", run.stderr);
        run.stdout
    };
    assert!(!codes("").contains("H317"));
    let more =
        codes("classification: [Flam. Liq. 3 H226, Skin Corr. 1A H314, Skin Sens. 1 H317]\n");
    assert!(more.contains("H317"), "{more}");
}

/// A file with a mistake stops every command that would print what it says, at its place.
#[test]
fn a_bad_sheet_stops_the_pages() {
    let bench = Bench::demo().file(
        "sds/bad.yaml",
        "chemical: metol\nsupplier: a\nrevised: soon\n",
    );
    for arguments in [
        &["sds", "list"][..],
        &["card", "metol"],
        &["sheet", "sessions/thursday.yaml"],
    ] {
        let run = bench.run(arguments);
        assert_eq!(run.status, Some(2), "{arguments:?}");
        assert!(run.stderr.contains("sds/bad.yaml:3:10"), "{}", run.stderr);
        assert!(run.stdout.is_empty(), "{arguments:?}");
    }
    let bench = Bench::demo().file("sds/huge.yaml", "#".repeat(1_100_000));
    let run = bench.run(&["sds", "list"]);
    assert!(
        run.status == Some(2) && run.stderr.contains("1 MB"),
        "{}",
        run.stderr
    );
    let bench = Bench::demo().file("sds/other.yml", "");
    let run = bench.run(&["sds", "list"]);
    assert!(
        run.status == Some(2) && run.stderr.contains(".yaml"),
        "{}",
        run.stderr
    );
}

/// The lists are in the language of the place, and fit the screen whatever stands in them.
#[test]
fn the_lists_speak_german_and_stay_within_eighty_columns() {
    let bench = Bench::demo();
    let list = bench.run(&["sds", "list", "--language", "de"]).stdout;
    assert!(
        list.contains("Chemikalie") && list.contains("nicht abgelegt"),
        "{list}"
    );
    let due = bench
        .run(&["sds", "due", "--on", "2029-01-01", "--language", "de"])
        .stdout;
    assert!(
        due.contains("keins abgelegt") && due.contains("mehr als"),
        "{due}"
    );
    for text in [list, due] {
        let wide = text.lines().find(|line| line.chars().count() > 80);
        assert_eq!(wide, None, "{text}");
        assert!(text.contains("örtliche Regeln"), "{text}");
    }
}

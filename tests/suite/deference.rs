//! Every page defers: to the supplier's data sheet, the local rules and licensed practice.

use std::fs;

use lopdf::Document;
use serde_json::Value;

use crate::harness::Bench;

/// Words of the deference that no other sentence of a page holds, by language.
const SHEETS: &[(&str, &str)] = &[
    ("en", "local rules and licensed practice come first"),
    ("de", "örtliche Regeln und Fachleute gehen vor"),
];

/// What stands on a label, which has no room for more.
const LABELS: &[(&str, &str)] = &[
    ("en", "Data sheets and local rules come first"),
    ("de", "Datenblätter und örtliche Regeln gehen vor"),
    ("fr", "Fiches de données de sécurité et règles locales"),
    ("it", "le schede di sicurezza e le regole locali"),
    ("es", "Las fichas de seguridad y las reglas locales"),
];

fn words_of(list: &[(&str, &str)], language: &str) -> String {
    let found = list.iter().find(|(other, _)| *other == language);
    found.expect("a language").1.to_owned()
}

/// A bench with a session, a book, and a file for each command.
fn bench() -> Bench {
    let bench = Bench::demo()
        .file("air.yaml", "room: 30 m3\nfresh_air: 50 m3/h\nreleases:\n  - {gas: sulfur dioxide, rate: 2 mg/min, from: 0 min, for: 60 min}\nuntil: 2 h\n")
        .file("mixture.yaml", "mixture: m\nform: liquid\ningredients:\n  - {chemical: hydroquinone, percent: 5}\n")
        .file("w.yaml", "stream: spent-fixer\n")
        .file("rules/house.yaml", "title: House rules\ndate: 2026-09-01\ntext:\n  - {on: all, text: The key hangs in the office.}\n");
    let run = bench.run(&[
        "log",
        "add-container",
        "drum",
        "--stream",
        "spent-fixer",
        "--capacity",
        "20 L",
        "--on",
        "2026-11-01",
    ]);
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    bench
}

const SESSION: &str = "sessions/thursday.yaml";
const RECIPE: &str = "carbonate-paper-developer";

/// Every document that goes out in all formats, with its arguments.
const DOCUMENTS: &[&[&str]] = &[
    &["sheet", SESSION],
    &["brief", SESSION],
    &["brief", SESSION, "--large"],
    &["card", "metol"],
    &["card", "metol", "--all"],
    &["solution", RECIPE, "--explain"],
    &["meet", "acetic acid", "sodium sulfite, anhydrous"],
    &["air", "air.yaml", "--explain"],
    &["classify", "mixture.yaml"],
    &["compare", RECIPE, "acetic-stop"],
    &["rules", "show"],
    &["rules", "show", "--all"],
];

/// Documents in English only.
const WASTE: &[&[&str]] = &[&["tally", "--on", "2026-12-01"], &["report", "2026"]];

/// What has no page of its own.
const PLAIN: &[(&[&str], &[&str])] = &[
    (&["check", SESSION], &["text", "json"]),
    (&["codes", "w.yaml"], &["text", "json"]),
    (&["sds", "list"], &["text", "json"]),
    (&["sds", "due"], &["text", "json"]),
];

#[test]
fn every_document_defers_on_every_page_in_every_format_and_language() {
    let bench = bench();
    let mut faults = Vec::new();
    let mut pages = 0;
    for document in DOCUMENTS {
        for (language, words) in SHEETS {
            for format in ["text", "md", "html", "json", "pdf"] {
                let more = ["--language", language];
                pages += look(&bench, document, &more, format, words, &mut faults);
            }
        }
    }
    for document in WASTE {
        for format in ["text", "md", "html", "json", "pdf"] {
            pages += look(&bench, document, &[], format, SHEETS[0].1, &mut faults);
        }
    }
    for (document, formats) in PLAIN {
        for format in *formats {
            pages += look(&bench, document, &[], format, SHEETS[0].1, &mut faults);
        }
    }
    for document in [
        &["label", SESSION, "--label", "fit"][..],
        &["label", SESSION, "--waste", "--label", "fit"],
        &["label", "--waste", "spent-fixer", "--label", "fit"],
        &[
            "label",
            "--waste",
            "spent-fixer",
            "--paper",
            "single",
            "--label",
            "fit",
        ],
    ] {
        for (language, words) in LABELS {
            for format in ["text", "md", "html", "pdf"] {
                let more = ["--language", language];
                pages += look(&bench, document, &more, format, words, &mut faults);
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    // Enough pages to mean something: a walk that finds nothing to look at proves nothing.
    assert!(pages > 200, "{pages} pages");
}

/// How many pages were looked at; those that do not defer are noted.
fn look(
    bench: &Bench,
    document: &[&str],
    more: &[&str],
    format: &str,
    words: &str,
    faults: &mut Vec<String>,
) -> usize {
    let out = format!("out.{format}");
    let mut arguments = [document, more, &["--format", format]].concat();
    let prints = matches!(document[0], "check" | "codes" | "sds");
    if !prints {
        arguments.extend(["-o", &out]);
    }
    let run = bench.run(&arguments);
    let what = arguments.join(" ");
    assert!(matches!(run.status, Some(0 | 1)), "{what}: {}", run.stderr);
    let bytes = if prints {
        run.stdout.into_bytes()
    } else {
        fs::read(bench.path(&out)).unwrap_or_else(|e| panic!("{what}: {e}"))
    };
    let without = undeferring(&bytes, format, words);
    faults.extend(without.iter().map(|page| format!("{what}: {page}")));
    if !prints {
        fs::remove_file(bench.path(&out)).expect("gone");
    }
    if format == "pdf" {
        Document::load_mem(&bytes).expect("a PDF").get_pages().len()
    } else {
        1
    }
}

/// Pages without the deference.
fn undeferring(bytes: &[u8], format: &str, words: &str) -> Vec<String> {
    let has = |text: &str| flat(text).contains(&flat(words));
    match format {
        "pdf" => {
            let file = Document::load_mem(bytes).expect("a PDF");
            let pages = file.get_pages();
            let text = |number: &u32| file.extract_text(&[*number]).unwrap_or_default();
            let without = pages.keys().filter(|number| !has(&text(number)));
            without.map(|number| format!("page {number}")).collect()
        }
        "json" => {
            let json: Value = serde_json::from_slice(bytes).expect("JSON");
            let said = json["deference"].as_str().is_some_and(has);
            if said {
                Vec::new()
            } else {
                vec!["no deference".into()]
            }
        }
        _ => {
            let text = String::from_utf8_lossy(bytes);
            if has(&text) {
                Vec::new()
            } else {
                vec!["no deference".into()]
            }
        }
    }
}

/// Line breaks, hyphens at their end and frames do not tell texts apart.
fn flat(text: &str) -> String {
    let plain = text.replace("&#x27;", "'").replace("&#39;", "'");
    plain.chars().filter(|c| c.is_alphanumeric()).collect()
}

/// The walk can fail: a page whose foot is gone is seen.
#[test]
fn a_page_that_does_not_defer_is_seen() {
    for (format, text) in [
        ("text", "Bench sheet\nWear goggles. Local rules apply.\n"),
        ("json", r#"{"findings": [], "deference": "ask someone"}"#),
    ] {
        let words = words_of(SHEETS, "en");
        assert_eq!(
            undeferring(text.as_bytes(), format, &words).len(),
            1,
            "{format}"
        );
    }
    let bench = Bench::demo().file(
        "templates/card.md",
        "---\ntitle: x\nlanguage: en\ndeference: none\npage: \"{page} of {pages}\"\n---\n\n# {{ title }}\n",
    );
    let run = bench.run(&["card", "metol", "--format", "pdf", "-o", "card.pdf"]);
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    let bytes = fs::read(bench.path("card.pdf")).expect("a card");
    assert_eq!(
        undeferring(&bytes, "pdf", &words_of(SHEETS, "en")),
        ["page 1"]
    );
}

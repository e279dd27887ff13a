//! Mutated input for every parser: whatever a person, a disk or a bad sector makes of a file, it is
//! read or refused, in bounded time, and never a panic.
//!
//! Seeds are the repository's own files. Each target runs for `WETSIDE_FUZZ_SECONDS` (2 where not
//! set). What is being tried lies in the temporary folder while it runs, so that even a crash of
//! the whole process leaves its input behind; inputs that were faults once are kept in
//! `tests/fuzz/` and tried first.

use std::collections::BTreeMap;
use std::fs;
use std::io::BufReader;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, OnceLock};
use std::time::{Duration as Time, Instant};

use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};
use wetside::assessment::{Assessment, Rules, Tools};
use wetside::catalogue::{Catalogue, DataFiles};
use wetside::chemistry::Chemistry;
use wetside::classify::{Profile, classify, read_mixture};
use wetside::ledger::Ledger;
use wetside::plan::resolve;
use wetside::session::{Darkroom, Recipe, Session};
use wetside::source::SourceFile;
use wetside::units::{Dilution, Mass, Temperature, Volume};

use crate::harness::{files_below, repository};

/// An input of a few kilobytes takes no longer than this, in a debug build on a busy machine.
const LONGEST: Time = Time::from_secs(20);

/// Largest input tried: most faults need little, and little is soon tried.
const LARGEST: usize = 20_000;

struct Bench {
    catalogue: Catalogue,
    rules: Rules,
    chemistry: Chemistry,
}

fn bench() -> &'static Bench {
    static ONCE: OnceLock<Bench> = OnceLock::new();
    ONCE.get_or_init(|| {
        let catalogue = Catalogue::load(DataFiles::embedded()).expect("the catalogue");
        let rules = Rules::load(catalogue.files(), Profile::Eu).expect("the rules");
        let chemistry = Chemistry::load(catalogue.files()).expect("the chemistry");
        Bench {
            catalogue,
            rules,
            chemistry,
        }
    })
}

fn tools() -> Tools<'static> {
    let Bench {
        catalogue,
        rules,
        chemistry,
    } = bench();
    Tools {
        catalogue,
        rules,
        chemistry,
    }
}

fn file(name: &str, input: &[u8]) -> Option<Arc<SourceFile>> {
    SourceFile::new(name, input.to_vec()).ok()
}

const SESSION: &[u8] =
    b"make: [{recipe: r, volume: 1 L}]\nwear: [nitrile gloves, splash goggles]\n";

/// From two files to every figure and finding.
fn assess(session: &[u8], recipe: &[u8]) {
    let (Some(session), Some(recipe)) = (file("s.yaml", session), file("r.yaml", recipe)) else {
        return;
    };
    let (Ok(session), Ok(recipe)) = (Session::read(&session), Recipe::read(&recipe)) else {
        return;
    };
    let recipes: BTreeMap<String, Recipe> = session
        .make
        .iter()
        .map(|make| (make.recipe.value.clone(), recipe.clone()))
        .collect();
    if let Ok(plan) = resolve(&session, &recipes, None, &bench().catalogue) {
        Assessment::of(plan, &tools());
    }
}

fn units(input: &[u8]) {
    let Ok(text) = std::str::from_utf8(input) else {
        return;
    };
    let _ = text.parse::<Mass>();
    let _ = text.parse::<Volume>();
    let _ = text.parse::<Temperature>();
    let _ = text.parse::<Dilution>();
}

fn recipe(input: &[u8]) {
    assess(SESSION, input);
}

fn session(input: &[u8]) {
    assess(
        input,
        include_bytes!("../../templates/starter/demo/recipes/plain-fixer.yaml"),
    );
}

fn place(input: &[u8]) {
    let _ = file("darkroom.yaml", input).map(|file| Darkroom::read(&file));
}

fn mixture(input: &[u8]) {
    let Some(file) = file("mixture.yaml", input) else {
        return;
    };
    let tables = &bench().rules.tables;
    let none = |name: &str, _| Err(format!("no `{name}` here"));
    if let Ok(mixture) = read_mixture(&file, &tables.classes, &none) {
        classify(&mixture, Profile::Eu, tables);
        classify(&mixture, Profile::Us, tables);
    }
}

/// A data file of the workspace: taken whole or refused with its name.
fn overlay(input: &[u8]) {
    let Some(file) = file("x.yaml", input) else {
        return;
    };
    for path in ["hazards/chemicals/metol.yaml", "hazards/order.yaml"] {
        let mut files = DataFiles::embedded();
        if files.overlay(path, &file).is_ok() {
            let _ = Catalogue::load(files).map(|catalogue| catalogue.chemical("metol"));
        }
    }
}

fn template(input: &[u8]) {
    let Some(file) = file("x.md", input) else {
        return;
    };
    let mut files = DataFiles::embedded();
    if files.overlay("templates/local.md", &file).is_ok() {
        let view = serde_json::json!({"title": "x", "deference": "d", "items": [1, 2, 3]});
        let _ = wetside::document::fill(&files, "en", "local.md", &view);
    }
}

fn ledger(input: &[u8]) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut lines = BufReader::new(input);
    let _ = Ledger::import(&folder.path().join("waste.db"), &mut lines);
}

type Feed = fn(&[u8]);

fn seeds(folders: &[&str], ending: &str) -> Vec<Vec<u8>> {
    let below = folders
        .iter()
        .flat_map(|folder| files_below(&repository().join(folder), ending));
    below
        .filter_map(|path| fs::read(path).ok())
        .filter(|text| text.len() <= LARGEST)
        .collect()
}

/// Pieces that files are made of, and that parsers stumble over.
const PIECES: &[&str] = &[
    "\n",
    "\n  - ",
    ": ",
    "{",
    "}",
    "[",
    "]",
    "\"",
    "'",
    "#",
    "&a ",
    "*a",
    "!!x ",
    "---\n",
    "\t",
    "|\n",
    ">\n",
    "? ",
    "~",
    "NaN g",
    "1e308 L",
    "-1 g",
    "0 L",
    "1e9 L",
    "1e-300 g",
    "99999999999999999999",
    "1+9",
    "1+0",
    "2,5 g",
    "212 F",
    "-300 °C",
    "é",
    "\u{1f9ea}",
    "\u{feff}",
    "\u{202e}",
    "\r\n",
    "\0",
    "{% for i in range(99999999) %}x{% endfor %}",
    "{{ x.y.z }}",
    "{% macro m() %}{{ m() }}{% endmacro %}{{ m() }}",
    "2026-02-30",
    "null",
    "true",
    "{}",
    "[]",
];

/// One step away from a seed: bytes changed, cut out, doubled, moved from another seed, or a piece put in.
fn mutated(seeds: &[Vec<u8>], rng: &mut TestRng) -> Vec<u8> {
    let mut below = |n: usize| (rng.next_u64() % n.max(1) as u64) as usize;
    let mut input = seeds[below(seeds.len())].clone();
    for _ in 0..=below(6) {
        let at = below(input.len() + 1);
        let to = (at + below(40)).min(input.len());
        match below(6) {
            0 if at < input.len() => input[at] ^= 1 << below(8),
            1 => drop(input.drain(at..to)),
            2 => {
                let part = input[at..to].to_vec();
                let times = below(30);
                input.splice(at..at, part.repeat(times));
            }
            3 => {
                let other = &seeds[below(seeds.len())];
                let from = below(other.len() + 1);
                let part = other[from..(from + below(200)).min(other.len())].to_vec();
                input.splice(at..to, part);
            }
            _ => {
                let piece = PIECES[below(PIECES.len())].bytes();
                input.splice(at..to.min(at + below(8)), piece);
            }
        }
        input.truncate(LARGEST);
    }
    input
}

/// Feeds one input; says what was wrong with how it was taken.
fn fault(feed: Feed, input: &[u8]) -> Option<String> {
    let started = Instant::now();
    let taken = catch_unwind(AssertUnwindSafe(|| feed(input)));
    if taken.is_err() {
        return Some("a panic".to_owned());
    }
    let took = started.elapsed();
    (took > LONGEST).then(|| format!("{took:?}"))
}

fn run(name: &str, feed: Feed, seeds: &[Vec<u8>]) {
    assert!(!seeds.is_empty(), "{name}: no seeds");
    let kept = repository().join("tests/fuzz").join(name);
    let faults = if kept.is_dir() {
        files_below(&kept, "")
    } else {
        Vec::new()
    };
    for path in faults {
        let input = fs::read(&path).expect("a kept input");
        assert_eq!(fault(feed, &input), None, "{}", path.display());
    }
    let seconds = std::env::var("WETSIDE_FUZZ_SECONDS")
        .ok()
        .and_then(|text| text.parse().ok());
    let until = Instant::now() + Time::from_secs(seconds.unwrap_or(2));
    // A run that is asked for longer starts elsewhere, so that two runs are not the same.
    let start = seconds
        .unwrap_or(0)
        .wrapping_mul(0x9e37_79b9_7f4a_7c15)
        .to_le_bytes();
    let mut rng = TestRng::from_seed(RngAlgorithm::XorShift, &[start, start].concat());
    let trying = std::env::temp_dir().join(format!("wetside-fuzz-{name}"));
    let mut tried = 0_u64;
    while Instant::now() < until {
        let input = mutated(seeds, &mut rng);
        fs::write(&trying, &input).expect("a temporary file");
        if let Some(fault) = fault(feed, &input) {
            panic!(
                "{name}: {fault} over {} (keep it in tests/fuzz/{name})",
                trying.display()
            );
        }
        tried += 1;
    }
    // It stays only where a crash of the process left it.
    let _ = fs::remove_file(&trying);
    println!("{name}: {tried} inputs");
    assert!(tried > 0, "{name}: nothing was tried");
}

const SESSIONS: &[&str] = &["tests/sessions", "templates/starter"];

#[test]
fn amounts() {
    let texts = [
        "2.5 g", "1 1/2 oz", "750 mL", "8 fl oz", "45 °C", "125 F", "1+9", "1:31", "3 %", "2,5 kg",
        "1e-3 L",
    ];
    let seeds: Vec<Vec<u8>> = texts.iter().map(|text| text.as_bytes().to_vec()).collect();
    run("amounts", units, &seeds);
}

#[test]
fn recipes() {
    run("recipes", recipe, &seeds(SESSIONS, ".yaml"));
}

#[test]
fn sessions() {
    run("sessions", session, &seeds(SESSIONS, ".yaml"));
}

#[test]
fn places() {
    run("places", place, &seeds(SESSIONS, "darkroom.yaml"));
}

#[test]
fn mixtures() {
    let seed = "mixture: m\nform: liquid\nph: 13.2\nflash_point: 36 °C\ningredients:\n  - name: a\n    percent: 8\n    classification: [Acute Tox. 3 H301, Skin Corr. 1B H314, Aquatic Acute 1 H400]\n    ate: {oral: 125}\n    limits: [Skin Corr. 1B H314 >= 5, Eye Irrit. 2 H319 0.5..2]\n    m: {acute: 10}\n    unknown: [dermal]\n  - {name: b, percent: 90, classification: [Flam. Liq. 2 H225]}\n";
    run("mixtures", mixture, &[seed.as_bytes().to_vec()]);
}

#[test]
fn overlays() {
    run("overlays", overlay, &seeds(&["hazards/chemicals"], ".yaml"));
}

#[test]
fn templates() {
    run("templates", template, &seeds(&["templates"], ".md"));
}

#[test]
fn ledger_lines() {
    let folder = tempfile::tempdir().expect("a folder");
    let bench = crate::harness::Bench::demo();
    let made = bench.run(&["log", "made", "sessions/thursday.yaml"]);
    assert!(made.status < Some(2), "{}", made.stderr);
    let lines = bench.run(&["ledger", "export"]).stdout;
    assert!(lines.lines().count() > 2, "{lines}");
    drop(folder);
    run("ledger", ledger, &[lines.into_bytes()]);
}

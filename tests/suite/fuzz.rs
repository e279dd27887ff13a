//! Mutated input for every parser: whatever a person, a disk or a bad sector makes of a file, it is
//! read or refused, in bounded time, and never a panic.
//!
//! Seeds are the repository's own files and `tests/fuzz/corpus/TARGET/`: files that fill every field,
//! and what was a fault once; these are tried first, as they are. Each target then runs for
//! `WETSIDE_FUZZ_SECONDS` (2 where not set). What is being tried lies in the temporary folder while
//! it runs, so that even a crash of the whole process leaves its input behind.

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration as Time, Instant};

use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};

use crate::harness::{files_below, repository};

#[path = "../fuzz/targets.rs"]
mod targets;

use targets::{Feed, TARGETS};

/// An input of a few kilobytes takes no longer than this, in a debug build on a machine that is
/// busy with other things: most take a hundredth of a second on one that is not.
const LONGEST: Time = Time::from_secs(60);

/// Largest input tried: most faults need little, and little is soon tried.
const LARGEST: usize = 20_000;

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
pub fn mutated(seeds: &[Vec<u8>], rng: &mut TestRng) -> Vec<u8> {
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

fn kept(name: &str) -> Vec<Vec<u8>> {
    let folder = repository().join("tests/fuzz/corpus").join(name);
    if !folder.is_dir() {
        return Vec::new();
    }
    let files = files_below(&folder, "");
    files
        .iter()
        .filter_map(|path| fs::read(path).ok())
        .collect()
}

fn run(name: &str, mut seeds: Vec<Vec<u8>>) {
    let (_, feed) = *TARGETS
        .iter()
        .find(|(target, _)| *target == name)
        .expect("a target");
    for input in kept(name) {
        let text = String::from_utf8_lossy(&input);
        assert_eq!(
            fault(feed, &input),
            None,
            "tests/fuzz/corpus/{name}: {text}"
        );
        seeds.push(input);
    }
    assert!(!seeds.is_empty(), "{name}: no seeds");
    let (until, mut rng) = time_and_chance();
    let trying = std::env::temp_dir().join(format!("wetside-fuzz-{name}"));
    let mut tried = 0_u64;
    while Instant::now() < until {
        let input = mutated(&seeds, &mut rng);
        fs::write(&trying, &input).expect("a temporary file");
        if let Some(fault) = fault(feed, &input) {
            panic!(
                "{name}: {fault} over {} (keep it in tests/fuzz/corpus/{name})",
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

/// When to stop, and where to start: a run that is asked for longer starts elsewhere, so that two
/// runs are not the same.
pub fn time_and_chance() -> (Instant, TestRng) {
    let seconds: Option<u64> = std::env::var("WETSIDE_FUZZ_SECONDS")
        .ok()
        .and_then(|text| text.parse().ok());
    let start = seconds
        .unwrap_or(0)
        .wrapping_mul(0x9e37_79b9_7f4a_7c15)
        .to_le_bytes();
    let rng = TestRng::from_seed(RngAlgorithm::XorShift, &[start, start].concat());
    (Instant::now() + Time::from_secs(seconds.unwrap_or(2)), rng)
}

const SESSIONS: &[&str] = &["tests/sessions", "templates/starter"];

fn texts(texts: &[&str]) -> Vec<Vec<u8>> {
    texts.iter().map(|text| text.as_bytes().to_vec()).collect()
}

#[test]
fn amounts() {
    let seeds = [
        "2.5 g",
        "1 1/2 oz",
        "750 mL",
        "8 fl oz",
        "45 °C",
        "125 F",
        "1+9",
        "1:31",
        "3 %",
        "2,5 kg",
        "1e-3 L",
        "20 of 24 x 30 cm",
        "30 x 40 cm",
        "150 m3/h",
        "6 months",
        "5 mg/m3",
        "Na2SO3·7H2O",
        "Acute Tox. 3 H301",
        "Skin Corr. 1B H314 >= 5",
        "Eye Irrit. 2 H319 0.5..2",
        "123-31-9",
    ];
    run("amounts", texts(&seeds));
}

#[test]
fn recipes() {
    run("recipes", seeds(SESSIONS, ".yaml"));
}

#[test]
fn sessions() {
    run("sessions", seeds(SESSIONS, ".yaml"));
}

#[test]
fn places() {
    run("places", seeds(SESSIONS, "darkroom.yaml"));
}

#[test]
fn mixtures() {
    run("mixtures", Vec::new());
}

#[test]
fn wastes() {
    run("wastes", Vec::new());
}

#[test]
fn airs() {
    run("airs", Vec::new());
}

#[test]
fn data_sheets() {
    run(
        "data-sheets",
        seeds(&["templates/starter/demo/sds"], ".yaml"),
    );
}

#[test]
fn proposals_from_a_sheets_text() {
    run("proposals", seeds(&["tests/suite/sheets"], ".txt"));
}

#[test]
fn pdfs() {
    let sheet = crate::proposals::pdf(&["SECTION 9: Physical and chemical properties", "pH: 2"]);
    run("pdfs", vec![sheet]);
}

#[test]
fn local_rules() {
    run("local-rules", Vec::new());
}

/// Every data file there is, with its path before it.
#[test]
fn overlays() {
    let files =
        ["hazards", "templates"].map(|folder| files_below(&repository().join(folder), ".yaml"));
    let seeds = files.iter().flatten().filter_map(|path| {
        let name = path.strip_prefix(repository()).ok()?.to_string_lossy();
        let text = fs::read_to_string(path).ok()?;
        (!name.contains("starter")).then(|| format!("{name}\n{text}").into_bytes())
    });
    run("overlays", seeds.collect());
}

#[test]
fn templates() {
    run("templates", seeds(&["templates"], ".md"));
}

#[test]
fn drawings() {
    run("drawings", seeds(&["templates/pictograms"], ".svg"));
}

#[test]
fn ledger_lines() {
    let bench = crate::harness::Bench::demo();
    let made = bench.run(&["log", "made", "sessions/thursday.yaml"]);
    assert!(made.status < Some(2), "{}", made.stderr);
    let lines = bench.run(&["ledger", "export"]).stdout;
    assert!(lines.lines().count() > 2, "{lines}");
    run("ledger", vec![lines.into_bytes()]);
}

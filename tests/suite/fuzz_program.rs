//! Mutated files and arguments through the built program: it ends by itself with one of its exit
//! codes, says why where it cannot go on, and takes bounded time.

use std::fs;
use std::time::{Duration, Instant};

use proptest::prelude::Rng;

use crate::fuzz::{mutated, time_and_chance};
use crate::harness::{Bench, Run};

/// A session takes some 30 ms; a machine busy with other things has been seen to take a thousand
/// times that.
const LONGEST: Duration = Duration::from_secs(120);

const SESSION: &str = "sessions/thursday.yaml";

/// A file of the workspace, what stands in it, and the commands that read it. `@` is the file.
const FILES: &[(&str, &str, &[&[&str]])] = &[
    (
        "darkroom.yaml",
        include_str!("../../templates/starter/demo/darkroom.yaml"),
        &[&["check", SESSION], &["label", "recipes/acetic-stop.yaml"]],
    ),
    (
        "recipes/plain-fixer.yaml",
        include_str!("../../templates/starter/demo/recipes/plain-fixer.yaml"),
        &[
            &["sheet", SESSION, "--format", "html"],
            &["solution", "@"],
            &["meet", "@", "acetic-stop"],
            &["compare", "@", "acetic-stop"],
        ],
    ),
    (
        SESSION,
        include_str!("../../templates/starter/demo/sessions/thursday.yaml"),
        &[
            &["sheet", "@", "-o", "sheet.pdf"],
            &["brief", "@"],
            &["log", "made", "@"],
        ],
    ),
    (
        "sds/hydroquinone-hollow-lane.yaml",
        include_str!("../../templates/starter/demo/sds/hydroquinone-hollow-lane.yaml"),
        &[&["card", "hydroquinone"], &["sds", "list"]],
    ),
    (
        "rules/house.yaml",
        include_str!("../fuzz/corpus/local-rules/house.yaml"),
        &[&["rules", "show"], &["check", SESSION]],
    ),
    (
        "rules/town.yaml",
        include_str!("../../hazards/rules/eu.yaml"),
        &[
            &["rules", "show"],
            &["codes", "waste.yaml", "--rules", "town"],
        ],
    ),
    (
        "waste.yaml",
        include_str!("../fuzz/corpus/wastes/drum.yaml"),
        &[&["codes", "@"]],
    ),
    (
        "air.yaml",
        include_str!("../fuzz/corpus/airs/trays.yaml"),
        &[&["air", "@"]],
    ),
    (
        "mixture.yaml",
        include_str!("../fuzz/corpus/mixtures/two.yaml"),
        &[&["classify", "@"]],
    ),
    (
        "names.txt",
        "Ilse\nTibb\n# not here: Odo\nAnna Maria\n",
        &[&["brief", SESSION, "--record", "@", "--by", "Ilse"]],
    ),
    (
        "hazards/order.yaml",
        include_str!("../../hazards/order.yaml"),
        &[&["check", SESSION], &["catalogue", "audit"]],
    ),
    (
        "hazards/chemicals/hydroquinone.yaml",
        include_str!("../../hazards/chemicals/hydroquinone.yaml"),
        &[&["check", SESSION], &["card", "hydroquinone"]],
    ),
    (
        "templates/card.md",
        include_str!("../../templates/card.md"),
        &[&["card", "hydroquinone", "--all"]],
    ),
    (
        "templates/words.yaml",
        include_str!("../../templates/words.yaml"),
        &[&["sheet", SESSION], &["tally"]],
    ),
];

/// Arguments that are read as values.
const ARGUMENTS: &[&[&str]] = &[
    &["log", "pour", "fixer", "1L", "fixer drum"],
    &["log", "add-container", "drum", "--stream", "spent-fixer"],
    &["log", "add", "fixer", "70L", "--stream", "spent-fixer"],
    &[
        "solution",
        "recipes/plain-fixer.yaml",
        "--volume",
        "2L",
        "--at",
        "20C",
    ],
    &[
        "meet",
        "acetic-stop",
        "plain-fixer",
        "--ratio",
        "1:1",
        "--room",
        "30m3",
    ],
    &["label", "recipes/acetic-stop.yaml", "--volume", "1 L"],
    &["card", "sodium sulphite"],
    &["explain", "name/look-alike"],
    &["report", "--from", "2026-01-01", "--to", "2026-12-31"],
    &["check", SESSION, "--rules", "eu,uk"],
    &[
        "sds",
        "add",
        "metol",
        "--supplier",
        "Hollow Lane",
        "--revised",
        "2024-05-13",
    ],
];

fn fault(bench: &Bench, arguments: &[&str]) -> Option<String> {
    let started = Instant::now();
    let Run { status, stderr, .. } = bench.run(arguments);
    let took = started.elapsed();
    let wrong = match status {
        Some(0 | 1) => None,
        Some(2) if stderr.trim().is_empty() => Some("exit code 2 without a word".to_owned()),
        Some(2) if !stderr.contains("help:") && !stderr.contains("--help") => {
            Some(format!("it does not say what to do next: {stderr}"))
        }
        Some(2) => None,
        other => Some(format!("ended with {other:?}: {stderr}")),
    };
    wrong.or_else(|| (took > LONGEST).then(|| format!("{took:?}")))
}

#[test]
fn files_of_a_workspace() {
    let bench = Bench::demo();
    for (name, text, _) in FILES {
        if name.starts_with("waste") {
            fs::write(bench.path(name), text).expect("a file");
        }
        fs::create_dir_all(bench.path(name).parent().expect("a folder")).expect("a folder");
    }
    let (until, mut rng) = time_and_chance();
    let mut tried = 0;
    while Instant::now() < until {
        let (name, text, commands) = FILES[tried % FILES.len()];
        let before = fs::read(bench.path(name)).ok();
        let input = mutated(&[text.as_bytes().to_vec()], &mut rng);
        fs::write(bench.path(name), &input).expect("a file");
        for command in commands {
            let arguments: Vec<&str> = command
                .iter()
                .map(|word| if *word == "@" { name } else { word })
                .collect();
            if let Some(fault) = fault(&bench, &arguments) {
                let text = String::from_utf8_lossy(&input);
                panic!("{arguments:?} with {name}: {fault}\n{text}");
            }
        }
        match before {
            Some(bytes) => fs::write(bench.path(name), bytes).expect("a file"),
            None => fs::remove_file(bench.path(name)).expect("it was there"),
        }
        let _ = fs::remove_file(bench.path("waste.db"));
        tried += 1;
    }
    println!("files of a workspace: {tried} inputs");
    assert!(tried > 0, "nothing was tried");
}

#[test]
fn arguments() {
    let bench = Bench::demo();
    let (until, mut rng) = time_and_chance();
    let mut tried = 0;
    while Instant::now() < until {
        let words = ARGUMENTS[tried % ARGUMENTS.len()];
        let at = 1 + (rng.next_u64() as usize) % (words.len() - 1);
        let seeds: Vec<Vec<u8>> = words.iter().map(|word| word.as_bytes().to_vec()).collect();
        let changed = mutated(&seeds[at..=at], &mut rng);
        let changed = String::from_utf8_lossy(&changed).replace('\0', "");
        // A file may be written where it is asked for; not here.
        if changed.starts_with('-') || changed.contains('/') && !words[at].contains('/') {
            continue;
        }
        let mut arguments = words.to_vec();
        arguments[at] = &changed;
        if let Some(fault) = fault(&bench, &arguments) {
            panic!("{arguments:?}: {fault}");
        }
        tried += 1;
    }
    println!("arguments: {tried} inputs");
    assert!(tried > 0, "nothing was tried");
}

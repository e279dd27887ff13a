//! `init`: whole or not at all, and what it lays down works.

use std::fs;

use crate::harness::Bench;

#[test]
fn what_is_laid_down_can_be_checked() {
    for (arguments, session) in [
        (&["init"][..], "sessions/first-evening.yaml"),
        (&["init", "--demo"][..], "sessions/thursday.yaml"),
    ] {
        let bench = Bench::new();
        let laid = bench.run(arguments);
        assert_eq!(laid.status, Some(0), "{}", laid.stderr);
        assert!(
            laid.stdout.contains(&format!("wetside check {session}")),
            "{}",
            laid.stdout
        );
        let check = bench.run(&["check", session]);
        assert_eq!(check.status, Some(0), "{}{}", check.stdout, check.stderr);
    }
}

#[test]
fn the_schema_named_in_each_file_is_there() {
    for arguments in [&["init"][..], &["init", "--demo"][..]] {
        let bench = Bench::new();
        bench.run(arguments);
        let mut named = 0;
        for (path, _) in bench.listing() {
            if !path.ends_with(".yaml") {
                continue;
            }
            let text = fs::read_to_string(&path).expect("a file");
            let first = text.lines().next().unwrap_or("");
            let schema = first.strip_prefix("# yaml-language-server: $schema=");
            let schema = schema.unwrap_or_else(|| panic!("{path} names no schema"));
            let folder = std::path::Path::new(&path).parent().expect("a folder");
            assert!(folder.join(schema).is_file(), "{path}: {schema}");
            named += 1;
        }
        assert!(named >= 5);
    }
}

#[test]
fn folders_are_made_where_they_are_missing() {
    let bench = Bench::new();
    assert_eq!(bench.run(&["init", "a/b"]).status, Some(0));
    assert!(bench.path("a/b/darkroom.yaml").is_file());
    assert_eq!(bench.run(&["-C", "c", "init"]).status, Some(0));
    assert!(bench.path("c/darkroom.yaml").is_file());
}

#[test]
fn nothing_is_overwritten_and_nothing_is_half_laid() {
    let bench = Bench::new().file("recipes/plain-fixer.yaml", "mine");
    let before = bench.listing();
    let run = bench.run(&["init"]);
    assert_eq!(run.status, Some(2));
    assert!(
        run.stderr.contains("recipes/plain-fixer.yaml"),
        "{}",
        run.stderr
    );
    assert!(run.stdout.is_empty());
    assert_eq!(bench.listing(), before);
}

/// A file where a folder is needed: what was written before it is taken back.
#[test]
fn a_failure_midway_is_taken_back() {
    let bench = Bench::new().file("sessions", "a file, not a folder");
    let before = bench.listing();
    let run = bench.run(&["init"]);
    assert_eq!(run.status, Some(2), "{}", run.stderr);
    assert_eq!(bench.listing(), before);
}

#[test]
fn a_folder_of_ones_own_files_is_no_hindrance() {
    let bench = Bench::new()
        .file("recipes/mine.yaml", "add: [{metol: 2 g}]\n")
        .folder("sds");
    assert_eq!(bench.run(&["init"]).status, Some(0));
}

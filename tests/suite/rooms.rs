//! The rooms of `src/` are one-way: a room uses only rooms that stand above it in `lib.rs`.

use std::fs;

use crate::harness::{files_below, repository};

#[test]
fn no_room_uses_a_later_one() {
    let source = repository().join("src");
    let lib = fs::read_to_string(source.join("lib.rs")).expect("lib.rs");
    let rooms = rooms(&lib);
    assert!(rooms.len() > 5, "lib.rs lists the rooms: {rooms:?}");

    let mut faults = Vec::new();
    for file in files_below(&source, ".rs") {
        let below = file.strip_prefix(&source).expect("below src");
        let first = below.iter().next().expect("a name").to_string_lossy();
        let room = first.trim_end_matches(".rs");
        let Some(own) = rooms.iter().position(|other| other == room) else {
            assert!(
                matches!(room, "lib" | "main"),
                "{room} is not listed in lib.rs"
            );
            continue;
        };
        let text = fs::read_to_string(&file).expect("a source file");
        for used in imports(&text) {
            match rooms.iter().position(|other| *other == used) {
                Some(at) if at > own => {
                    faults.push(format!("src/{} uses crate::{used}", below.display()));
                }
                _ => {}
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

fn rooms(lib: &str) -> Vec<String> {
    lib.lines()
        .filter_map(|line| line.trim_start_matches("pub ").strip_prefix("mod "))
        .map(|rest| rest.trim_end_matches([';', ' ']).to_owned())
        .collect()
}

/// The first name after each `crate::`, inside braces too.
fn imports(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (at, _) in text.match_indices("crate::") {
        let rest = &text[at + "crate::".len()..];
        match rest.strip_prefix('{') {
            None => found.push(name(rest)),
            Some(group) => found.extend(group_names(group)),
        }
    }
    found
}

fn name(text: &str) -> String {
    text.chars()
        .take_while(|c| c.is_ascii_alphanumeric() || *c == '_')
        .collect()
}

/// The first names of `a, b::c, d::{e, f}}`.
fn group_names(text: &str) -> Vec<String> {
    let (mut depth, mut start, mut names) = (0, true, Vec::new());
    for (at, c) in text.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => start = true,
            c if start && !c.is_whitespace() => {
                names.push(name(&text[at..]));
                start = false;
            }
            _ => {}
        }
    }
    names
}

#[test]
fn a_planted_back_edge_is_seen() {
    let planted =
        "use crate::{units, render::{text, html},\n finding};\nlet x = crate::cli::run();";
    assert_eq!(imports(planted), ["units", "render", "finding", "cli"]);
}

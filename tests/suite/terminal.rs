//! How the program behaves on a terminal: what it prints, in which colour, and what it says when
//! a word is mistyped. Conventions: NO_COLOR as its informal standard (no-color.org) says; exit
//! codes as promised in the README.

use serde_json::Value;

use crate::harness::{Bench, run_in};

const SESSION: &str = "sessions/thursday.yaml";
const ESCAPE: char = '\u{1b}';

#[test]
fn several_sessions_are_checked_in_one_call_in_the_order_they_were_named() {
    let bench = Bench::demo();
    let text = std::fs::read_to_string(bench.path(SESSION)).expect("the demo's session");
    let mut names: Vec<String> = (0..30)
        .map(|n| format!("sessions/copy-{n:02}.yaml"))
        .collect();
    let bench = names
        .iter()
        .fold(bench, |bench, name| bench.file(name, &text));
    names.reverse();
    let mut arguments = vec!["check", "--format", "json"];
    arguments.extend(names.iter().map(String::as_str));
    let run = bench.run(&arguments);
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    let json: Value = serde_json::from_str(&run.stdout).expect("one object");
    let sessions = json["sessions"].as_array().expect("a list");
    let told: Vec<&str> = sessions
        .iter()
        .filter_map(|one| one["session"].as_str())
        .collect();
    assert_eq!(told, names);
    let alone = bench.run(&["check", "--format", "json", &names[0]]);
    let alone: Value = serde_json::from_str(&alone.stdout).expect("one object");
    assert_eq!(
        sessions[0]["findings"], alone["findings"],
        "as if checked alone"
    );
}

#[test]
fn a_session_that_cannot_be_read_does_not_hide_the_others() {
    let bench = Bench::demo().file("sessions/broken.yaml", "make: [");
    let run = bench.run(&["check", "sessions/broken.yaml", SESSION]);
    assert_eq!(run.status, Some(2));
    assert!(
        run.stderr.contains("sessions/broken.yaml:"),
        "{}",
        run.stderr
    );
    let line = run.stdout.lines().find(|line| line.starts_with(SESSION));
    assert!(
        line.is_some_and(|line| line.contains("to settle first")),
        "{}",
        run.stdout
    );
}

#[test]
fn nothing_is_wider_than_eighty_columns_by_default() {
    let bench = Bench::demo();
    for arguments in [
        &["check", "--all", SESSION][..],
        &["check", SESSION, SESSION],
        &["card", "hydroquinone"],
        &["explain"],
        &["catalogue", "list", "--all"],
        &["catalogue", "audit"],
        &["catalogue", "sources", "--all"],
        &["compare", "plain-fixer", "acetic-stop"],
        &["label", "recipes/plain-fixer.yaml"],
        &["rules", "show", "--all"],
        &["sds", "list"],
        &["sds", "due"],
        &["log", "made", SESSION],
        &["log", "list"],
        &["tally"],
        &["report", "2026"],
        &["ledger", "verify"],
        &["solution", "recipes/plain-fixer.yaml"],
        &[
            "meet",
            "recipes/plain-fixer.yaml",
            "recipes/acetic-stop.yaml",
        ],
    ] {
        let run = bench.run(arguments);
        assert!(run.status < Some(2), "{arguments:?}: {}", run.stderr);
        let wide = run.stdout.lines().find(|line| line.chars().count() > 80);
        assert_eq!(wide, None, "{arguments:?}");
    }
}

#[test]
fn colour_is_for_those_who_ask_or_see_it() {
    let bench = Bench::demo();
    let run = bench.run(&["check", SESSION]);
    assert!(!run.stdout.contains(ESCAPE), "a pipe is no terminal");
    let run = bench.run(&["check", SESSION, "--color", "always"]);
    assert!(run.stdout.contains(ESCAPE));
    let run = bench.run(&["check", SESSION, "--color", "never"]);
    assert!(!run.stdout.contains(ESCAPE));
}

#[test]
fn quiet_leaves_out_the_counts_and_keeps_findings_and_deference() {
    let bench = Bench::demo();
    let said = bench.run(&["check", SESSION]).stdout;
    let quiet = bench.run(&["check", "--quiet", SESSION]).stdout;
    assert!(said.contains("to settle first") && !quiet.contains("to settle first"));
    let last = said.lines().last().expect("the deference");
    assert!(
        quiet.contains("meet/reaction") && quiet.contains(last),
        "{quiet}"
    );
}

#[test]
fn every_command_has_a_manual_page_and_a_mistyped_one_is_guessed() {
    let bench = Bench::new();
    let help = bench.run(&["--help"]).stdout;
    let commands = help
        .lines()
        .skip_while(|line| !line.starts_with("Commands:"))
        .skip(1);
    let commands: Vec<&str> = commands
        .take_while(|line| !line.is_empty())
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .filter(|command| *command != "help")
        .collect();
    assert!(commands.len() > 15, "{commands:?}");
    let run = bench.run(&["man", "pages"]);
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    for command in commands {
        let page = std::fs::read_to_string(bench.path(&format!("pages/wetside-{command}.1")));
        assert!(
            page.is_ok_and(|page| page.contains(".SH OPTIONS")),
            "{command}"
        );
    }
    let run = run_in(&bench.path(""), &["shet", "x.yaml"]);
    assert_eq!(run.status, Some(2));
    assert!(run.stderr.contains("'sheet'"), "{}", run.stderr);
}

#[test]
fn a_mistyped_file_and_a_recipe_in_the_place_of_a_session_are_told() {
    let bench = Bench::demo();
    for (arguments, words) in [
        (
            ["check", "sessions/thurday.yaml"],
            "did you mean `sessions/thursday.yaml`?",
        ),
        (["sheet", "recipes/plain-fixer.yaml"], "this is a recipe"),
    ] {
        let run = bench.run(&arguments);
        assert_eq!(run.status, Some(2), "{}", run.stdout);
        assert!(run.stderr.contains(words), "{}", run.stderr);
        assert!(run.stderr.lines().count() < 8, "{}", run.stderr);
    }
}

#[cfg(unix)]
#[test]
fn what_a_link_leads_to_is_written_and_the_link_stays() {
    let bench = Bench::demo().file("shared.html", "<html>old</html>");
    std::os::unix::fs::symlink(bench.path("shared.html"), bench.path("sheet.html"))
        .expect("a link");
    let run = bench.run(&["sheet", SESSION, "-o", "sheet.html"]);
    assert!(run.status < Some(2), "{}", run.stderr);
    assert!(bench.path("sheet.html").is_symlink());
    let written = std::fs::read_to_string(bench.path("shared.html")).expect("the page");
    assert!(written.starts_with("<!doctype html>"));
}

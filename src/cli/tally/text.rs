//! The tally on the terminal.

use std::{io, iter};

use serde_json::json;

use crate::cli::report::{self, Colours};
use crate::cli::screen;
use crate::cli::words::hanging;
use crate::document::waste::{ContainerView, StreamView, TallyView, Telling, bar};
use crate::ledger::Tally;

/// Where the second column begins.
const INDENT: usize = 28;
const WIDTH: usize = 79;

/// Containers that the short tally has room for.
const SHOWN: usize = 6;

/// How many it shows where stops take more lines than they should.
const FEWEST: usize = 2;

/// Lines that its findings may take.
const LINES: usize = 8;

/// The tally on a screen: what there is to settle, then the containers that are fullest.
pub fn short(view: &TallyView, balances: &Tally, house: &[String], telling: Telling) -> String {
    let colours = Colours::for_stream(&io::stdout());
    let found = screen::findings(&balances.findings, LINES, telling.wording, colours);
    let mut out = format!("{}\n{}", view.title, found.text);
    let mut containers: Vec<&ContainerView> = view.containers.iter().collect();
    let fullness = |line: &ContainerView| line.share.unwrap_or(f64::INFINITY);
    containers.sort_by(|a, b| fullness(b).total_cmp(&fullness(a)));
    let lines = found.text.lines().count();
    let shown = if lines > LINES { FEWEST } else { SHOWN };
    for line in containers.iter().take(shown) {
        let until = json!({"day": line.until});
        let until = (!line.until.is_empty()).then(|| telling.phrases.say("leave_by", &until));
        let facts: Vec<String> = iter::once(level(line)).chain(until).collect();
        let head = hanging(&format!("  {}", line.name), &facts.join("; "), INDENT);
        out.push_str(&format!("{head}\n"));
    }
    if containers.is_empty() {
        out.push_str(&format!("{}\n", telling.phrases.word("no_container")));
    }
    out.push_str(&format!("\n{}\n", wrapped(&view.month_words)));
    let (amiss, others): (Vec<_>, Vec<_>) = view.streams.iter().partition(|one| one.is_amiss());
    out.push_str(&streams(&amiss, telling));
    let facts = json!({
        "containers": containers.len().saturating_sub(shown),
        "streams": others.len(),
        "bottles": view.keeping.len(),
        "silver": !view.silver.is_empty(),
        "attentions": found.attentions,
        "notes": found.notes,
    });
    let left = telling.phrases.say("tally_left_out", &facts);
    out.push_str(&format!("\n{}\n", wrapped(&left)));
    out.push_str(&report::section(house, WIDTH));
    out.push_str(&format!(
        "\n{}\n",
        wrapped(telling.wording.word("deference"))
    ));
    out
}

/// The whole tally, with what there is to say of it.
pub fn tally(view: &TallyView, balances: &Tally, house: &[String], telling: Telling) -> String {
    let mut out = format!("{}\n", view.title);
    for line in &view.containers {
        out.push_str(&container(line));
    }
    if view.containers.is_empty() {
        out.push_str(&format!("{}\n", telling.phrases.word("no_container")));
    }
    out.push_str(&format!("\n{}\n", wrapped(&view.month_words)));
    out.push_str(&streams(&view.streams.iter().collect::<Vec<_>>(), telling));
    if !view.keeping.is_empty() {
        out.push('\n');
    }
    for (place, words) in &view.keeping {
        out.push_str(&format!(
            "{}\n",
            hanging(&format!("  {place}"), words, INDENT)
        ));
    }
    if !view.silver.is_empty() {
        out.push_str(&format!("\n{}\n", wrapped(&view.silver)));
    }
    let colours = Colours::for_stream(&io::stdout());
    for finding in &balances.findings {
        out.push('\n');
        out.push_str(&report::finding(finding, telling.wording, colours, WIDTH));
    }
    out.push_str(&report::section(house, WIDTH));
    out.push_str(&format!(
        "\n{}\n",
        wrapped(telling.wording.word("deference"))
    ));
    out
}

fn wrapped(text: &str) -> String {
    report::wrap(text, WIDTH).join("\n")
}

fn container(line: &ContainerView) -> String {
    let head = hanging(&format!("  {}", line.name), &level(line), INDENT);
    format!("{head}\n{}\n", hanging("", &line.facts.join("; "), INDENT))
}

/// How full, drawn where the capacity is known.
fn level(line: &ContainerView) -> String {
    match line.share {
        Some(share) => format!("{} {}", bar(share, 20), line.level),
        None => line.level.clone(),
    }
}

fn streams(streams: &[&StreamView], telling: Telling) -> String {
    if streams.is_empty() {
        return String::new();
    }
    let word = |name: &str| telling.phrases.word(name);
    let heads = ["made", "held", "collected", "lost", "nowhere"].map(word);
    let mut out = format!("\n{}\n", columns(&word("by_stream"), &heads));
    for line in streams {
        let figures = [
            line.made.clone(),
            line.held.clone(),
            line.collected.clone(),
            line.lost.clone(),
            line.unaccounted.clone(),
        ];
        let label = format!("{} ({})", line.stream, line.unit);
        out.push_str(&format!("{}\n", columns(&label, &figures)));
    }
    out
}

/// A label and five figures; a label too long for its column has a line to itself.
fn columns(label: &str, figures: &[String; 5]) -> String {
    let figures: String = figures.iter().map(|text| format!(" {text:>9}")).collect();
    if label.chars().count() > INDENT {
        return format!("{label}\n{}{figures}", " ".repeat(INDENT));
    }
    format!("{label:<INDENT$}{figures}")
}

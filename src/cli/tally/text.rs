//! The tally on the terminal.

use std::io;

use crate::cli::report::{self, Colours};
use crate::cli::words::hanging;
use crate::document::waste::{ContainerView, StreamView, TallyView, Telling, bar};
use crate::ledger::Tally;

/// Where the second column begins.
const INDENT: usize = 28;
const WIDTH: usize = 79;

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
    out.push_str(&streams(&view.streams, telling));
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
    let level = match line.share {
        Some(share) => format!("{} {}", bar(share, 20), line.level),
        None => line.level.clone(),
    };
    let head = hanging(&format!("  {}", line.name), &level, INDENT);
    format!("{head}\n{}\n", hanging("", &line.facts.join("; "), INDENT))
}

fn streams(streams: &[StreamView], telling: Telling) -> String {
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

//! Findings on the terminal, of one session or of many.

use std::io::{self, Write};
use std::path::Path;

use serde_json::json;

use crate::assessment::Assessment;
use crate::document::{Wording, findings_json};
use crate::finding::{Finding, Severity};
use crate::rules::HouseLine;

use super::super::report::{self, Colours};
use super::super::screen::{self, Shown};
use super::super::{Error, manners};
use super::many::Checked;

/// Columns of a terminal that findings are told in.
const WIDTH: usize = 79;

pub fn json(
    assessment: &Assessment,
    session: &Path,
    house: &[HouseLine],
    wording: &Wording,
    out: &mut impl Write,
) -> io::Result<()> {
    let mut json = findings_json(assessment, &session.display().to_string(), wording);
    if !house.is_empty() {
        json["local_rules"] = json!(house);
    }
    writeln!(out, "{json:#}")
}

/// One object; a session that could not be read stands in it with its name only.
pub fn json_of_several(
    checked: &[Checked<'_>],
    wording: &Wording,
    out: &mut impl Write,
) -> io::Result<()> {
    let one = |(session, assessed): &Checked<'_>| {
        let name = session.display().to_string();
        match assessed {
            Ok(assessment) => findings_json(assessment, &name, wording),
            Err(_) => json!({"session": name, "unreadable": true}),
        }
    };
    let sessions: Vec<_> = checked.iter().map(one).collect();
    let json = json!({"sessions": sessions, "deference": wording.word("deference")});
    writeln!(out, "{json:#}")
}

/// Lines of a screen.
const SCREEN: usize = 24;

/// What fits a screen, the worst first, or everything; then how many there are.
pub fn findings(
    findings: &[Finding],
    all: bool,
    house: &[String],
    wording: &Wording,
    out: &mut impl Write,
) -> io::Result<()> {
    let colours = Colours::for_stream(&io::stdout());
    if all {
        for finding in findings {
            let told = report::finding(finding, wording, colours, WIDTH);
            writeln!(out, "{told}")?;
        }
        if !manners::quiet() {
            writeln!(out, "{}", summary(findings, wording))?;
        }
    } else {
        // The counts and the deference take two lines each.
        let shown = screen::findings(findings, SCREEN - 5, wording, colours);
        write!(out, "{}", shown.text)?;
        if !shown.text.is_empty() {
            writeln!(out)?;
        }
        let left = left_out(&shown, wording);
        if !manners::quiet() {
            let told = format!("{}{left}", summary(findings, wording));
            writeln!(out, "{}", report::wrap(&told, WIDTH).join("\n"))?;
        } else if shown.attentions > 0 {
            writeln!(out, "{}", report::wrap(left.trim(), WIDTH).join("\n"))?;
        }
    }
    write!(out, "{}", report::section(house, WIDTH))?;
    deference(wording, out)
}

/// What else there is to see.
fn left_out(shown: &Shown, wording: &Wording) -> String {
    let more = shown.attentions + shown.notes;
    let words = match (more > 0, shown.is_cut) {
        (true, true) => "more_and_reasons",
        (true, false) => "notes_more",
        (false, true) => "reasons_more",
        (false, false) => return String::new(),
    };
    format!(" ({})", wording.filled(words, &[("n", &more.to_string())]))
}

/// A line a session in the order named; of more than a screen, those with the worst findings.
/// `all` prints every finding below its line.
pub fn several(
    checked: &[Checked<'_>],
    all: bool,
    wording: &Wording,
    out: &mut impl Write,
) -> io::Result<()> {
    let wide = |(session, _): &Checked<'_>| session.display().to_string().chars().count();
    let width = checked.iter().map(wide).max().unwrap_or(0).min(40);
    let stops = checked.iter().filter(|(_, one)| is_stopped(one)).count();
    let lines = if all { checked.len() } else { SCREEN - 5 };
    let mut shown: Vec<&Checked<'_>> = checked.iter().collect();
    if shown.len() > lines {
        shown.sort_by_key(|(_, assessed)| std::cmp::Reverse(weight(assessed)));
        // What stops is never left out.
        shown.truncate(lines.max(stops));
    }
    for (session, assessed) in &shown {
        let name = session.display();
        let Ok(assessment) = assessed else {
            writeln!(out, "{name:width$}  {}", wording.word("unreadable"))?;
            continue;
        };
        let found = &assessment.findings;
        if all {
            writeln!(out, "{name}")?;
            findings(found, true, &[], wording, out)?;
        } else if is_stopped(assessed) || !manners::quiet() {
            writeln!(out, "{name:width$}  {}", summary(found, wording))?;
        }
    }
    if !manners::quiet() {
        let more = checked.len() - shown.len();
        if more > 0 {
            let told = wording.filled("sessions_more", &[("n", &more.to_string())]);
            writeln!(out, "{told}")?;
        }
        let (n, stops) = (checked.len().to_string(), stops.to_string());
        let facts = [("n", n.as_str()), ("stops", stops.as_str())];
        let told = wording.filled("sessions_counted", &facts);
        writeln!(out, "{}", report::wrap(&told, WIDTH).join("\n"))?;
    }
    deference(wording, out)
}

/// Whether it stops, or could not be read.
fn is_stopped(assessed: &Result<Assessment, Error>) -> bool {
    weight(assessed).0 > 0
}

/// Stops and attentions; what could not be read weighs most.
fn weight(assessed: &Result<Assessment, Error>) -> (usize, usize) {
    let of = |severity| {
        let found = assessed.as_ref().ok()?;
        Some(count(&found.findings, severity))
    };
    let (stops, attentions) = (of(Severity::Stop), of(Severity::Attention));
    (
        stops.unwrap_or(usize::MAX),
        attentions.unwrap_or(usize::MAX),
    )
}

fn count(findings: &[Finding], severity: Severity) -> usize {
    findings
        .iter()
        .filter(|finding| finding.severity == severity)
        .count()
}

fn summary(findings: &[Finding], wording: &Wording) -> String {
    let severities = [Severity::Stop, Severity::Attention, Severity::Note];
    let counted = wording.word("findings_counted").to_owned();
    severities.into_iter().fold(counted, |text, severity| {
        let number = count(findings, severity).to_string();
        text.replace(&format!("{{{severity}}}"), &number)
    })
}

fn deference(wording: &Wording, out: &mut impl Write) -> io::Result<()> {
    for line in report::wrap(wording.word("deference"), WIDTH) {
        writeln!(out, "{line}")?;
    }
    Ok(())
}

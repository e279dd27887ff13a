//! Findings on the terminal, of one session or of many.

use std::io::{self, Write};
use std::path::Path;

use serde_json::json;

use crate::assessment::Assessment;
use crate::document::{Wording, findings_json};
use crate::finding::{Finding, Severity};
use crate::rules::HouseLine;

use super::super::manners;
use super::super::report::{self, Colours};
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

/// Stops and attentions, or everything; then how many there are.
pub fn findings(
    findings: &[Finding],
    all: bool,
    house: &[String],
    wording: &Wording,
    out: &mut impl Write,
) -> io::Result<()> {
    let colours = Colours::for_stream(&io::stdout());
    let least = if all {
        Severity::Note
    } else {
        Severity::Attention
    };
    for finding in findings.iter().filter(|finding| finding.severity >= least) {
        let told = report::finding(finding, wording, colours, WIDTH);
        writeln!(out, "{told}")?;
    }
    if !manners::quiet() {
        let counted = summary(findings, wording);
        writeln!(out, "{counted}{}", more(findings, all, wording))?;
    }
    write!(out, "{}", report::section(house, WIDTH))?;
    deference(wording, out)
}

/// What else there is to see.
fn more(findings: &[Finding], all: bool, wording: &Wording) -> String {
    match (count(findings, Severity::Note), all) {
        (0, _) | (_, true) => String::new(),
        (n, false) => format!(
            " ({})",
            wording.word("notes_more").replace("{n}", &n.to_string())
        ),
    }
}

/// A line a session, the worst first to be read; `all` prints every finding below its line.
pub fn several(
    checked: &[Checked<'_>],
    all: bool,
    wording: &Wording,
    out: &mut impl Write,
) -> io::Result<()> {
    let wide = |(session, _): &Checked<'_>| session.display().to_string().chars().count();
    let width = checked.iter().map(wide).max().unwrap_or(0).min(40);
    let mut stops = 0;
    for (session, assessed) in checked {
        let name = session.display();
        let Ok(assessment) = assessed else {
            writeln!(out, "{name:width$}  cannot be read: see above")?;
            continue;
        };
        let found = &assessment.findings;
        let stopped = count(found, Severity::Stop) > 0;
        stops += usize::from(stopped);
        if all {
            writeln!(out, "{name}")?;
            findings(found, true, &[], wording, out)?;
        } else if stopped || !manners::quiet() {
            writeln!(out, "{name:width$}  {}", summary(found, wording))?;
        }
    }
    if !manners::quiet() {
        writeln!(
            out,
            "{} sessions, {stops} to be settled first; `wetside check SESSION` says why",
            checked.len()
        )?;
    }
    deference(wording, out)
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

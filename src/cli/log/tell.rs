//! What the person is told of an entry.

use std::collections::BTreeSet;
use std::io::{self, Write};
use std::process::ExitCode;

use serde_json::{Value, json};

use crate::document::{Wording, finding_json};
use crate::finding::{Finding, sort};
use crate::ledger::{Amount, Booked, Ledger, Record};

use crate::cli::report::{self, Colours};
use crate::cli::words::hanging;
use crate::cli::{Error, manners, output};

/// Tells what was booked, or why not.
pub struct Teller<'a> {
    pub wording: &'a Wording,
    pub json: bool,
}

impl Teller<'_> {
    /// What was booked, and how full the places are now.
    pub fn booked(&self, ledger: &Ledger, booked: &[Booked]) -> Result<ExitCode, Error> {
        let mut findings: Vec<Finding> =
            booked.iter().flat_map(|one| one.findings.clone()).collect();
        sort(&mut findings);
        let mut records = Vec::new();
        for one in booked {
            records.extend(ledger.entry(one.number)?);
        }
        if self.json {
            let entries: Vec<Value> = records.iter().map(|record| json!(record)).collect();
            self.print_json(&json!({"booked": entries, "findings": self.all(&findings)}))?;
            return Ok(ExitCode::SUCCESS);
        }
        let mut text: String = records.iter().map(|record| line(record) + "\n").collect();
        text.push_str(&fills(ledger, &records)?);
        if !manners::quiet() {
            self.print(&text)?;
        }
        self.explain(&findings);
        Ok(ExitCode::SUCCESS)
    }

    /// Nothing was booked: the reasons, and exit code 1.
    pub fn refused(&self, findings: &[Finding]) -> Result<ExitCode, Error> {
        let mut findings = findings.to_vec();
        sort(&mut findings);
        if self.json {
            self.print_json(&json!({"booked": [], "findings": self.all(&findings)}))?;
        }
        self.explain(&findings);
        eprintln!("nothing was booked; `--force` books it with this attached");
        Ok(ExitCode::from(1))
    }

    /// What makes no sense: an unknown name could not be worked on, anything else is refused.
    pub fn nonsense(&self, finding: Finding) -> Result<ExitCode, Error> {
        let unknown = ["ledger/no-such-place", "ledger/no-such-entry"];
        let code = if unknown.contains(&finding.code.as_str()) {
            2
        } else {
            1
        };
        if self.json {
            let findings = [finding.clone()];
            self.print_json(&json!({"booked": [], "findings": self.all(&findings)}))?;
        }
        self.explain(&[finding]);
        eprintln!("nothing was booked");
        Ok(ExitCode::from(code))
    }

    /// The last entries, the newest last.
    pub fn list(&self, ledger: &Ledger, last: u32) -> Result<ExitCode, Error> {
        let end = ledger.last()?.entries;
        let mut records = Vec::new();
        for number in (end - i64::from(last) + 1).max(1)..=end {
            records.extend(ledger.entry(number)?);
        }
        if self.json {
            self.print_json(&json!({"entries": records}))?;
        } else {
            let text: String = records.iter().map(|record| line(record) + "\n").collect();
            self.print(&text)?;
        }
        Ok(ExitCode::SUCCESS)
    }

    fn all(&self, findings: &[Finding]) -> Vec<Value> {
        findings
            .iter()
            .map(|finding| finding_json(finding, self.wording))
            .collect()
    }

    fn explain(&self, findings: &[Finding]) {
        let colours = Colours::for_stream(&io::stderr());
        for finding in findings {
            let told = report::finding(finding, self.wording, colours, 79);
            eprint!("{told}");
        }
    }

    fn print_json(&self, json: &Value) -> Result<(), Error> {
        self.print(&format!("{json:#}\n"))
    }

    fn print(&self, text: &str) -> Result<(), Error> {
        output::tolerate_closed_pipe(io::stdout().lock().write_all(text.as_bytes()))
    }
}

/// One entry in a line: number, day, what happened, how much from where to where.
pub fn line(record: &Record) -> String {
    let mut text = record.kind.clone();
    if let Some(reverses) = record.reverses {
        text.push_str(&format!(" of {reverses}"));
    }
    match record.movement() {
        None => text.push_str(&format!(" {}", record.subject())),
        Some((line, amount)) => {
            text.push_str(&format!(": {amount}, {} → {}", line.from, line.to));
        }
    }
    if let Some(label) = record.label() {
        text.push_str(&format!(", label {label}"));
    }
    let head = format!("{:>4}  {}", record.number, record.day);
    hanging(&head, &text.replace('\u{a0}', " "), 18)
}

/// How full the places of some entries are now.
fn fills(ledger: &Ledger, records: &[Record]) -> Result<String, Error> {
    let lines = records.iter().flat_map(|record| &record.lines);
    let named: BTreeSet<&str> = lines
        .flat_map(|line| [line.from.as_str(), line.to.as_str()])
        .collect();
    let mut text = String::new();
    for place in ledger
        .places()?
        .iter()
        .filter(|place| named.contains(place.name.as_str()))
    {
        let contents = ledger.contents(&place.name)?.unwrap_or_default();
        let unit = place.unit;
        let held = Amount {
            unit,
            count: contents.iter().map(|part| part.amount).sum(),
        };
        let of = place
            .capacity
            .map(|count| format!(" of {}", Amount { unit, count }));
        let line = format!(
            "      `{}` holds {held}{}\n",
            place.name,
            of.unwrap_or_default()
        );
        text.push_str(&line.replace('\u{a0}', " "));
    }
    Ok(text)
}

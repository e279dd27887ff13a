//! The tally as comma-separated values.

use crate::document::waste::unit_name;
use crate::ledger::{ContainerLine, Tally};

/// A field that holds a comma or a quote stands in quotes (RFC 4180); one that a spreadsheet would
/// take for a formula is made text.
fn field(text: &str) -> String {
    let text = match text.chars().next() {
        Some('=' | '+' | '-' | '@') if text.parse::<f64>().is_err() => format!("'{text}"),
        _ => text.to_owned(),
    };
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
}

/// Fields as one line of a CSV file.
pub fn row(fields: &[String]) -> String {
    let fields: Vec<String> = fields.iter().map(|text| field(text)).collect();
    fields.join(",") + "\r\n"
}

fn or_empty(value: Option<impl ToString>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

/// The containers, one a line.
pub fn containers(balances: &Tally) -> String {
    let head = "container,stream,unit,held,capacity,since,days,full_on,until,rules\r\n";
    let line = |line: &ContainerLine| {
        row(&[
            line.name.clone(),
            line.stream.clone(),
            unit_name(line.unit).to_owned(),
            line.held.to_string(),
            or_empty(line.capacity),
            or_empty(line.since),
            or_empty(line.days),
            or_empty(line.full_on),
            or_empty(line.until),
            or_empty(line.deadlines.first().map(|first| first.rules.clone())),
        ])
    };
    head.to_owned() + &balances.containers.iter().map(line).collect::<String>()
}

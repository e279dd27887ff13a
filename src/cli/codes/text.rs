//! Determinations on the terminal.

use std::io;

use crate::cli::report::{self, Colours};
use crate::cli::words::hanging;
use crate::document::waste::{CodesTold, CodesView, RuleLine};
use crate::finding::Severity;
use crate::waste::Determination;

const INDENT: usize = 14;
const WIDTH: usize = 79;

/// Every place's determination, and the deference.
pub fn all(
    view: &CodesView,
    found: &[Determination],
    house: &[String],
    told: CodesTold<'_>,
) -> String {
    let mut text = String::new();
    for (place, one) in view.places.iter().zip(found) {
        text.push_str(&format!("{}: {}\n", place.title, place.verdict));
        for rule in &place.lines {
            text.push_str(&format!("{}\n", line(rule)));
        }
        text.push_str(&findings(one, told));
        text.push('\n');
    }
    text.push_str(&report::section(house, WIDTH));
    let deference = report::wrap(told.wording.word("deference"), WIDTH);
    text.push_str(&deference.join("\n"));
    text.push('\n');
    text
}

fn line(rule: &RuleLine) -> String {
    if rule.label.is_empty() {
        return rule.words.clone();
    }
    let text = format!("{} [{}]", rule.words, rule.source);
    hanging(&format!("  {}", rule.label), &text, INDENT)
}

/// Findings in full when they weigh something, otherwise one line each.
fn findings(found: &Determination, told: CodesTold<'_>) -> String {
    let colours = Colours::for_stream(&io::stdout());
    let mut text = String::new();
    for finding in &found.findings {
        if finding.severity >= Severity::Attention {
            let in_full = report::finding(finding, told.wording, colours, WIDTH);
            text.push_str(&in_full);
        } else {
            let said = told.wording.tell(finding);
            let label = format!("  {}", told.phrases.word("note"));
            text.push_str(&hanging(&label, &said.message, INDENT));
            text.push('\n');
        }
    }
    text
}

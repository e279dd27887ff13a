//! Findings on one screen: in as much detail as fits, the worst first.

use crate::document::Wording;
use crate::finding::{Finding, Severity};

use super::report::{self, Colours};

/// Columns that findings are told in.
const WIDTH: usize = 79;

/// What is shown, and what is not.
pub struct Shown {
    /// The findings, each on lines of its own.
    pub text: String,
    /// Attentions that found no room.
    pub attentions: usize,
    /// Notes: none is shown.
    pub notes: usize,
    /// Whether reasons and advice are left out of some.
    pub is_cut: bool,
}

/// How much is told of a finding.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Detail {
    /// Place, reason and advice.
    Full,
    /// What is the matter.
    Message,
}

/// Stops and attentions in so many lines. Reasons and advice give way first, those of attentions
/// before those of stops, then the last attentions. A stop is always told.
pub fn findings(findings: &[Finding], lines: usize, wording: &Wording, colours: Colours) -> Shown {
    use Detail::{Full, Message};
    let of = |severity| findings.iter().filter(move |one| one.severity == severity);
    let told = |stops: Detail, attentions: Detail| -> Vec<String> {
        let tell = |detail: Detail| {
            move |finding: &Finding| match detail {
                Full => format!("{}\n", report::finding(finding, wording, colours, WIDTH)),
                Message => report::message(finding, wording, colours, WIDTH),
            }
        };
        let stops = of(Severity::Stop).map(tell(stops));
        stops
            .chain(of(Severity::Attention).map(tell(attentions)))
            .collect()
    };
    let degrees = [(Full, Full), (Full, Message), (Message, Message)];
    let fitting = degrees
        .into_iter()
        .map(|(stops, attentions)| ((stops, attentions), told(stops, attentions)))
        .find(|(_, told)| count(told) <= lines);
    let stops = of(Severity::Stop).count();
    let ((_, attentions), mut told) =
        fitting.unwrap_or_else(|| ((Message, Message), told(Message, Message)));
    let all = told.len();
    while told.len() > stops && count(&told) > lines {
        told.pop();
    }
    Shown {
        attentions: all - told.len(),
        notes: of(Severity::Note).count(),
        is_cut: attentions == Message && all > 0,
        text: told.concat().trim_end().to_owned() + if told.is_empty() { "" } else { "\n" },
    }
}

fn count(told: &[String]) -> usize {
    told.iter().map(|text| text.lines().count()).sum()
}

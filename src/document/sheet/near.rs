//! What must not meet, and jars that are taken for one another.

use serde::Serialize;

use crate::assessment::Assessment;
use crate::finding::{Finding, Severity};
use crate::provenance::Basis;

use super::mark;
use crate::document::Wording;

/// A pair that must not meet.
#[derive(Debug, Serialize)]
pub struct MeetView {
    severity: Severity,
    a: String,
    b: String,
    consequence: String,
    gas: Option<String>,
    text: String,
    advice: String,
    mark: &'static str,
}

/// A pair of jars.
#[derive(Debug, Serialize)]
pub struct LookAlikeView {
    name: String,
    other: String,
    tell: String,
    wrong: String,
    mark: &'static str,
}

fn fact(finding: &Finding, name: &str) -> String {
    finding
        .facts
        .get(name)
        .and_then(|value| value.as_str())
        .unwrap_or_default()
        .to_owned()
}

fn weakest(finding: &Finding) -> &'static str {
    finding
        .basis
        .iter()
        .flat_map(Basis::origins)
        .min()
        .map_or("", mark)
}

pub(super) fn meet(assessment: &Assessment, wording: &Wording) -> Vec<MeetView> {
    let pairs = assessment
        .findings
        .iter()
        .filter(|f| matches!(f.code.as_str(), "meet/reaction" | "meet/alone"));
    let views = pairs.map(|finding| MeetView {
        severity: finding.severity,
        a: wording.known(&fact(finding, "a")),
        b: wording.known(&fact(
            finding,
            if finding.code.as_str() == "meet/alone" {
                "alone"
            } else {
                "b"
            },
        )),
        consequence: fact(finding, "consequence"),
        gas: finding
            .facts
            .get("gas")
            .and_then(|gas| gas.as_str())
            .map(str::to_owned),
        text: fact(finding, "text"),
        advice: fact(finding, "advice"),
        mark: weakest(finding),
    });
    let mut kept: Vec<MeetView> = Vec::new();
    for view in views {
        // The worst comes first; the same partners with the same outcome need not be told twice.
        let told = |other: &MeetView| {
            other.gas == view.gas
                && other.consequence == view.consequence
                && other.a == view.a
                && other.b.contains(&view.b)
        };
        if !kept.iter().any(told) {
            kept.push(view);
        }
    }
    kept
}

/// The nearest two of each jar: the data list the likeliest mistake first. `check --all` prints all.
const NEAREST: usize = 2;

pub(super) fn look_alikes(assessment: &Assessment) -> Vec<LookAlikeView> {
    let mut views: Vec<LookAlikeView> = Vec::new();
    for finding in assessment
        .findings
        .iter()
        .filter(|finding| finding.code.as_str() == "name/look-alike")
    {
        let name = fact(finding, "name");
        if views.iter().filter(|view| view.name == name).count() < NEAREST {
            views.push(LookAlikeView {
                other: fact(finding, "other"),
                tell: fact(finding, "tell"),
                wrong: fact(finding, "wrong"),
                mark: weakest(finding),
                name,
            });
        }
    }
    views
}

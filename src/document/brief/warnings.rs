//! What warns, what must not meet, and the first minute.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::assessment::{Assessment, Measure};
use crate::catalogue::{Family, Guidance, Sign};
use crate::finding::{Finding, Severity};

use super::super::Wording;
use super::super::sheet::{self, Line, Material, line, mark};

/// Cautions at the bench that are told, the gravest first; the bench sheet has the rest.
const CAUTIONS: usize = 5;

/// A sign that something is wrong.
#[derive(Debug, Serialize)]
pub(super) struct SignView {
    pub(super) text: String,
    pub(super) means: Option<String>,
    pub(super) emergency: bool,
    pub(super) mark: &'static str,
}

/// Two things that must not meet.
#[derive(Debug, Clone, Serialize)]
pub(super) struct NeverView {
    pub(super) a: String,
    pub(super) b: String,
    pub(super) comes: String,
}

/// The first minute for one route.
#[derive(Debug, Serialize)]
pub(super) struct Aid {
    pub(super) minutes: Option<u32>,
    pub(super) text: String,
    pub(super) mark: &'static str,
}

/// A briefing does not hide that the day may not begin yet.
pub(super) fn stops(assessment: &Assessment, material: &Material<'_>) -> Vec<String> {
    let stops = assessment
        .findings
        .iter()
        .filter(|finding| finding.severity == Severity::Stop);
    stops
        .map(|finding| {
            let message = material.wording.tell(finding).message;
            message.trim_end_matches('.').to_owned()
        })
        .collect()
}

pub(super) fn no_data(assessment: &Assessment, material: &Material<'_>) -> Vec<String> {
    let unknown = assessment
        .chemicals
        .iter()
        .filter(|hazards| hazards.chemical.is_unclassified());
    unknown
        .map(|hazards| hazards.chemical.name_in(material.language).to_owned())
        .collect()
}

pub(super) fn signs(assessment: &Assessment, guidance: &Guidance) -> Vec<SignView> {
    let view = |sign: &Sign| SignView {
        text: sign.text.clone(),
        means: sign.means.clone(),
        emergency: sign.emergency,
        mark: mark(&sign.from),
    };
    sheet::signs_today(assessment, guidance)
        .into_iter()
        .map(view)
        .collect()
}

pub(super) fn cautions(assessment: &Assessment, material: &Material<'_>) -> Vec<Line> {
    let ids: BTreeSet<&String> = assessment
        .chemicals
        .iter()
        .flat_map(|hazards| &hazards.chemical.families)
        .collect();
    let mut families: Vec<&Family> = ids
        .into_iter()
        .filter_map(|id| material.catalogue.family(id))
        .collect();
    families.sort_by_key(|family| std::cmp::Reverse(family.rank));
    let mut lines: Vec<Line> = Vec::new();
    for caution in families.iter().filter_map(|family| family.handling.first()) {
        if !lines.iter().any(|line| line.text == caution.text) {
            lines.push(line(&caution.text, &caution.from));
        }
    }
    lines.truncate(CAUTIONS);
    lines
}

fn fact(finding: &Finding, name: &str) -> Option<String> {
    let text = finding.facts.get(name)?.as_str()?;
    (!text.is_empty()).then(|| text.to_owned())
}

pub(super) fn never(assessment: &Assessment, wording: &Wording) -> Vec<NeverView> {
    let mut pairs: Vec<NeverView> = Vec::new();
    let met = assessment
        .findings
        .iter()
        .filter(|finding| finding.code.as_str() == "meet/reaction");
    for finding in met {
        let (Some(a), Some(b)) = (fact(finding, "a"), fact(finding, "b")) else {
            continue;
        };
        let comes = fact(finding, "gas").or_else(|| fact(finding, "consequence"));
        // The worst comes first: one reason is enough to keep two things apart.
        if !pairs
            .iter()
            .any(|other| other.a == a && other.b.contains(&b))
        {
            pairs.push(NeverView {
                a: wording.known(&a),
                b: wording.known(&b),
                comes: comes.unwrap_or_default(),
            });
        }
    }
    pairs
}

pub(super) fn first_minute(measure: &Measure) -> Aid {
    let first = measure.lines.first();
    Aid {
        minutes: measure.minutes,
        text: first.map(|line| line.text.clone()).unwrap_or_default(),
        mark: first.map_or("", |line| mark(&line.origin)),
    }
}

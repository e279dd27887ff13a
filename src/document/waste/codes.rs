//! What the rules in force say of one waste: codes, properties, category, limits and duties, as a
//! page and the terminal tell them.

use serde::Serialize;
use serde_json::json;

use crate::catalogue::Catalogue;
use crate::document::{Told, Wording};
use crate::finding::{Finding, Severity};
use crate::provenance::Origin;
use crate::waste::{CodeLine, Determination, LimitLine, PropertyLine, RulePack};

use super::Phrases;

/// The page.
#[derive(Debug, Serialize)]
pub struct CodesView {
    title: String,
    /// What each of the rules in force says.
    pub places: Vec<PlaceView>,
    deference: String,
}

/// By the rules of one place.
#[derive(Debug, Serialize)]
pub struct PlaceView {
    /// Whose rules.
    pub title: String,
    /// Whether it is hazardous waste by them.
    pub verdict: String,
    hazardous: bool,
    /// The same in short.
    short: ShortView,
    /// Everything that follows, most telling first.
    pub lines: Vec<RuleLine>,
    findings: Vec<FindingView>,
}

/// What decides, without the reasons.
#[derive(Debug, Serialize)]
struct ShortView {
    /// Codes, the possible ones said to be so.
    codes: Vec<String>,
    /// Hazard properties, likewise.
    properties: Vec<String>,
    /// The generator category, a sentence.
    generator: Option<String>,
    /// Limits that are passed.
    over: Vec<String>,
    /// Whether the container counts as empty, a sentence.
    empty: Option<String>,
    /// How many limits and duties there are besides.
    besides: usize,
    /// How many notes.
    notes: usize,
}

/// One thing that the rules say.
#[derive(Debug, Serialize)]
pub struct RuleLine {
    /// A code, a property or what kind of thing it is; empty where the words say it.
    pub label: String,
    /// What is so and why.
    pub words: String,
    /// The place in the rules; empty where the words name it.
    pub source: String,
}

#[derive(Debug, Serialize)]
struct FindingView {
    severity: String,
    /// Whether it weighs more than a note.
    grave: bool,
    #[serde(flatten)]
    told: Told,
}

/// What a determination is told with.
#[derive(Clone, Copy)]
pub struct CodesTold<'a> {
    /// Findings and sentences in words.
    pub wording: &'a Wording,
    /// Sentences of the waste pages.
    pub phrases: &'a Phrases,
    /// What sources are called.
    pub catalogue: &'a Catalogue,
}

impl CodesView {
    /// The determinations of a waste, one a place.
    pub fn of(
        name: &str,
        packs: &[RulePack],
        found: &[Determination],
        told: CodesTold<'_>,
    ) -> Self {
        let places = packs.iter().zip(found);
        Self {
            title: told.phrases.say("codes_title", &json!({"name": name})),
            places: places
                .map(|(pack, one)| told.place(pack, one, found))
                .collect(),
            deference: told.wording.word("deference").to_owned(),
        }
    }
}

impl CodesTold<'_> {
    fn place(&self, pack: &RulePack, one: &Determination, all: &[Determination]) -> PlaceView {
        let verdict = if one.hazardous {
            "hazardous"
        } else {
            "not_shown"
        };
        PlaceView {
            title: self.wording.known(&pack.title),
            verdict: self.phrases.word(verdict),
            hazardous: one.hazardous,
            short: self.short(one, all),
            lines: self.lines(one, all),
            findings: one
                .findings
                .iter()
                .map(|finding| FindingView {
                    severity: self.severity(finding.severity),
                    grave: is_grave(finding),
                    told: self.wording.tell(finding),
                })
                .collect(),
        }
    }

    fn short(&self, one: &Determination, all: &[Determination]) -> ShortView {
        let code =
            |phrase: &str, line: &CodeLine| self.phrases.say(phrase, &json!({"code": line.code}));
        let certain = one.codes.iter().map(|line| match line.assumed {
            true => code("assumed_code", line),
            false => line.code.clone(),
        });
        let candidates = one.candidates.iter();
        let possible = one.possible.iter();
        let property = |line: &PropertyLine| match line.certain {
            true => line.hp.clone(),
            false => self.phrases.say("possible_code", &json!({"code": line.hp})),
        };
        let (over, below): (Vec<_>, Vec<_>) = one.limits.iter().partition(|limit| limit.breached);
        ShortView {
            codes: certain
                .chain(candidates.map(|line| code("candidate_code", line)))
                .chain(possible.map(|line| code("possible_code", line)))
                .collect(),
            properties: one.properties.iter().map(property).collect(),
            generator: one.generator.as_ref().map(|generator| {
                let facts = json!({"generator": generator});
                self.phrases.say("generator", &facts)
            }),
            over: over
                .into_iter()
                .map(|limit| self.limit(limit, is_lowest(limit, all)))
                .collect(),
            empty: one.empty.as_ref().map(|empty| {
                let verdict = if empty.empty { "empty" } else { "not_empty" };
                let because = self.wording.said(&empty.because);
                self.phrases.say(verdict, &json!({"because": because}))
            }),
            besides: below.len() + one.duties.len(),
            notes: one.findings.iter().filter(|f| !is_grave(f)).count(),
        }
    }

    fn severity(&self, severity: Severity) -> String {
        self.wording.word(&severity.to_string()).to_owned()
    }

    fn lines(&self, found: &Determination, all: &[Determination]) -> Vec<RuleLine> {
        let phrase = |name: &str, because: &str| {
            let because = self.wording.said(because);
            self.phrases.say(name, &json!({"because": because}))
        };
        let of_code = |line: &CodeLine, words: String| self.line(&line.code, words, &line.origin);
        let mut out: Vec<RuleLine> = Vec::new();
        for line in &found.codes {
            let because = if line.assumed {
                phrase("assumed", &line.because)
            } else {
                self.wording.said(&line.because)
            };
            out.push(of_code(line, because));
        }
        let perhaps = found.candidates.iter();
        out.extend(perhaps.map(|line| of_code(line, phrase("perhaps", &line.because))));
        let possible = found.possible.iter();
        out.extend(possible.map(|line| of_code(line, phrase("possible", &line.because))));
        for line in &found.properties {
            let because = if line.certain {
                self.wording.said(&line.because)
            } else {
                phrase("possible", &line.because)
            };
            out.push(self.line(&line.hp, because, &line.origin));
        }
        if let Some(generator) = &found.generator {
            let facts = json!({"generator": generator});
            out.push(RuleLine {
                label: String::new(),
                words: self.phrases.say("generator", &facts),
                source: String::new(),
            });
        }
        for limit in &found.limits {
            let words = self.limit(limit, is_lowest(limit, all));
            out.push(self.line(&self.phrases.word("limit"), words, &limit.origin));
        }
        if let Some(empty) = &found.empty {
            let verdict = if empty.empty { "empty" } else { "not_empty" };
            let words = phrase(verdict, &empty.because);
            out.push(self.line(&self.phrases.word("container"), words, &empty.origin));
        }
        out.extend(found.duties.iter().map(|duty| {
            let kind = self.wording.known(&duty.kind);
            self.line(&kind, self.wording.said(&duty.text), &duty.origin)
        }));
        out
    }

    fn line(&self, label: &str, words: String, origin: &Origin) -> RuleLine {
        let source = match origin {
            Origin::Published { at, .. } if !at.is_empty() => at.clone(),
            Origin::Published { reference, .. } => {
                let found = self.catalogue.bibliography().get(reference);
                found.map_or(reference, |found| &found.title).clone()
            }
            other => self.wording.known(&other.to_string()),
        };
        RuleLine {
            label: label.to_owned(),
            words,
            source,
        }
    }

    fn limit(&self, limit: &LimitLine, lowest: bool) -> String {
        let facts = json!({"what": limit.what, "strict": limit.strict, "value": limit.value.to_string(),
                           "unit": limit.unit, "actual": limit.actual.map(|actual| actual.to_string()), "breached": limit.breached,
                           "until": limit.until.map(|day| day.to_string()), "lowest": lowest});
        self.phrases.say("limit_words", &facts)
    }
}

/// Whether it weighs more than a note.
fn is_grave(finding: &Finding) -> bool {
    finding.severity > Severity::Note
}

/// Whether several rules limit the same thing and this limit is the lowest of them.
fn is_lowest(limit: &LimitLine, all: &[Determination]) -> bool {
    let same = all.iter().flat_map(|one| &one.limits);
    let same: Vec<f64> = same
        .filter(|other| other.measure == limit.measure && other.unit == limit.unit)
        .map(|other| other.value)
        .collect();
    all.len() > 1 && same.len() > 1 && same.iter().all(|other| limit.value <= *other)
}

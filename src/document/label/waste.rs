//! The labels of waste containers.

use std::collections::{BTreeMap, BTreeSet};

use crate::assessment::Assessment;
use crate::catalogue::{Catalogue, Stream};
use crate::classify::Signal;
use crate::ledger::label_id;
use crate::plan::Setting;
use crate::units::Volume;

use super::bottle::pictograms;
use super::sizes::LabelRules;
use super::{Field, Label, LabelWords, both, each};
use crate::document::Wording;

/// What waste labels are made with.
#[derive(Debug, Clone, Copy)]
struct Jug<'a> {
    catalogue: &'a Catalogue,
    rules: &'a LabelRules,
    words: &'a [LabelWords],
    wording: &'a Wording,
    setting: &'a Setting,
    capacity: Volume,
}

/// What is known of what goes into the container.
#[derive(Debug, Default)]
struct Known {
    contents: BTreeSet<String>,
    signal: Option<Signal>,
    pictograms: BTreeSet<String>,
    statements: BTreeSet<String>,
}

/// One label for every stream that the solutions of a session become.
pub fn of_session(
    assessment: &Assessment,
    catalogue: &Catalogue,
    rules: &LabelRules,
    words: &[LabelWords],
    wording: &Wording,
    capacity: Volume,
) -> Vec<Label> {
    let mut streams: BTreeMap<String, Known> = BTreeMap::new();
    for (solution, figures) in assessment.plan.solutions.iter().zip(&assessment.solutions) {
        let Some(stream) = &solution.stream else {
            continue;
        };
        // Undiluted or not: what is poured in may be either, so the worse of the two is shown.
        let baths = [Some(&figures.stock), figures.working.as_ref()];
        let known = streams.entry(stream.clone()).or_default();
        known.contents.insert(solution.title.clone());
        for label in baths
            .into_iter()
            .flatten()
            .map(|bath| &bath.classification.label)
        {
            known.signal = known.signal.max(label.signal);
            known.pictograms.extend(label.pictograms.iter().cloned());
            known.statements.extend(label.statements.iter().cloned());
        }
    }
    let jug = Jug {
        catalogue,
        rules,
        words,
        wording,
        setting: &assessment.plan.setting,
        capacity,
    };
    let ids: Vec<String> = streams.keys().cloned().collect();
    let stream =
        |(id, known): (String, Known)| Some(jug.label(catalogue.stream(&id)?, &known, &ids));
    streams.into_iter().filter_map(stream).collect()
}

/// The label of a stream of which nothing more is known than its name.
pub fn of_stream(
    stream: &Stream,
    catalogue: &Catalogue,
    rules: &LabelRules,
    words: &[LabelWords],
    wording: &Wording,
    (setting, capacity): (&Setting, Volume),
) -> Label {
    Jug {
        catalogue,
        rules,
        words,
        wording,
        setting,
        capacity,
    }
    .label(stream, &Known::default(), &[])
}

impl Jug<'_> {
    /// `neighbours`: the streams whose containers stand beside it.
    fn label(&self, stream: &Stream, known: &Known, neighbours: &[String]) -> Label {
        let id = label_id(&[
            "waste",
            &stream.id,
            self.setting.name.as_deref().unwrap_or(""),
        ]);
        let mut shown = known.pictograms.clone();
        shown.extend(
            self.rules
                .waste_pictograms(&stream.id, !known.contents.is_empty())
                .iter()
                .cloned(),
        );
        // A skull says more than an exclamation mark: the milder sign goes (CLP Art. 26(1)(b)).
        if shown.contains("GHS06") {
            shown.remove("GHS07");
        }
        let signal = if known.contents.is_empty() {
            self.rules.waste_signal(&stream.id)
        } else {
            known.signal
        };
        let title = self.rules.waste_title(&self.setting.rules);
        let shown: Vec<String> = shown.into_iter().collect();
        Label {
            title: vec![
                both(self.words, |w| w.word(title).to_owned()),
                both(self.words, |w| w.said(&stream.title)),
            ],
            details: self.details(stream),
            signal: each(self.words, |w| {
                signal.map_or(String::new(), |s| w.word(&s.to_string()).to_owned())
            }),
            hazards: each(self.words, |w| self.hazards(w, known, shown.is_empty())),
            pictograms: pictograms(&shown, self.wording),
            precautions: self.cautions(stream, neighbours),
            supplements: Vec::new(),
            fields: self.fields(known),
            foot: each(self.words, |w| {
                format!("{} {}", w.word("own"), w.word("defer"))
            }),
            further: both(self.words, |w| w.word("further").to_owned()),
            capacity: self.capacity,
            copies: 1,
            id,
        }
    }

    fn hazards(&self, words: &LabelWords, known: &Known, nothing_shown: bool) -> String {
        if known.statements.is_empty() {
            // Less than certain is never printed as harmless.
            let said = if nothing_shown {
                "hazards_unknown"
            } else {
                "hazards_usual"
            };
            return words.word(said).to_owned();
        }
        known
            .statements
            .iter()
            .map(|code| words.sentence(code, &[]))
            .collect::<Vec<_>>()
            .join(" ")
    }

    /// Of what it must not meet, the waste beside it is named; otherwise the commonest, which the
    /// data put first. The sentence itself speaks of every other waste.
    fn cautions(&self, stream: &Stream, neighbours: &[String]) -> Vec<String> {
        const MOST: usize = 3;
        let beside = |id: &&String| neighbours.contains(id);
        let near: Vec<&String> = stream.never_with.iter().filter(beside).collect();
        let others = if near.is_empty() {
            stream.never_with.iter().take(MOST).collect()
        } else {
            near
        };
        each(self.words, |w| {
            let named = |id: &&String| {
                let other = self.catalogue.stream(id);
                other.map_or_else(|| (*id).clone(), |other| w.named(&other.title))
            };
            let names: Vec<String> = others.iter().map(named).collect();
            let never =
                (!names.is_empty()).then(|| w.filled("never", "streams", &names.join(", ")));
            let why = (!stream.why_never.is_empty()).then(|| w.said(&stream.why_never));
            let headspace = Some(w.word("headspace").to_owned());
            [never, why, headspace]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(" ")
        })
    }

    /// The stream's label words, but for those that are its title again.
    fn details(&self, stream: &Stream) -> String {
        let again = |words: &&String| words.to_lowercase() == stream.title.to_lowercase();
        let words = stream.label_words.iter().filter(|words| !again(words));
        words
            .map(|words| both(self.words, |w| w.said(words)))
            .collect::<Vec<_>>()
            .join(" · ")
    }

    fn fields(&self, known: &Known) -> Vec<Field> {
        let field = |name: &str, value: Option<String>| Field {
            name: both(self.words, |w| w.word(name).to_owned()),
            value,
        };
        let contents: Vec<String> = known.contents.iter().cloned().collect();
        let setting = self.setting;
        let contact: Vec<String> = [&setting.responsible, &setting.name, &setting.phone]
            .into_iter()
            .flatten()
            .cloned()
            .collect();
        vec![
            field(
                "contents",
                (!contents.is_empty()).then(|| contents.join(", ")),
            ),
            field("since", None),
            field("contact", (!contact.is_empty()).then(|| contact.join(", "))),
            field("note", None),
        ]
    }
}

//! The rules in force at a place, told.

use serde::Serialize;

use crate::provenance::Origin;
use crate::rules::{
    BuiltIn, Document, InForce, LabelOn, Line, Need, Records, Rule, RuleFile, Target,
};

use super::Wording;

/// Everything `rules show` says.
#[derive(Debug, Serialize)]
pub struct RulesView {
    /// Whether nobody named any rules.
    assumed: bool,
    packs: Vec<PackView>,
    catalogue: Option<PackView>,
    files: Vec<FileView>,
    strictest: Vec<SubjectView>,
    loosened: Vec<LoosenedView>,
    refused: Vec<RefusedView>,
    lists: Vec<ListView>,
    all: bool,
    deference: String,
}

/// A pack of the law.
#[derive(Debug, Serialize)]
struct PackView {
    place: String,
    title: String,
    date: String,
    review_by: String,
    note: String,
}

/// A local file.
#[derive(Debug, Serialize)]
struct FileView {
    file: String,
    title: String,
    issued_by: Option<String>,
    cites: Option<String>,
    date: String,
    review_by: Option<String>,
    based_on: Vec<String>,
    rules: Vec<RuleView>,
}

/// One rule in words.
#[derive(Debug, Serialize)]
struct RuleView {
    part: &'static str,
    text: String,
    why: Option<String>,
    authority: Option<String>,
    line: usize,
}

/// A subject with its values, the one that acts first.
#[derive(Debug, Serialize)]
struct SubjectView {
    subject: String,
    values: Vec<ValueView>,
}

#[derive(Debug, Serialize)]
struct ValueView {
    text: String,
    whose: String,
    acts: bool,
    kind: &'static str,
    source: String,
}

#[derive(Debug, Serialize)]
struct LoosenedView {
    about: String,
    local: String,
    built_in: String,
    authority: String,
    rules: String,
    file: String,
    line: usize,
    source: String,
}

#[derive(Debug, Serialize)]
struct RefusedView {
    file: String,
    line: Option<usize>,
    column: Option<usize>,
    message: String,
    help: Vec<String>,
}

#[derive(Debug, Serialize)]
struct ListView {
    region: String,
    title: String,
    says: String,
    ask: String,
    date: String,
    source: String,
}

impl RulesView {
    /// Gathers what is in force; `source` puts an origin into words.
    pub fn of(
        in_force: &InForce,
        built_in: &BuiltIn<'_>,
        all: bool,
        source: &dyn Fn(&Origin) -> String,
        wording: &Wording,
    ) -> Self {
        let packs = in_force.packs.iter().map(|pack| PackView {
            place: pack.place.clone(),
            title: pack.title.clone(),
            date: pack.date.to_string(),
            review_by: pack.review_by.to_string(),
            note: pack.note.clone(),
        });
        let lists = in_force.lists.iter().filter(|list| {
            let here = |pack: &crate::waste::RulePack| pack.place == list.region;
            built_in.assumed || in_force.packs.iter().any(here)
        });
        Self {
            assumed: built_in.assumed,
            packs: packs.collect(),
            catalogue: in_force.edition.as_ref().map(|edition| PackView {
                place: "catalogue".to_owned(),
                title: "Catalogue".to_owned(),
                date: edition.date.to_string(),
                review_by: edition.review_by.to_string(),
                note: String::new(),
            }),
            files: in_force
                .files
                .iter()
                .map(|file| FileView::of(file, built_in))
                .collect(),
            strictest: in_force
                .strictest(built_in, all)
                .iter()
                .map(|line| SubjectView::of(line, source))
                .collect(),
            loosened: in_force
                .loosened
                .iter()
                .map(|one| LoosenedView {
                    about: one.subject.clone(),
                    local: one.local.clone(),
                    built_in: one.built_in.clone(),
                    authority: one.authority.clone(),
                    rules: one.rules.clone(),
                    file: one.file.clone(),
                    line: one.place.line,
                    source: source(&one.origin),
                })
                .collect(),
            refused: in_force
                .refused
                .iter()
                .map(|mistake| RefusedView {
                    file: mistake.file.clone(),
                    line: mistake.place.as_ref().map(|place| place.line),
                    column: mistake.place.as_ref().map(|place| place.column),
                    message: mistake.message.clone(),
                    help: mistake.help.clone(),
                })
                .collect(),
            lists: lists
                .map(|list| ListView {
                    region: list.region.clone(),
                    title: list.title.clone(),
                    says: list.says.clone(),
                    ask: list.ask.clone(),
                    date: list.date.to_string(),
                    source: source(&list.from),
                })
                .collect(),
            all,
            deference: wording.word("deference").to_owned(),
        }
    }
}

impl SubjectView {
    fn of(line: &Line, source: &dyn Fn(&Origin) -> String) -> Self {
        let values = line.values.iter().enumerate();
        Self {
            subject: line.subject.clone(),
            values: values
                .map(|(at, value)| ValueView {
                    text: value.text.clone(),
                    whose: value.whose.clone(),
                    acts: at == 0,
                    kind: value.origin.kind(),
                    source: source(&value.origin),
                })
                .collect(),
        }
    }
}

impl FileView {
    fn of(file: &RuleFile, built_in: &BuiltIn<'_>) -> Self {
        let authority = file.authority.as_ref();
        Self {
            file: file.file.clone(),
            title: file.title.clone(),
            issued_by: authority.and_then(|authority| authority.issued_by.clone()),
            cites: authority.and_then(|authority| authority.cites.clone()),
            date: file.date.to_string(),
            review_by: file.review_by.map(|day| day.to_string()),
            based_on: file
                .based_on
                .iter()
                .map(|name| name.value.clone())
                .collect(),
            rules: rules(file, built_in),
        }
    }
}

/// Every rule of a file in words, in the order of its lines.
fn rules(file: &RuleFile, built_in: &BuiltIn<'_>) -> Vec<RuleView> {
    let mut all = Vec::new();
    for rule in &file.limits {
        let limit = &rule.what;
        all.push(view(
            "limit",
            rule,
            format!("{} {}: {}", limit.name, limit.kind, limit.value),
        ));
    }
    for rule in &file.forbid {
        all.push(view("forbid", rule, rule.what.target.written.clone()));
    }
    for rule in &file.require {
        let text = format!(
            "{}{}",
            need(&rule.what.need, built_in),
            about(&rule.what.about)
        );
        all.push(view("require", rule, text));
    }
    for rule in &file.drain {
        let (_, text) = rule.what.in_words();
        all.push(view("drain", rule, format!("{}: {text}", rule.what.stream)));
    }
    for rule in &file.days {
        let text = format!("{}: {} days", rule.what.stream, rule.what.at_most);
        all.push(view("days", rule, text));
    }
    for rule in &file.labels {
        let on = match rule.what.on {
            LabelOn::Bottle => "bottle",
            LabelOn::Waste => "waste",
            LabelOn::All => "all",
        };
        all.push(view(
            "label",
            rule,
            format!("{on}{}: {}", about(&rule.what.about), rule.what.text),
        ));
    }
    if let Some(rule) = &file.emergency {
        let own = &rule.what;
        let named = [("emergency", &own.emergency), ("poison", &own.poison)];
        let named = named
            .into_iter()
            .filter_map(|(who, number)| Some(format!("{who} {}", number.as_ref()?)));
        let others = own
            .others
            .iter()
            .map(|(who, number)| format!("{who} {number}"));
        let text: Vec<String> = named.chain(others).collect();
        all.push(view("emergency", rule, text.join(", ")));
    }
    for rule in &file.ages {
        all.push(view(
            "age",
            rule,
            format!(
                "{} years at least{}",
                rule.what.at_least,
                about(&rule.what.about)
            ),
        ));
    }
    for rule in &file.retention {
        let records = match rule.what.records {
            Records::Waste => "waste",
            Records::Briefings => "briefings",
            Records::DataSheets => "data sheets",
        };
        all.push(view(
            "retention",
            rule,
            format!("{records}: {} at least", rule.what.at_least),
        ));
    }
    if let Some(rule) = &file.briefing_every {
        all.push(view("briefing", rule, format!("every {}", rule.what)));
    }
    for rule in &file.text {
        let on = Document::ALL
            .iter()
            .filter(|(_, one)| rule.what.on.contains(one));
        let on: Vec<&str> = on.map(|(name, _)| *name).collect();
        let text = format!(
            "{}{}: {}",
            on.join(", "),
            about(&rule.what.about),
            rule.what.text
        );
        all.push(view("text", rule, text));
    }
    all.sort_by_key(|rule| rule.line);
    all
}

fn view<T>(part: &'static str, rule: &Rule<T>, text: String) -> RuleView {
    RuleView {
        part,
        text,
        why: rule.why.clone(),
        authority: rule.authority.clone(),
        line: rule.place.line,
    }
}

fn about(target: &Option<Target>) -> String {
    let words = |target: &Target| format!(", for {}", target.written);
    target.as_ref().map(words).unwrap_or_default()
}

fn need(need: &Need, built_in: &BuiltIn<'_>) -> String {
    match need {
        Need::Wear(id) => {
            let item = built_in.catalogue.wear_item(id);
            format!("wear {}", item.map_or(id.as_str(), |item| &item.title))
        }
        Need::Changes(changes) => format!("{changes} changes of air an hour"),
        Need::FreshAir(flow) => format!("{flow} of fresh air"),
        Need::Supervision(role) if role.is_empty() => "supervision".to_owned(),
        Need::Supervision(role) => format!("supervision by {role}"),
        Need::SecondPerson => "a second person".to_owned(),
        Need::Eyewash => "an eyewash".to_owned(),
        Need::SpillKit => "a spill kit".to_owned(),
    }
}

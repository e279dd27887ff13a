//! A rule file as the person wrote it → [`RuleFile`]; every mistake at its place.

use std::sync::Arc;

use chrono::NaiveDate;

use crate::session::Written;
use crate::source::yaml::{self, Node, Value};
use crate::source::{Fields, Mistake, Mistakes, SourceFile};

use super::{Authority, BuiltIn, Named, Rule, RuleFile, parts};

const FIELDS: &[&str] = &[
    "title",
    "authority",
    "date",
    "review_by",
    "based_on",
    "limits",
    "forbid",
    "require",
    "drain",
    "days",
    "labels",
    "emergency",
    "ages",
    "retention",
    "briefing_every",
    "text",
];

/// What every rule may say beside what it sets.
const BESIDE: [&str; 2] = ["why", "authority"];

impl RuleFile {
    /// Reads a rule file.
    ///
    /// # Errors
    /// Everything in it that cannot be taken as it stands.
    pub fn read(file: &Arc<SourceFile>, built_in: &BuiltIn<'_>) -> Result<Self, Vec<Mistake>> {
        let node = yaml::parse(file).map_err(|mistake| vec![mistake])?;
        let mut mistakes = Mistakes::default();
        let rules = read(file, &node, built_in, &mut mistakes);
        mistakes.or_value(rules)
    }

    /// What a file builds on, before anything else of it is read.
    ///
    /// # Errors
    /// When it is no YAML that a person writes by hand.
    pub fn builds_on(file: &Arc<SourceFile>) -> Result<Vec<Written<String>>, Mistake> {
        let node = yaml::parse(file)?;
        let Value::Map(pairs) = &node.value else {
            return Ok(Vec::new());
        };
        let found = pairs.iter().find(|(key, _)| key.text() == Some("based_on"));
        let list = found.map_or(&[][..], |(_, node)| match &node.value {
            Value::List(items) => items.as_slice(),
            _ => std::slice::from_ref(node),
        });
        Ok(list.iter().filter_map(written).collect())
    }
}

fn written(node: &Node) -> Option<Written<String>> {
    Some(Written {
        value: node.text()?.to_owned(),
        place: node.place.clone(),
    })
}

fn read(
    file: &Arc<SourceFile>,
    node: &Node,
    built_in: &BuiltIn<'_>,
    mistakes: &mut Mistakes,
) -> Option<RuleFile> {
    let fields = Fields::of(node, "a rule file", FIELDS, mistakes)?;
    let mut reader = Reader { built_in, mistakes };
    let title = fields.required("title", "Rules of the print room", reader.mistakes);
    let date = fields.required("date", "2026-09-01", reader.mistakes);
    let (title, date) = (reader.text(title), reader.date(date));
    let review_by = reader.date(fields.get("review_by"));
    let rules = RuleFile {
        file: file.name.clone(),
        top: node.place.clone(),
        title: title.unwrap_or_default(),
        authority: fields
            .get("authority")
            .and_then(|node| reader.authority(node)),
        date: date.unwrap_or_default(),
        review_by,
        based_on: fields
            .list("based_on")
            .iter()
            .filter_map(|node| reader.name(node))
            .collect(),
        limits: parts::limits(fields.list("limits"), &mut reader),
        forbid: parts::forbid(fields.list("forbid"), &mut reader),
        require: parts::require(fields.list("require"), &mut reader),
        drain: parts::drain(fields.list("drain"), &mut reader),
        days: parts::days(fields.list("days"), &mut reader),
        labels: parts::labels(fields.list("labels"), &mut reader),
        emergency: fields
            .get("emergency")
            .and_then(|node| parts::emergency(node, &mut reader)),
        ages: parts::ages(fields.list("ages"), &mut reader),
        retention: parts::retention(fields.list("retention"), &mut reader),
        briefing_every: fields
            .get("briefing_every")
            .and_then(|node| reader.bare(node)),
        text: parts::text(fields.list("text"), &mut reader),
    };
    reviewed_after(&rules, &fields, mistakes);
    Some(rules)
}

fn reviewed_after(rules: &RuleFile, fields: &Fields<'_>, mistakes: &mut Mistakes) {
    let Some(node) = fields.get("review_by") else {
        return;
    };
    if rules.review_by.is_some_and(|by| by < rules.date) {
        let message = format!(
            "`review_by` lies before the rules' `date` of {}",
            rules.date
        );
        let help = "write the day the rules must be looked at again";
        mistakes.note(Mistake::at(node.place.clone(), message, help));
    }
}

/// What the parts of a file are read with.
pub(super) struct Reader<'a, 'b> {
    pub built_in: &'a BuiltIn<'b>,
    pub mistakes: &'a mut Mistakes,
}

impl Reader<'_, '_> {
    pub fn text(&mut self, node: Option<&Node>) -> Option<String> {
        Some(node?.plain(self.mistakes)?.trim().to_owned())
    }

    fn name(&mut self, node: &Node) -> Option<Written<String>> {
        let value = node.plain(self.mistakes)?.to_owned();
        Some(Written {
            value,
            place: node.place.clone(),
        })
    }

    fn date(&mut self, node: Option<&Node>) -> Option<NaiveDate> {
        let node = node?;
        let text = node.plain(self.mistakes)?;
        let date = NaiveDate::parse_from_str(text.trim(), "%Y-%m-%d").ok();
        if date.is_none() {
            let message = format!("`{text}` is not a date");
            self.wrong(node, message, "write year-month-day, like `2026-12-03`");
        }
        date
    }

    fn authority(&mut self, node: &Node) -> Option<Authority> {
        if let Some(text) = node.text() {
            return Some(Authority {
                issued_by: None,
                cites: Some(text.to_owned()),
            });
        }
        let known = ["issued_by", "cites"];
        let fields = Fields::of(node, "an authority", &known, self.mistakes)?;
        Some(Authority {
            issued_by: fields.text("issued_by", self.mistakes),
            cites: fields.text("cites", self.mistakes),
        })
    }

    /// A rule written as its value alone.
    fn bare<T>(&mut self, node: &Node) -> Option<Rule<T>>
    where
        T: std::str::FromStr,
        T::Err: std::fmt::Display,
    {
        Some(Rule {
            what: node.parse(self.mistakes)?,
            why: None,
            authority: None,
            place: node.place.clone(),
        })
    }

    /// The fields of a rule; `why` and `authority` may stand in every one.
    pub fn fields<'n>(
        &mut self,
        node: &'n Node,
        what: &'static str,
        known: &[&str],
    ) -> Option<Fields<'n>> {
        let all: Vec<&str> = known.iter().copied().chain(BESIDE).collect();
        Fields::of(node, what, &all, self.mistakes)
    }

    /// A rule that sets something, with what stands beside it.
    pub fn rule<T>(&mut self, what: T, fields: &Fields<'_>) -> Rule<T> {
        let why = fields.text("why", self.mistakes);
        let authority = fields.text("authority", self.mistakes);
        Rule {
            what,
            why,
            authority,
            place: fields.place().clone(),
        }
    }

    pub fn wrong(&mut self, node: &Node, message: impl Into<String>, help: impl Into<String>) {
        self.mistakes
            .note(Mistake::at(node.place.clone(), message, help));
    }
}

/// A file and what it builds on, for the order of reading.
impl Named<Arc<SourceFile>> {
    /// Under the name others call it by.
    ///
    /// # Errors
    /// When it is no YAML that a person writes by hand.
    pub fn of(name: &str, file: &Arc<SourceFile>) -> Result<Self, Mistake> {
        Ok(Self {
            name: name.to_owned(),
            based_on: RuleFile::builds_on(file)?,
            file: Arc::clone(file),
        })
    }
}

/// `spent-fixer: none`: a group of one name that is no field.
pub(super) fn short<'n>(node: &'n Node, fields: &[&str]) -> Option<(&'n Node, &'n Node)> {
    let Value::Map(pairs) = &node.value else {
        return None;
    };
    match pairs.as_slice() {
        [(key, value)] if !fields.contains(&key.text()?) => Some((key, value)),
        _ => None,
    }
}

//! `explain`: what a finding code means.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, Write};
use std::process::ExitCode;

use clap::{Args, ValueEnum};
use serde::Deserialize;
use serde_json::json;

use crate::catalogue::{Catalogue, CodeText};
use crate::document::Wording;
use crate::document::waste::Phrases;
use crate::source::nearest;

use super::report::wrap;
use super::workspace::{Given, Workspace};
use super::{Error, rules};

/// Explain a finding code; without one, list them all.
#[derive(Args)]
pub struct Explain {
    /// The code, as printed in brackets: `order/water-onto-acid`; or a room: `order`.
    code: Option<String>,
    /// Without a code: the codes of every room.
    #[arg(long)]
    all: bool,
    /// Language of the titles and explanations; otherwise the workspace's.
    #[arg(long, value_name = "LANG")]
    language: Option<String>,
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

#[derive(Clone, Copy, ValueEnum)]
enum Format {
    Text,
    Json,
}

impl Explain {
    /// Runs the command.
    ///
    /// # Errors
    /// When the code is not known, or a data file cannot be used.
    pub fn run(self, given: Given<'_>) -> Result<ExitCode, Error> {
        let workspace = Workspace::open(given, None)?;
        let files = workspace.catalogue.files();
        let language = rules::language(&workspace, self.language.as_deref());
        let wording = Wording::load(files, &language)?;
        let phrases = Phrases::of(files, &language, super::WORDS)?;
        let known = known(&wording, &workspace.catalogue, &language)?;
        let text = match (&self.code, self.format) {
            (Some(code), format) => match (of_room(&known, code).as_slice(), format) {
                ([], Format::Json) => format!("{:#}", as_json(find(&known, code)?)),
                ([], Format::Text) => one(find(&known, code)?),
                (codes, Format::Json) => listed(codes),
                (codes, Format::Text) => titles(codes),
            },
            (None, Format::Json) => listed(&known.iter().collect::<Vec<_>>()),
            (None, Format::Text) if self.all => by_room(&known, &phrases),
            (None, Format::Text) => rooms(&known, &phrases),
        };
        super::output::tolerate_closed_pipe(writeln!(io::stdout().lock(), "{text}"))?;
        Ok(ExitCode::SUCCESS)
    }
}

/// Columns of a terminal.
const WIDTH: usize = 79;

fn one(code: &CodeText) -> String {
    let lines = wrap(&code.explanation, WIDTH).join("\n");
    format!("{}: {}\n\n{lines}", code.code, code.title)
}

fn listed(codes: &[&CodeText]) -> String {
    let codes: Vec<_> = codes.iter().map(|code| as_json(code)).collect();
    format!("{:#}", json!({"codes": codes}))
}

fn titles(codes: &[&CodeText]) -> String {
    let width = codes.iter().map(|c| c.code.len()).max().unwrap_or(0);
    let rest = format!("\n{}", " ".repeat(width + 2));
    let line = |c: &&CodeText| {
        let title = wrap(&c.title, WIDTH - width - 2).join(&rest);
        format!("{:width$}  {title}", c.code)
    };
    codes.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// What stands after the slash, by what stands before it.
fn slugs(codes: &[CodeText]) -> BTreeMap<&str, Vec<&str>> {
    let mut rooms: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for code in codes {
        let (room, slug) = code.code.split_once('/').unwrap_or((&code.code, ""));
        rooms.entry(room).or_default().push(slug);
    }
    rooms
}

/// How many codes each room has: a few lines.
fn rooms(codes: &[CodeText], phrases: &Phrases) -> String {
    let rooms = slugs(codes);
    let each: Vec<String> = rooms
        .iter()
        .map(|(room, slugs)| format!("{room}\u{a0}{}", slugs.len()))
        .collect();
    let head = phrases.say(
        "rooms",
        &json!({"codes": codes.len(), "rooms": rooms.len()}),
    );
    format!(
        "{}\n\n  {}\n\n{}",
        wrap(&head, WIDTH).join("\n"),
        wrap(&each.join(" · "), WIDTH - 2).join("\n  "),
        wrap(&phrases.word("explain_more"), WIDTH).join("\n")
    )
}

/// The codes of each room on as few lines as they need.
fn by_room(codes: &[CodeText], phrases: &Phrases) -> String {
    let rooms = slugs(codes);
    let width = rooms.keys().map(|room| room.len()).max().unwrap_or(0);
    let rest = format!("\n{}", " ".repeat(width + 2));
    let line = |(room, slugs): (&str, Vec<&str>)| {
        let slugs = wrap(&slugs.join(" "), WIDTH - width - 2).join(&rest);
        format!("{room:width$}  {slugs}")
    };
    let lines: Vec<String> = rooms.into_iter().map(line).collect();
    let more = wrap(&phrases.word("explain_one"), WIDTH).join("\n");
    format!("{}\n\n{more}", lines.join("\n"))
}

/// Every code with its title and explanation, in order; in English and marked where the language has
/// none.
fn known(wording: &Wording, catalogue: &Catalogue, language: &str) -> Result<Vec<CodeText>, Error> {
    let files = catalogue.files();
    let english = Wording::load(files, "en")?;
    let path = format!("templates/{language}/explain.yaml");
    let own: BTreeMap<String, Explained> = match files.text(&path) {
        Some(_) => files.read(&path)?,
        None => BTreeMap::new(),
    };
    let of_rules = catalogue
        .order_codes()
        .iter()
        .map(|text| text.code.as_str());
    let codes: BTreeSet<&str> = english.codes().chain(of_rules).collect();
    let told = codes.into_iter().filter_map(|code| {
        let text = english.explanation(code, catalogue)?;
        Some(match own.get(code) {
            Some(own) => CodeText {
                title: own.title.clone(),
                explanation: own.explanation.clone(),
                ..text
            },
            None if language == "en" => text,
            None => CodeText {
                title: wording.said(&text.title),
                ..text
            },
        })
    });
    Ok(told.collect())
}

/// What a language says of a code.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Explained {
    title: String,
    explanation: String,
}

fn as_json(code: &CodeText) -> serde_json::Value {
    json!({"code": code.code, "title": code.title, "explanation": code.explanation})
}

/// The codes of a room, none where it is not one.
fn of_room<'c>(known: &'c [CodeText], room: &str) -> Vec<&'c CodeText> {
    let of = |text: &&CodeText| text.code.split('/').next() == Some(room.trim());
    known.iter().filter(of).collect()
}

fn find<'c>(known: &'c [CodeText], code: &str) -> Result<&'c CodeText, Error> {
    let code = code.trim().trim_matches(['[', ']']);
    let found = known
        .iter()
        .find(|text| text.code.eq_ignore_ascii_case(code));
    found.ok_or_else(|| {
        let codes = || known.iter().map(|text| text.code.as_str());
        let slug = |text: &str| text.rsplit('/').next().unwrap_or(text).to_owned();
        // Someone may remember the slug and not the room.
        let same_slug = codes().find(|other| slug(other) == slug(code));
        let help = match nearest(code, codes()).or(same_slug) {
            Some(near) => format!("did you mean `{near}`? `wetside explain` lists them all"),
            None => "`wetside explain` lists them all".to_owned(),
        };
        Error::other(format!("`{code}` is not a finding code"), help)
    })
}

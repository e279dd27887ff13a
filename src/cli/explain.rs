//! `explain`: what a finding code means.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, Write};
use std::process::ExitCode;

use clap::{Args, ValueEnum};
use serde_json::json;

use crate::catalogue::{Catalogue, CodeText};
use crate::document::Wording;
use crate::source::nearest;

use super::Error;
use super::report::wrap;
use super::workspace::{Given, Workspace};

/// Explain a finding code; without one, list them all.
#[derive(Args)]
pub struct Explain {
    /// The code, as printed in brackets: `order/water-onto-acid`; or a room: `order`.
    code: Option<String>,
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
        let wording = Wording::load(workspace.catalogue.files(), "en")?;
        let known = known(&wording, &workspace.catalogue);
        let text = match &self.code {
            Some(code) => match of_room(&known, code).as_slice() {
                [] => self.one(find(&known, code)?),
                codes => self.room(codes),
            },
            None => self.all(&known),
        };
        super::output::tolerate_closed_pipe(writeln!(io::stdout().lock(), "{text}"))?;
        Ok(ExitCode::SUCCESS)
    }

    fn one(&self, code: &CodeText) -> String {
        match self.format {
            Format::Json => format!("{:#}", as_json(code)),
            Format::Text => {
                let lines = wrap(&code.explanation, WIDTH).join("\n");
                format!("{}: {}\n\n{lines}", code.code, code.title)
            }
        }
    }

    fn all(&self, codes: &[CodeText]) -> String {
        match self.format {
            Format::Json => format!(
                "{:#}",
                json!({"codes": codes.iter().map(as_json).collect::<Vec<_>>()})
            ),
            Format::Text => by_room(codes),
        }
    }

    fn room(&self, codes: &[&CodeText]) -> String {
        let width = codes.iter().map(|c| c.code.len()).max().unwrap_or(0);
        let line = |c: &&CodeText| {
            let rest = format!("\n{}", " ".repeat(width + 2));
            let title = wrap(&c.title, WIDTH - width - 2).join(&rest);
            format!("{:width$}  {title}", c.code)
        };
        match self.format {
            Format::Json => format!(
                "{:#}",
                json!({"codes": codes.iter().map(|code| as_json(code)).collect::<Vec<_>>()})
            ),
            Format::Text => codes.iter().map(line).collect::<Vec<_>>().join("\n"),
        }
    }
}

/// Columns of a terminal.
const WIDTH: usize = 79;

/// The codes of each room on as few lines as they need: all of them on a screen.
fn by_room(codes: &[CodeText]) -> String {
    let mut rooms: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for code in codes {
        let (room, slug) = code.code.split_once('/').unwrap_or((&code.code, ""));
        rooms.entry(room).or_default().push(slug);
    }
    let width = rooms.keys().map(|room| room.len()).max().unwrap_or(0);
    let rest = format!("\n{}", " ".repeat(width + 2));
    let line = |(room, slugs): (&str, Vec<&str>)| {
        let slugs = wrap(&slugs.join(" "), WIDTH - width - 2).join(&rest);
        format!("{room:width$}  {slugs}")
    };
    let lines: Vec<String> = rooms.into_iter().map(line).collect();
    format!(
        "{}\n\n`wetside explain air` gives the titles of a room, `explain air/dust` one code",
        lines.join("\n")
    )
}

/// Every code with its title and explanation, in order.
fn known(wording: &Wording, catalogue: &Catalogue) -> Vec<CodeText> {
    let of_rules = catalogue
        .order_codes()
        .iter()
        .map(|text| text.code.as_str());
    let codes: BTreeSet<&str> = wording.codes().chain(of_rules).collect();
    codes
        .into_iter()
        .filter_map(|code| wording.explanation(code, catalogue))
        .collect()
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

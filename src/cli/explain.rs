//! `explain`: what a finding code means.

use std::collections::BTreeSet;
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
    /// The code, as printed in brackets: `order/water-onto-acid`.
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
            Some(code) => self.one(find(&known, code)?),
            None => self.all(&known),
        };
        super::output::tolerate_closed_pipe(writeln!(io::stdout().lock(), "{text}"))?;
        Ok(ExitCode::SUCCESS)
    }

    fn one(&self, code: &CodeText) -> String {
        match self.format {
            Format::Json => format!("{:#}", as_json(code)),
            Format::Text => {
                let lines = wrap(&code.explanation, 90).join("\n");
                format!("{}: {}\n\n{lines}", code.code, code.title)
            }
        }
    }

    fn all(&self, codes: &[CodeText]) -> String {
        let width = codes.iter().map(|c| c.code.len()).max().unwrap_or(0);
        let line = |c: &CodeText| format!("{:width$}  {}", c.code, c.title);
        match self.format {
            Format::Json => format!(
                "{:#}",
                json!({"codes": codes.iter().map(as_json).collect::<Vec<_>>()})
            ),
            Format::Text => codes.iter().map(line).collect::<Vec<_>>().join("\n"),
        }
    }
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

//! `catalogue sources`: the bibliography, and how often each source is cited.

use std::process::ExitCode;

use clap::Args;
use serde_json::json;

use crate::assessment::audit;
use crate::provenance::{Reading, Reference};

use super::super::Error;
use super::super::report::wrap;
use super::super::workspace::Workspace;
use super::{Answer, Format};

/// List the sources most cited, how each was seen, and how many data cite it.
#[derive(Args)]
pub struct Sources {
    /// Every source, with its notes.
    #[arg(long)]
    all: bool,
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

impl Sources {
    pub(super) fn answer(&self, workspace: &Workspace) -> Result<Answer, Error> {
        let audit = audit(&workspace.catalogue, workspace.rules()?);
        let bibliography = workspace.catalogue.bibliography();
        let used = audit.sourcing.sources.iter();
        let cited: Vec<(&Reference, usize)> = used
            .filter_map(|source| Some((bibliography.get(&source.id)?, source.uses)))
            .collect();
        let entry = |(source, uses): &(&Reference, usize)| {
            json!({
                "id": source.id, "title": source.title, "year": source.year, "kind": source.kind,
                "read": seen(source.read), "note": source.note, "uses": uses,
            })
        };
        let text = if self.all {
            let all = cited.iter().map(|(source, uses)| told(source, *uses));
            format!("{}{} sources\n", all.collect::<String>(), cited.len())
        } else {
            most_cited(&cited)
        };
        Ok(Answer {
            text,
            json: json!({"sources": cited.iter().map(entry).collect::<Vec<_>>()}),
            exit: ExitCode::SUCCESS,
        })
    }
}

/// How many sources a screen shows.
const A_SCREEN: usize = 20;

fn most_cited(cited: &[(&Reference, usize)]) -> String {
    let mut most: Vec<&(&Reference, usize)> = cited.iter().collect();
    most.sort_by_key(|(_, uses)| std::cmp::Reverse(*uses));
    let line = |(source, uses): &(&Reference, usize)| {
        let title = wrap(&source.title, 71);
        let more = if title.len() > 1 { " …" } else { "" };
        let title = title.first().map_or("", String::as_str);
        format!("{uses:>5}  {title}{more}\n")
    };
    let lines: String = most.into_iter().take(A_SCREEN).map(line).collect();
    let ways = [
        Reading::Full,
        Reading::Part,
        Reading::Opening,
        Reading::Copy,
        Reading::Library,
    ];
    let counted = ways.map(|way| {
        let of = cited.iter().filter(|(source, _)| source.read == way);
        format!("{} {}", of.count(), seen(way))
    });
    let all = format!(
        "{} sources: {}. `wetside catalogue sources --all` lists them.",
        cited.len(),
        counted.join(", ")
    );
    format!("{lines}\n{}\n", wrap(&all, 79).join("\n"))
}

fn told(source: &Reference, uses: usize) -> String {
    let year = Some(source.year_shown()).filter(|year| !year.is_empty());
    let year = year.map_or(String::new(), |year| format!(" ({year})"));
    let note = if source.note.is_empty() {
        String::new()
    } else {
        format!(". {}", source.note)
    };
    let lines = wrap(
        &format!("{}{year}, {}{note}", source.title, seen(source.read)),
        72,
    );
    format!(
        "{uses:>5}  {}\n       {}\n",
        source.id,
        lines.join("\n       ")
    )
}

fn seen(reading: Reading) -> &'static str {
    match reading {
        Reading::Full => "read in full",
        Reading::Part => "read in part",
        Reading::Opening => "its opening read",
        Reading::Copy => "a copy read",
        Reading::Library => "values printed by it",
    }
}

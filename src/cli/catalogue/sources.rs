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

/// List the sources, how each was seen, and how many data cite it.
#[derive(Args)]
pub struct Sources {
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
        let mut text: String = cited
            .iter()
            .map(|(source, uses)| told(source, *uses))
            .collect();
        text.push_str(&format!("{} sources\n", cited.len()));
        Ok(Answer {
            text,
            json: json!({"sources": cited.iter().map(entry).collect::<Vec<_>>()}),
            exit: ExitCode::SUCCESS,
        })
    }
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

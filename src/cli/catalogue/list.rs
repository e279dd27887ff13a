//! `catalogue list`: the entries, all or some.

use std::collections::{BTreeMap, BTreeSet};
use std::process::ExitCode;

use clap::Args;
use serde_json::{Value, json};

use crate::assessment::{ChemicalHazards, hazards_of};
use crate::catalogue::{Catalogue, fold};
use crate::source::nearest;

use super::super::Error;
use super::super::report::wrap;
use super::super::words::hanging;
use super::super::workspace::Workspace;
use super::{Answer, Format};

/// List the chemicals by what they are used for, or with their hazards those of a role, hazard
/// or waste stream.
#[derive(Args)]
pub struct List {
    /// What it is used for: `developing agent`, `bleach` …
    #[arg(long)]
    role: Option<String>,
    /// A statement (`H317`), a class (`Carc.`, `Skin Sens. 1`), a pictogram (`GHS06`) or a signal word.
    #[arg(long, value_name = "HAZARD")]
    hazard: Option<String>,
    /// The waste stream it goes into.
    #[arg(long)]
    stream: Option<String>,
    /// All of them with their hazards, every hydrate and strength on a line.
    #[arg(long)]
    all: bool,
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

impl List {
    pub(super) fn answer(&self, workspace: &Workspace) -> Result<Answer, Error> {
        let catalogue = &workspace.catalogue;
        let rules = workspace.rules()?;
        let all: Vec<ChemicalHazards> = catalogue
            .chemicals()
            .map(|c| hazards_of(c, rules))
            .collect();
        let role = self
            .role
            .as_deref()
            .map(|role| known_role(role, catalogue))
            .transpose()?;
        let stream = self
            .stream
            .as_deref()
            .map(|stream| known_stream(stream, catalogue))
            .transpose()?;
        let hazard = self.hazard.as_deref().map(fold);
        if let (Some(asked), Some(key)) = (&self.hazard, &hazard) {
            let known = rules.tables.classes.iter().any(|row| {
                fold(&row.class).starts_with(key)
                    || row
                        .statement
                        .iter()
                        .chain(&row.also)
                        .chain(&row.variants)
                        .any(|code| fold(code).starts_with(key))
            });
            if !known && !all.iter().any(|one| carries(one, key)) {
                let help = "a hazard is a statement (H317), a class (Skin Sens. 1), a pictogram (GHS06) or a signal word";
                return Err(Error::other(
                    format!("`{asked}` is no hazard known here"),
                    help,
                ));
            }
        }
        let fits = |one: &&ChemicalHazards| {
            let c = &one.chemical;
            role.as_ref().is_none_or(|role| c.roles.contains(role))
                && stream
                    .as_ref()
                    .is_none_or(|id| c.disposal.as_ref().is_some_and(|d| d.stream == *id))
                && hazard.as_ref().is_none_or(|key| carries(one, key))
        };
        let found: Vec<&ChemicalHazards> = all.iter().filter(fits).collect();
        Ok(Answer {
            text: if self.all || self.is_filtered() {
                table(&found)
            } else {
                by_role(catalogue)
            },
            json: json!({"chemicals": found.iter().map(|one| entry(one)).collect::<Vec<_>>()}),
            exit: ExitCode::SUCCESS,
        })
    }
}

impl List {
    fn is_filtered(&self) -> bool {
        self.role.is_some() || self.hazard.is_some() || self.stream.is_some()
    }
}

/// Every substance under each of its roles, hydrates and strengths left out: about a screen.
fn by_role(catalogue: &Catalogue) -> String {
    let mut roles: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for chemical in catalogue.chemicals().filter(|c| c.form_of.is_none()) {
        for role in &chemical.roles {
            roles.entry(role).or_default().push(&chemical.id);
        }
    }
    let width = roles.keys().map(|role| role.len()).max().unwrap_or(0) + 2;
    let lines = roles
        .iter()
        .map(|(role, ids)| hanging(role, &ids.join(", "), width) + "\n");
    let lines: String = lines.collect();
    let all = format!(
        "{} chemicals, hydrates and strengths included. `wetside catalogue list --all` gives them \
         with their hazards, `--role bleach` those of a role; `wetside card` tells all of one.",
        catalogue.chemicals().count()
    );
    format!("{lines}\n{}\n", wrap(&all, 79).join("\n"))
}

/// Whether an entry prints this statement, class, pictogram or signal word.
fn carries(one: &ChemicalHazards, key: &str) -> bool {
    let label = &one.label;
    let codes = label
        .statements
        .iter()
        .chain(&label.supplemental)
        .chain(&label.pictograms);
    let classes = one
        .classes
        .iter()
        .flat_map(|class| [class.name(), class.statement.as_str()]);
    let mut words = codes.map(String::as_str).chain(classes);
    words.any(|word| fold(word).starts_with(key))
        || label
            .signal
            .is_some_and(|signal| fold(&signal.to_string()) == key)
}

fn known_role(asked: &str, catalogue: &Catalogue) -> Result<String, Error> {
    let roles: BTreeSet<&String> = catalogue.chemicals().flat_map(|c| &c.roles).collect();
    let found = roles.iter().find(|role| fold(role) == fold(asked));
    found.map(|role| (*role).clone()).ok_or_else(|| {
        let all = roles
            .iter()
            .map(|role| role.as_str())
            .collect::<Vec<_>>()
            .join(", ");
        Error::other(format!("`{asked}` is no role"), format!("roles are {all}"))
    })
}

fn known_stream(asked: &str, catalogue: &Catalogue) -> Result<String, Error> {
    catalogue
        .stream(asked)
        .map(|stream| stream.id.clone())
        .ok_or_else(|| {
            let ids = || catalogue.streams().map(|stream| stream.id.as_str());
            let help = match nearest(asked, ids()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("streams are {}", ids().collect::<Vec<_>>().join(", ")),
            };
            Error::other(format!("`{asked}` is no waste stream"), help)
        })
}

fn entry(one: &ChemicalHazards) -> Value {
    let c = &one.chemical;
    json!({
        "id": c.id,
        "name": c.name,
        "cas": c.cas,
        "roles": c.roles,
        "signal": one.label.signal,
        "pictograms": one.label.pictograms,
        "statements": one.label.statements,
        "classes": one.classes.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "classified": !c.is_unclassified(),
        "stream": c.disposal.as_ref().map(|disposal| &disposal.stream),
    })
}

fn table(found: &[&ChemicalHazards]) -> String {
    let width = found
        .iter()
        .map(|one| one.chemical.id.len())
        .max()
        .unwrap_or(0);
    let mut text = String::new();
    for one in found {
        let c = &one.chemical;
        let signal = match one.label.signal {
            Some(signal) => signal.to_string(),
            None if c.is_unclassified() => "no data".to_owned(),
            None => "–".to_owned(),
        };
        let pictograms = one
            .label
            .pictograms
            .iter()
            .map(|id| id.trim_start_matches("GHS"));
        let pictograms = pictograms.collect::<Vec<_>>().join(" ");
        let cas = c.cas.as_deref().unwrap_or("no CAS");
        let line = format!("{:width$}  {cas:>11}  {signal:7}  {pictograms}", c.id);
        text.push_str(line.trim_end());
        text.push('\n');
    }
    let plural = if found.len() == 1 { "" } else { "s" };
    text.push_str(&format!(
        "{} chemical{plural}; pictograms by their GHS number\n",
        found.len()
    ));
    text
}

//! Whose rules a command goes by: those named, or the workspace's, or a stated default.

use std::path::PathBuf;

use serde_json::Value;

use crate::waste::{Holder, RulePack};

use super::Error;
use super::workspace::{self, Workspace};

/// Rules compiled in.
const PLACES: [&str; 3] = ["eu", "uk", "us"];

/// What holds where nobody says whose rules apply.
const DEFAULT: &str = "eu";

/// The rules in force, at least one pack; a local rule file is laid over the packs it belongs to.
///
/// # Errors
/// When a name leads to no rules, or a rule file cannot be used.
pub fn packs(workspace: &Workspace, named: &[String]) -> Result<Vec<RulePack>, Error> {
    let of_place = workspace.place.iter().flat_map(|place| &place.rules);
    let mut names: Vec<String> = named.to_vec();
    if names.is_empty() {
        names = of_place.map(|rule| rule.value.clone()).collect();
    }
    let locals: Vec<Local> = names
        .iter()
        .filter(|name| !PLACES.contains(&name.as_str()))
        .map(|name| Local::read(name, workspace))
        .collect::<Result<_, _>>()?;
    let mut places: Vec<&str> = Vec::new();
    let built_in = names
        .iter()
        .map(String::as_str)
        .filter(|name| PLACES.contains(name));
    for place in built_in.chain(locals.iter().filter_map(|local| local.base.as_deref())) {
        if !places.contains(&place) {
            places.push(place);
        }
    }
    if places.is_empty() {
        places.push(DEFAULT);
    }
    places
        .into_iter()
        .map(|place| pack(workspace, place, &locals))
        .collect()
}

fn pack(workspace: &Workspace, place: &str, locals: &[Local]) -> Result<RulePack, Error> {
    let mut pack = RulePack::load(workspace.catalogue.files(), place)?;
    for local in locals {
        if local.base.as_deref().is_none_or(|base| base == place) {
            pack = pack.with_local(&local.file, &local.json)?;
        }
    }
    Ok(pack)
}

/// A rule file of the person.
struct Local {
    file: String,
    /// Whose rules it changes; all that are in force where it does not say.
    base: Option<String>,
    json: String,
}

impl Local {
    fn read(name: &str, workspace: &Workspace) -> Result<Self, Error> {
        let path = find(name, workspace).ok_or_else(|| unknown(name, workspace))?;
        let file = workspace::open(&path)?;
        let wrong = |error: serde_yaml::Error| {
            Error::other(
                format!("{}: {error}", file.name),
                "a rule file has the shape of those printed by `wetside rules show`",
            )
        };
        // By way of the YAML value, which refuses a key that stands twice.
        let yaml: serde_yaml::Value = serde_yaml::from_str(&file.text).map_err(wrong)?;
        let json = serde_json::to_value(yaml).map_err(|error| {
            Error::other(format!("{}: {error}", file.name), "correct this file")
        })?;
        let base = json
            .pointer("/waste/like")
            .and_then(Value::as_str)
            .map(str::to_owned);
        if let Some(base) = base.as_deref().filter(|base| !PLACES.contains(base)) {
            let message = format!("{}: `like: {base}` is none of eu, uk, us", file.name);
            return Err(Error::other(message, "name the rules this file changes"));
        }
        Ok(Self {
            file: file.name.clone(),
            base,
            json: json.to_string(),
        })
    }
}

/// A rule file by path, or by name in the workspace's `rules/`.
fn find(name: &str, workspace: &Workspace) -> Option<PathBuf> {
    let folder = workspace.folder.as_ref().map(|folder| folder.join("rules"));
    let inside = folder
        .into_iter()
        .flat_map(|folder| [folder.join(name), folder.join(format!("{name}.yaml"))]);
    inside
        .chain([PathBuf::from(name)])
        .find(|path| path.is_file())
}

fn unknown(name: &str, workspace: &Workspace) -> Error {
    let here: Vec<String> = workspace
        .folder
        .iter()
        .flat_map(|folder| workspace::yaml_names(&folder.join("rules")))
        .collect();
    let own = match here.as_slice() {
        [] => String::new(),
        names => format!("; files in rules/ are {}", names.join(", ")),
    };
    Error::other(
        format!("there are no rules called `{name}`"),
        format!("write eu, uk, us, or the path of a rule file{own}"),
    )
}

/// Who holds the waste, as the place says; a business where it does not.
pub fn holder(workspace: &Workspace) -> Holder {
    let written = workspace
        .place
        .as_ref()
        .and_then(|place| place.holder.as_ref());
    match written.map(|holder| holder.value.as_str()) {
        Some("school") => Holder::School,
        Some("private") => Holder::Private,
        _ => Holder::Business,
    }
}

/// The nation the place is in, where the rules of its country differ by it.
pub fn nation(workspace: &Workspace) -> Option<String> {
    let place = workspace.place.as_ref()?;
    place.nation.as_ref().map(|nation| nation.value.clone())
}

/// The language asked for, or the place's, or English.
pub fn language(workspace: &Workspace, asked: Option<&str>) -> String {
    let place = workspace.place.as_ref();
    let of_place = place.and_then(|place| place.language.as_ref());
    let of_place = of_place.map(|language| language.value.as_str());
    asked.or(of_place).unwrap_or("en").to_owned()
}

/// Says on standard error which rules are used when nobody named any.
pub fn say_default(workspace: &Workspace, named: &[String]) {
    let of_place = workspace
        .place
        .iter()
        .flat_map(|place| &place.rules)
        .count();
    if named.is_empty() && of_place == 0 {
        eprintln!("no rules are named: those of the European Union are used (--rules us|uk|eu)");
    }
}

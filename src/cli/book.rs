//! The workspace's ledger, and what it must be told of the workspace.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;
use std::thread;
use std::time::Duration;

use crate::catalogue::{Catalogue, Chemical, Named, fold};
use crate::ledger::{GasTable, Ledger, LedgerError, Meeting, NewPlace, is_meant};
use crate::plan::Briefed;
use crate::session::Recipe;
use crate::source::nearest;
use crate::waste::Streams;

use super::Error;
use super::workspace::{self, Workspace};

/// What the ledger's file is called.
const FILE: &str = "waste.db";

impl From<LedgerError> for Error {
    fn from(error: LedgerError) -> Self {
        let help = match &error {
            LedgerError::Missing(_) => "book the first entry: `wetside log add-container --help`",
            LedgerError::Exists(_) => "name another file, or move that one away",
            LedgerError::Foreign(_) => "move that file away, or name the right workspace with -C",
            LedgerError::FromTheFuture { .. } => "nothing was changed",
            LedgerError::Damaged(_) | LedgerError::BadEntry { .. } => {
                "keep the file as it is; `wetside ledger verify` names the first bad entry"
            }
            LedgerError::ReadOnly => "check who may write the file and its folder",
            LedgerError::Full => "make room on the disk and book it again",
            LedgerError::Busy => "wait for the other program, or stop it",
            LedgerError::Import { .. } => "correct the file, or export it again",
            LedgerError::Other(_) => "nothing was booked",
        };
        Self::other(error.to_string(), help)
    }
}

/// Where the ledger stands.
///
/// # Errors
/// When there is no workspace.
pub fn path(workspace: &Workspace) -> Result<PathBuf, Error> {
    let folder = workspace.folder.as_ref().ok_or_else(|| {
        Error::other(
            "there is no workspace here, and so no ledger",
            "`wetside init` lays one down; -C names one elsewhere",
        )
    })?;
    Ok(folder.join(FILE))
}

/// The ledger for booking; laid down when the first entry is booked.
///
/// # Errors
/// When it cannot be used.
pub fn open_or_create(workspace: &Workspace) -> Result<Ledger, Error> {
    let path = path(workspace)?;
    match Ledger::create(&path) {
        Err(LedgerError::Exists(_)) => {}
        other => return Ok(other?),
    }
    // Another program may have claimed the name a moment ago and not have written yet.
    for _ in 0..40 {
        if std::fs::metadata(&path).is_ok_and(|file| file.len() > 0) {
            break;
        }
        thread::sleep(Duration::from_millis(25));
    }
    Ok(Ledger::open(&path)?)
}

/// The ledger for reading.
///
/// # Errors
/// When there is none, or it cannot be used.
pub fn open(workspace: &Workspace) -> Result<Ledger, Error> {
    Ok(Ledger::open_read_only(&path(workspace)?)?)
}

/// The ledger for reading; nothing where none is kept.
///
/// # Errors
/// When there is one and it cannot be used.
pub fn open_if_kept(workspace: &Workspace) -> Result<Option<Ledger>, Error> {
    let file = workspace.folder.as_ref().map(|folder| folder.join(FILE));
    match file.filter(|file| file.exists()) {
        Some(file) => Ok(Some(Ledger::open_read_only(&file)?)),
        None => Ok(None),
    }
}

/// Who was briefed on what; nothing where no ledger is kept.
///
/// # Errors
/// When there is one and it cannot be read.
pub fn briefed(workspace: &Workspace) -> Result<Option<Vec<Briefed>>, Error> {
    let Some(ledger) = open_if_kept(workspace)? else {
        return Ok(None);
    };
    let trainings = ledger.trainings()?;
    let id = |name: &String| match workspace.catalogue.named(name) {
        Some(Named::Entry(chemical)) => chemical.id.clone(),
        _ => name.clone(),
    };
    let held = trainings.iter().filter(|training| !training.undone);
    let briefed = held.filter_map(|training| {
        Some(Briefed {
            person: training.person.clone(),
            chemicals: training.chemicals.iter().map(id).collect(),
            day: training.day.parse().ok()?,
        })
    });
    Ok(Some(briefed.collect()))
}

/// What must not meet, by the workspace's recipes.
pub fn meeting<'a>(
    workspace: &'a Workspace,
    streams: &'a Streams,
    gas: Option<GasTable<'a>>,
) -> Meeting<'a> {
    let folder = workspace
        .folder
        .as_ref()
        .map(|folder| folder.join("recipes"));
    let mut makeup = BTreeMap::new();
    if let Some(folder) = folder {
        for name in workspace::yaml_names(&folder) {
            // A recipe with mistakes is told of where it is used; here it only stays unknown.
            let file = workspace::open(&folder.join(format!("{name}.yaml")));
            let recipe = file.ok().and_then(|file| Recipe::read(&file).ok());
            let known = recipe.and_then(|recipe| {
                Some((
                    fold(&recipe.title),
                    chemicals(&recipe, &workspace.catalogue)?,
                ))
            });
            makeup.extend(known);
        }
    }
    Meeting {
        catalogue: &workspace.catalogue,
        streams,
        makeup,
        gas,
    }
}

/// Every chemical of a recipe, or nothing when one is not known.
fn chemicals(recipe: &Recipe, catalogue: &Catalogue) -> Option<Vec<Arc<Chemical>>> {
    let one = |name: &str| match catalogue.named(name)? {
        Named::Entry(chemical) => Some(chemical),
        Named::Bare(forms) | Named::Several(forms) => forms.into_iter().next(),
    };
    let all = recipe.add.iter();
    all.map(|addition| one(&addition.chemical.value)).collect()
}

/// The place a person means: its name however it is spaced or capitalised, or the beginning of
/// one name only.
pub fn place_named(name: &str, places: &[NewPlace]) -> Option<String> {
    if places.iter().any(|place| place.name == name) {
        return Some(name.to_owned());
    }
    let key = fold(name);
    let folded = |place: &&NewPlace| fold(&place.name) == key;
    let mut exact = places.iter().filter(folded);
    if let (Some(only), None) = (exact.next(), exact.next()) {
        return Some(only.name.clone());
    }
    let begins = |place: &&NewPlace| !key.is_empty() && fold(&place.name).starts_with(&key);
    let mut beginning = places.iter().filter(begins);
    match (beginning.next(), beginning.next()) {
        (Some(only), None) => Some(only.name.clone()),
        _ => None,
    }
}

/// The place a person means: by its name, or by the id on the label of what it holds.
///
/// # Errors
/// When the book cannot be read.
pub fn place_meant(
    name: &str,
    places: &[NewPlace],
    ledger: &Ledger,
) -> Result<Option<String>, Error> {
    if let Some(place) = place_named(name, places) {
        return Ok(Some(place));
    }
    let labelled = ledger.labelled()?;
    let mut meant = labelled.iter().filter(|(_, id)| is_meant(id, name));
    Ok(match (meant.next(), meant.next()) {
        (Some((place, _)), None) => Some(place.clone()),
        _ => None,
    })
}

/// An unknown place, with the nearest known one.
pub fn no_place(name: &str, places: &[NewPlace]) -> Error {
    let names: Vec<&str> = places.iter().map(|place| place.name.as_str()).collect();
    let help = match (nearest(name, names.iter().copied()), names.as_slice()) {
        (Some(near), _) => format!("did you mean `{near}`?"),
        (None, []) => "no place is in the book yet: `wetside log add-container --help`".to_owned(),
        (None, names) => format!("places are {}", names.join(", ")),
    };
    Error::other(
        format!("there is no place called `{name}` in the book"),
        help,
    )
}

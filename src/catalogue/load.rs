//! Reading `hazards/` into a [`Catalogue`], every cross-reference checked.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Deserialize;
use serde::de::value::MapDeserializer;
use serde_json::Value;
use serde_json::value::RawValue;
use validator::Validate;

use crate::cores::on_all_cores;
use crate::provenance::Bibliography;

use super::alternatives::AlternativesFile;
use super::families::FamiliesFile;
use super::names::NameIndex;
use super::order::OrderFile;
use super::people::PeopleFile;
use super::reactions::ReactionsFile;
use super::vessels::VesselsFile;
use super::{Catalogue, Chemical, DataError, DataFiles, Elements, Kind, Stream};

const CHEMICALS: &str = "hazards/chemicals/";
const SOURCES: &str = "hazards/sources/";
/// Files a core takes at once: neighbours are mostly forms of one root, which is then read once.
const SHARE: usize = 20;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct KindsFile {
    kinds: Vec<Kind>,
    /// Remarks on keeping times, for whoever edits the file.
    #[serde(default, rename = "notes")]
    _notes: Value,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StreamsFile {
    streams: Vec<Stream>,
}

impl Catalogue {
    /// Reads the catalogue from data files.
    ///
    /// # Errors
    /// The first file that is missing, misshapen, or refers to something that is not there.
    pub fn load(files: DataFiles) -> Result<Self, DataError> {
        let chemicals = chemicals(&files)?;
        let index = NameIndex::build(chemicals.values())?;
        let reactions: ReactionsFile = files.read("hazards/reactions.yaml")?;
        let order: OrderFile = files.read("hazards/order.yaml")?;
        let people: PeopleFile = files.read("hazards/people.yaml")?;
        let vessels: VesselsFile = files.read("hazards/vessels.yaml")?;
        let catalogue = Self {
            elements: Elements::load(&files)?,
            bibliography: bibliography(&files)?,
            families: files
                .read::<FamiliesFile>("hazards/families.yaml")?
                .families,
            groups: reactions.groups,
            reactions: reactions.reactions,
            order_codes: order.codes,
            order_rules: order.rules,
            wear: files.read("hazards/wear.yaml")?,
            kinds: files.read::<KindsFile>("hazards/kinds.yaml")?.kinds,
            streams: files.read::<StreamsFile>("hazards/streams.yaml")?.streams,
            vessels: vessels.vessels,
            storage_rules: vessels.storage,
            alternatives: files
                .read::<AlternativesFile>("hazards/alternatives.yaml")?
                .alternatives,
            people: people.groups,
            supervising: people.supervising,
            edition: files.read("hazards/edition.yaml")?,
            chemicals,
            superseded: BTreeMap::new(),
            index,
            files,
        };
        catalogue.check_references()?;
        catalogue.check_alternatives()?;
        Ok(catalogue)
    }

    /// Every chemical and kind that an alternative names must be there.
    fn check_alternatives(&self) -> Result<(), DataError> {
        let known = |id: &String| self.chemicals.contains_key(id);
        let kind = |id: &String| self.kinds.iter().any(|kind| kind.id == *id);
        for other in &self.alternatives {
            let names = [&other.instead_of, &other.take];
            let unknown = names.into_iter().find(|id| !known(id));
            let unknown = unknown.or_else(|| other.kinds.iter().find(|id| !kind(id)));
            if let Some(id) = unknown {
                let message = format!("`{id}` is not a chemical or kind known here");
                return Err(self.files.fault("hazards/alternatives.yaml", &message));
            }
        }
        Ok(())
    }

    /// Every family, group, look-alike and stream that a chemical names must be there.
    fn check_references(&self) -> Result<(), DataError> {
        for chemical in self.chemicals() {
            let path = format!("{CHEMICALS}{}.yaml", chemical.id);
            let wrong = |what: &str, id: &str| {
                let message = format!("`{id}` is not a {what} known here");
                Err(self.files.fault(&path, &message))
            };
            if let Some(id) = chemical
                .families
                .iter()
                .find(|id| self.family(id).is_none())
            {
                return wrong("hazard family", id);
            }
            if let Some(id) = chemical.groups.iter().find(|id| self.group(id).is_none()) {
                return wrong("reactive group", id);
            }
            if let Some(disposal) = chemical
                .disposal
                .as_ref()
                .filter(|d| self.stream(&d.stream).is_none())
            {
                return wrong("waste stream", &disposal.stream);
            }
            let look_alikes = chemical
                .look_alikes
                .iter()
                .filter_map(|other| other.id.as_deref());
            let meant = chemical
                .unlikely_in
                .iter()
                .map(|unlikely| unlikely.meant.as_str());
            if let Some(id) = look_alikes
                .chain(meant)
                .find(|id| !self.chemicals.contains_key(*id))
            {
                return wrong("chemical", id);
            }
            if let Some(Err(error)) = chemical
                .formula
                .as_ref()
                .map(|formula| self.elements.molar_mass(formula))
            {
                return Err(self.files.fault(&path, &error));
            }
        }
        Ok(())
    }
}

fn bibliography(files: &DataFiles) -> Result<Bibliography, DataError> {
    let mut bibliography = Bibliography::default();
    for path in files.below(SOURCES) {
        let text = files.text(path).unwrap_or_default();
        bibliography
            .add(path, text)
            .map_err(|error| DataError::new(path, error))?;
    }
    Ok(bibliography)
}

/// Every chemical, read on all cores: this is most of what every run begins with.
fn chemicals(files: &DataFiles) -> Result<BTreeMap<String, Arc<Chemical>>, DataError> {
    let paths = files.below(CHEMICALS);
    let shares: Vec<&[&str]> = paths.chunks(SHARE).collect();
    let read = on_all_cores(&shares, |paths| some_chemicals(files, paths));
    let read: Vec<_> = read.into_iter().collect::<Result<_, _>>()?;
    Ok(read.into_iter().flatten().collect())
}

fn some_chemicals(
    files: &DataFiles,
    paths: &[&str],
) -> Result<Vec<(String, Arc<Chemical>)>, DataError> {
    let mut roots = BTreeMap::new();
    let mut chemicals = Vec::with_capacity(paths.len());
    for path in paths {
        let id = path.trim_start_matches(CHEMICALS).trim_end_matches(".yaml");
        let chemical = chemical(files, path, &mut roots)?;
        chemical
            .validate()
            .map_err(|error| files.fault(path, &error.to_string()))?;
        if chemical.id != *id {
            let message = format!("its id is `{}`; it must be the file's name", chemical.id);
            return Err(DataError::new(*path, message));
        }
        chemicals.push((chemical.id.clone(), Arc::new(chemical)));
    }
    Ok(chemicals)
}

/// Only what tells a root entry from a form; the rest is passed over.
#[derive(Deserialize)]
struct Head {
    form_of: Option<String>,
}

/// The root that a file names. Most are roots themselves, where the word does not even stand, and
/// are not read for it.
fn root_of(files: &DataFiles, path: &str) -> Result<Option<String>, DataError> {
    if files
        .text(path)
        .is_some_and(|text| !text.contains("form_of"))
    {
        return Ok(None);
    }
    Ok(files.read::<Head>(path)?.form_of)
}

/// What a form never takes from its root: names belong to one jar.
const OWN: &[&str] = &[
    "names",
    "bare_names",
    "translations",
    "cas",
    "cas_note",
    "ec",
    "strength",
    "density",
];

/// The fields of an entry, each as the text it stands in.
type Fields<'t> = BTreeMap<&'t str, &'t RawValue>;

fn fields<'f>(files: &'f DataFiles, path: &str) -> Result<Fields<'f>, DataError> {
    let text = files.text(path).unwrap_or_default();
    serde_json::from_str(text).map_err(|error| files.fault(path, &error))
}

/// A root entry is read as it stands, which is most of them and the fast way. `roots` keeps the
/// entries that forms were merged with.
fn chemical<'f>(
    files: &'f DataFiles,
    path: &str,
    roots: &mut BTreeMap<String, Fields<'f>>,
) -> Result<Chemical, DataError> {
    let Some(root) = root_of(files, path)? else {
        return files.read(path);
    };
    let root_path = format!("{CHEMICALS}{root}.yaml");
    if files.text(&root_path).is_none() {
        return Err(DataError::new(
            path,
            format!("the root entry `{root}` is not there"),
        ));
    }
    if !roots.contains_key(&root) {
        roots.insert(root.clone(), fields(files, &root_path)?);
    }
    let base = &roots[&root];
    if base.contains_key("form_of") {
        return Err(DataError::new(
            path,
            format!("`{root}` is itself a form; name the root entry"),
        ));
    }
    let merged = inherited(base, fields(files, path)?);
    Chemical::deserialize(MapDeserializer::new(merged.into_iter()))
        .map_err(|error: serde_json::Error| files.fault(path, &error))
}

/// The root's fields, with the form's own in their place.
fn inherited<'t>(root: &Fields<'t>, form: Fields<'t>) -> Fields<'t> {
    let mut merged = root.clone();
    merged.retain(|key, _| !OWN.contains(key));
    merged.extend(form);
    merged
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_embedded_catalogue_loads() {
        let catalogue =
            Catalogue::load(DataFiles::embedded()).unwrap_or_else(|error| panic!("{error}"));
        assert!(catalogue.chemicals().count() >= 98);
    }
}

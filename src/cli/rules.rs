//! Whose rules a command goes by: those named, or the workspace's, or a stated default; and every
//! local rule file over them.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;
use serde_json::Value;

use crate::air::Gases;
use crate::catalogue::{Catalogue, Guidance};
use crate::finding::Finding;
use crate::rules::{self, BuiltIn, InForce, Named, PastReview, Refusal};
use crate::session::{Darkroom, Written};
use crate::source::yaml::{self, Value as Yaml};
use crate::source::{Mistake, Mistakes, SourceFile, nearest};
use crate::waste::{Holder, RulePack};

use super::Error;
use super::workspace::{self, Workspace};

/// Rules compiled in.
pub const PLACES: [&str; 3] = ["eu", "uk", "us"];

/// What holds where nobody says whose rules apply.
const DEFAULT: &str = "eu";

/// Where a workspace keeps its rule files; all of them are in force.
const FOLDER: &str = "rules";

/// Where rules are looked for.
pub struct Here<'a> {
    /// The workspace's folder.
    pub folder: Option<&'a Path>,
    /// The place.
    pub place: Option<&'a Darkroom>,
    /// Rules named on the command line.
    pub named: &'a [String],
}

/// What is in force, and the files behind it.
pub struct Found {
    /// What is in force.
    pub in_force: InForce,
    /// Whether nobody named any rules, so that the default holds.
    pub assumed: bool,
}

impl Here<'_> {
    /// Finds and reads the rules.
    ///
    /// # Errors
    /// When a name leads to no rules, a file cannot be read, or files build on each other in a ring.
    pub fn find(&self, catalogue: &Catalogue) -> Result<Found, Error> {
        let names = self.names();
        let files = self.files(&names)?;
        let (packs, assumed) = packs(&names, &files, self.named.is_empty(), catalogue)?;
        let gases = Gases::read(catalogue.files())?;
        let guidance = Guidance::load(catalogue.files())?;
        let built_in = BuiltIn {
            catalogue,
            gases: &gases,
            guidance: &guidance,
            packs: &packs,
            assumed,
            holder: stated_holder(self.place),
        };
        let plain: Vec<Arc<SourceFile>> = files
            .into_iter()
            .filter(|file| file.pack.is_none())
            .map(|file| file.file)
            .collect();
        let in_force = InForce::of(&plain, &built_in).map_err(|refusal| match refusal {
            Refusal::Mistakes(mistakes) => Error::Mistakes(mistakes),
            Refusal::Data(error) => Error::Data(error),
        })?;
        Ok(Found { in_force, assumed })
    }

    fn names(&self) -> Vec<String> {
        if self.named.is_empty() {
            let of_place = self.place.iter().flat_map(|place| &place.rules);
            of_place.map(|rule| rule.value.clone()).collect()
        } else {
            self.named.to_vec()
        }
    }

    /// Every local file: those of the workspace, those named, and those they build on; each after
    /// the ones it builds on.
    fn files(&self, names: &[String]) -> Result<Vec<LocalFile>, Error> {
        let mut open: Vec<LocalFile> = Vec::new();
        for path in self.in_folder()? {
            open.push(LocalFile::open(&path, false)?);
        }
        for name in names.iter().filter(|name| !PLACES.contains(&name.as_str())) {
            let path = self.path(name).ok_or_else(|| self.unknown(name))?;
            LocalFile::add(&path, true, &mut open)?;
        }
        let mut mistakes = Mistakes::default();
        let mut at = 0;
        while let Some(file) = open.get(at) {
            let (named, beside) = (file.named, file.path.clone());
            for below in file.based_on.clone() {
                if PLACES.contains(&below.value.as_str()) {
                    continue;
                }
                match self.beside(&beside, &below.value) {
                    Some(path) => LocalFile::add(&path, named, &mut open)?,
                    None => mistakes.note(self.no_base(&below)),
                }
            }
            at += 1;
        }
        if !mistakes.is_empty() {
            return Err(Error::Mistakes(mistakes.into_list()));
        }
        let chain: Vec<Named<LocalFile>> = open.into_iter().map(LocalFile::named).collect();
        let ordered = rules::in_order(&chain)?;
        Ok(ordered.into_iter().map(|named| named.file).collect())
    }

    /// The rule files of the workspace in order of name.
    fn in_folder(&self) -> Result<Vec<PathBuf>, Error> {
        let Some(folder) = self.folder.map(|folder| folder.join(FOLDER)) else {
            return Ok(Vec::new());
        };
        let entries = fs::read_dir(&folder).into_iter().flatten().flatten();
        let mut paths: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
        paths.sort();
        let hidden = |path: &PathBuf| {
            let name = path.file_name().unwrap_or_default();
            name.to_string_lossy().starts_with('.')
        };
        paths.retain(|path| !hidden(path));
        let ending = |path: &PathBuf| path.extension().map(|e| e.to_string_lossy().to_lowercase());
        if let Some(other) = paths
            .iter()
            .find(|path| ending(path).as_deref() == Some("yml"))
        {
            let message = format!("{} would be in force for nobody", other.display());
            return Err(Error::other(message, "give it the ending .yaml"));
        }
        paths.retain(|path| ending(path).as_deref() == Some("yaml"));
        Ok(paths)
    }

    /// A rule file by path, or by name in the workspace's `rules/`.
    fn path(&self, name: &str) -> Option<PathBuf> {
        let folder = self.folder.map(|folder| folder.join(FOLDER));
        let inside = folder
            .into_iter()
            .flat_map(|folder| [folder.join(name), folder.join(format!("{name}.yaml"))]);
        inside
            .chain([PathBuf::from(name)])
            .find(|path| path.is_file())
    }

    /// A file that another builds on: beside it, or as any other.
    fn beside(&self, file: &Path, name: &str) -> Option<PathBuf> {
        let folder = file.parent().unwrap_or(Path::new(""));
        let near = [folder.join(name), folder.join(format!("{name}.yaml"))];
        near.into_iter()
            .find(|path| path.is_file())
            .or_else(|| self.path(name))
    }

    fn known(&self) -> Vec<String> {
        let folder = self.folder.map(|folder| folder.join(FOLDER));
        folder
            .iter()
            .flat_map(|folder| workspace::yaml_names(folder))
            .collect()
    }

    fn unknown(&self, name: &str) -> Error {
        let own = match self.known().as_slice() {
            [] => String::new(),
            names => format!("; files in rules/ are {}", names.join(", ")),
        };
        Error::other(
            format!("there are no rules called `{name}`"),
            format!("write eu, uk, us (`classify` takes ghs too), or the path of a rule file{own}"),
        )
    }

    fn no_base(&self, below: &Written<String>) -> Mistake {
        let message = format!("there are no rules `{}` to build on", below.value);
        let known = self.known();
        let names = PLACES.into_iter().chain(known.iter().map(String::as_str));
        let help = match nearest(&below.value, names) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "write eu, uk, us, or the name of a file in rules/".to_owned(),
        };
        Mistake::at(below.place.clone(), message, help)
    }
}

/// A rule file of the person.
#[derive(Clone)]
struct LocalFile {
    path: PathBuf,
    file: Arc<SourceFile>,
    based_on: Vec<Written<String>>,
    /// Whether it was named, and not merely found in the workspace.
    named: bool,
    /// Its JSON, where it has the shape of a pack of the law.
    pack: Option<Value>,
}

impl LocalFile {
    fn open(path: &Path, named: bool) -> Result<Self, Error> {
        let file = workspace::open(path)?;
        let pack = if is_pack(&file) {
            Some(json(&file)?)
        } else {
            None
        };
        Ok(Self {
            path: path.to_owned(),
            based_on: rules::RuleFile::builds_on(&file)?,
            file,
            named,
            pack,
        })
    }

    /// Adds a file once; what is named is named by whatever way it is found.
    fn add(path: &Path, named: bool, open: &mut Vec<Self>) -> Result<(), Error> {
        let same = |other: &&mut Self| same_file(&other.path, path);
        match open.iter_mut().find(same) {
            Some(known) => known.named |= named,
            None => open.push(Self::open(path, named)?),
        }
        Ok(())
    }

    fn named(self) -> Named<Self> {
        let stem = |path: &Path| {
            path.file_stem()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned()
        };
        let based_on = self.based_on.iter().map(|below| Written {
            value: stem(Path::new(&below.value)),
            place: below.place.clone(),
        });
        Named {
            name: stem(&self.path),
            based_on: based_on.collect(),
            file: self,
        }
    }

    /// The packs it builds on.
    fn places(&self) -> Vec<&str> {
        let like = self
            .pack
            .as_ref()
            .and_then(|pack| pack.pointer("/waste/like"));
        let like = like.and_then(Value::as_str);
        let based = self.based_on.iter().map(|below| below.value.as_str());
        based
            .chain(like)
            .filter(|name| PLACES.contains(name))
            .collect()
    }
}

fn same_file(one: &Path, other: &Path) -> bool {
    match (fs::canonicalize(one), fs::canonicalize(other)) {
        (Ok(one), Ok(other)) => one == other,
        _ => one == other,
    }
}

/// Whether a file has the shape of a pack: codes, limits and duties under `waste`.
fn is_pack(file: &Arc<SourceFile>) -> bool {
    yaml::parse(file).is_ok_and(|node| match &node.value {
        Yaml::Map(pairs) => pairs.iter().any(|(key, _)| key.text() == Some("waste")),
        _ => false,
    })
}

fn json(file: &SourceFile) -> Result<Value, Error> {
    let wrong = |error: serde_yaml::Error| {
        let help = "a file with `waste` has the shape of hazards/rules; other rule files need no such part";
        Error::other(format!("{}: {error}", file.name), help)
    };
    // By way of the YAML value, which refuses a key that stands twice.
    let yaml: serde_yaml::Value = serde_yaml::from_str(&file.text).map_err(wrong)?;
    let json = serde_json::to_value(yaml)
        .map_err(|error| Error::other(format!("{}: {error}", file.name), "correct this file"))?;
    let like = json.pointer("/waste/like").and_then(Value::as_str);
    if let Some(base) = like.filter(|base| !PLACES.contains(base)) {
        let message = format!("{}: `like: {base}` is none of eu, uk, us", file.name);
        return Err(Error::other(message, "name the rules this file changes"));
    }
    Ok(json)
}

/// The packs of the names and of the files named; those of the workspace's files where no rules
/// were asked for on the command line.
fn packs(
    names: &[String],
    files: &[LocalFile],
    of_place: bool,
    catalogue: &Catalogue,
) -> Result<(Vec<RulePack>, bool), Error> {
    let mut places: Vec<&str> = Vec::new();
    let by_file = files.iter().filter(|file| file.named || of_place);
    let by_name = names
        .iter()
        .map(String::as_str)
        .filter(|name| PLACES.contains(name));
    for place in by_name.chain(by_file.flat_map(LocalFile::places)) {
        if !places.contains(&place) {
            places.push(place);
        }
    }
    let assumed = places.is_empty();
    if assumed {
        places.push(DEFAULT);
    }
    let packs = places.into_iter().map(|place| {
        let mut pack = RulePack::load(catalogue.files(), place)?;
        for local in files {
            let Some(json) = &local.pack else { continue };
            let like = json.pointer("/waste/like").and_then(Value::as_str);
            if like.is_none_or(|like| like == place) {
                pack = pack.with_local(&local.file.name, &json.to_string())?;
            }
        }
        Ok::<_, Error>(pack)
    });
    Ok((packs.collect::<Result<_, _>>()?, assumed))
}

/// Who holds the waste, where the place says.
pub fn stated_holder(place: Option<&Darkroom>) -> Option<Holder> {
    let written = place.and_then(|place| place.holder.as_ref());
    match written.map(|holder| holder.value.as_str()) {
        Some("school") => Some(Holder::School),
        Some("private") => Some(Holder::Private),
        Some("business") => Some(Holder::Business),
        _ => None,
    }
}

/// Who holds the waste, as the place says; a business where it does not.
pub fn holder(workspace: &Workspace) -> Holder {
    stated_holder(workspace.place.as_ref()).unwrap_or(Holder::Business)
}

/// What of the local files is past the day it had to be looked at again.
pub fn past_review(workspace: &Workspace, day: NaiveDate) -> Vec<Finding> {
    let past = workspace.in_force.past_review(day);
    past.iter()
        .filter(|past| past.origin.is_some())
        .map(PastReview::finding)
        .collect()
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
pub fn say_default(workspace: &Workspace) {
    if workspace.assumed_rules {
        eprintln!("no rules are named: those of the European Union are used (--rules us|uk|eu)");
    }
}

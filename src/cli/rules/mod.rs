//! Whose rules a command goes by: those named, or the workspace's, or a stated default; and every
//! local rule file over them.

mod local_file;
mod place;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde_json::Value;

use crate::air::Gases;
use crate::catalogue::{Catalogue, Guidance};
use crate::rules::{self, BuiltIn, InForce, Named, Refusal};
use crate::session::{Darkroom, Written};
use crate::source::{Mistake, Mistakes, SourceFile, nearest};
use crate::waste::RulePack;

use crate::cli::Error;
use crate::cli::folder::yaml_files;
use crate::cli::workspace::{self};

use local_file::LocalFile;
pub use place::{holder, language, nation, past_review, say_default, stated_holder};

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
        let folder = self.folder.map(|folder| folder.join(FOLDER));
        folder.map_or(Ok(Vec::new()), |folder| yaml_files(&folder))
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

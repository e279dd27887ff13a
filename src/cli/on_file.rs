//! The data sheets of a workspace: read, and looked after.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use sha2::{Digest, Sha256};

use crate::catalogue::Catalogue;
use crate::classify::Classes;
use crate::data_sheet::{DataSheet, DataSheets, Reader};
use crate::plan::{DocumentState, OnFile, SheetOnFile};
use crate::source::Mistakes;

use super::folder::yaml_files;
use super::workspace::{self, Workspace};
use super::{Error, today};

/// Where data sheets are kept in a workspace.
pub const FOLDER: &str = "sds";

/// Reads every data sheet of a workspace.
///
/// # Errors
/// Everything in the files that cannot be taken as it stands.
pub fn read(folder: &Path, catalogue: &Catalogue, classes: &Classes) -> Result<DataSheets, Error> {
    let reader = Reader {
        catalogue,
        classes,
        today: today(),
    };
    let mut mistakes = Mistakes::default();
    let mut sheets = Vec::new();
    for path in yaml_files(&folder.join(FOLDER))? {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let name = format!("{FOLDER}/{name}");
        match workspace::open(&path) {
            Ok(file) => match reader.read(&file, &name) {
                Ok(sheet) => sheets.push(sheet),
                Err(found) => mistakes.note_all(found),
            },
            Err(Error::Mistakes(found)) => mistakes.note_all(found),
            Err(other) => return Err(other),
        }
    }
    let sheets = mistakes.or_value(Some(sheets))?;
    Ok(DataSheets::new(sheets)?)
}

/// What became of the document that was put on file.
pub fn document(sheet: &DataSheet, folder: &Path) -> DocumentState {
    let Some(named) = &sheet.document else {
        return DocumentState::NotNamed;
    };
    let shown = named.value.clone();
    match (
        fingerprint(&folder.join(FOLDER).join(&named.value)),
        &sheet.sha256,
    ) {
        (Err(_), _) => DocumentState::Missing(shown),
        (Ok(now), Some(then)) if now != *then => DocumentState::Changed(shown),
        (Ok(_), _) => DocumentState::There,
    }
}

/// The SHA-256 of a file in hexadecimal digits.
///
/// # Errors
/// When it cannot be read.
pub fn fingerprint(path: &Path) -> io::Result<String> {
    let mut file = File::open(path)?;
    let mut hasher = Sha256::new();
    let mut part = [0; 65_536];
    loop {
        match file.read(&mut part)? {
            0 => break,
            read => hasher.update(part.get(..read).unwrap_or(&[])),
        }
    }
    Ok(hasher
        .finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect())
}

/// What the workspace has on file for chemicals and the other forms of them; nothing where there
/// is no workspace.
pub fn of(workspace: &Workspace, roots: &[&str]) -> Option<OnFile> {
    let folder = workspace.folder.as_ref()?;
    let sheets = workspace.sheets.current().into_iter();
    let concerned = sheets.filter(|sheet| roots.contains(&sheet.chemical.root()));
    Some(OnFile {
        kept: folder.join(FOLDER).is_dir(),
        day: today(),
        sheets: concerned.map(|sheet| facts(sheet, folder)).collect(),
    })
}

/// A data sheet as plain facts.
pub fn facts(sheet: &DataSheet, folder: &Path) -> SheetOnFile {
    SheetOnFile {
        chemical: sheet.chemical.id.clone(),
        root: sheet.chemical.root().to_owned(),
        name: sheet.chemical.name.clone(),
        supplier: sheet.supplier.clone(),
        revised: sheet.revised,
        file: sheet.name.clone(),
        place: sheet.place.clone(),
        document: document(sheet, folder),
        other_form: sheet.other_form(),
    }
}

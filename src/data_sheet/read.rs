//! `sds/<name>.yaml`: text → a data sheet, or everything that is wrong with it.

use std::sync::Arc;

use chrono::NaiveDate;

use super::{DataSheet, Said};
use crate::catalogue::{Catalogue, Chemical, Named};
use crate::classify::Classes;
use crate::session::Written;
use crate::source::yaml::{self, Node};
use crate::source::{Fields, Mistake, Mistakes, SourceFile};

/// What a data sheet's file is read with.
#[derive(Debug, Clone, Copy)]
pub struct Reader<'a> {
    /// Names lead to its entries.
    pub catalogue: &'a Catalogue,
    /// Hazard classes are those of this table.
    pub classes: &'a Classes,
    /// The day it is: nothing was revised later.
    pub today: NaiveDate,
}

const FIELDS: &[&str] = &[
    "chemical",
    "supplier",
    "revised",
    "added",
    "file",
    "sha256",
    "form",
    "strength",
    "classification",
    "supplemental",
    "specific_limits",
    "gloves",
    "first_aid",
    "limits",
    "density",
    "flash_point",
    "ph",
    "storage",
    "transport",
    "note",
];

/// States of goods as they are sold.
const FORMS: &[&str] = &[
    "powder", "crystals", "granules", "flakes", "lumps", "liquid", "solution",
];

impl Reader<'_> {
    /// Reads a data sheet; `name` is the file's in the workspace.
    ///
    /// # Errors
    /// Everything in the file that cannot be taken as it stands.
    pub fn read(&self, file: &Arc<SourceFile>, name: &str) -> Result<DataSheet, Vec<Mistake>> {
        let node = yaml::parse(file).map_err(|mistake| vec![mistake])?;
        let mut mistakes = Mistakes::default();
        let sheet = self.sheet(file, name, &node, &mut mistakes);
        mistakes.or_value(sheet)
    }

    fn sheet(
        &self,
        file: &Arc<SourceFile>,
        name: &str,
        node: &Node,
        mistakes: &mut Mistakes,
    ) -> Option<DataSheet> {
        let fields = Fields::of(node, "a data sheet", FIELDS, mistakes)?;
        let chemical = fields
            .required("chemical", "hydroquinone", mistakes)
            .and_then(|node| Some((self.chemical(node, mistakes)?, node.place.clone())));
        let supplier = fields
            .required("supplier", "the firm on the label", mistakes)
            .and_then(|node| node.plain(mistakes));
        let revised = fields
            .required("revised", "2024-05-13", mistakes)
            .and_then(|node| self.date(node, mistakes).map(|day| (day, node)));
        let added = fields
            .get("added")
            .and_then(|node| self.date(node, mistakes));
        if let Some((revised, node)) =
            revised.filter(|(day, _)| added.is_some_and(|added| *day > added))
        {
            let message = format!("it was revised on {revised}, after it was put on file");
            mistakes.note(Mistake::at(
                node.place.clone(),
                message,
                "correct `revised` or `added`",
            ));
        }
        let document = fields.get("file").and_then(|node| document(node, mistakes));
        let sha256 = fields
            .get("sha256")
            .and_then(|node| fingerprint(node, document.is_some(), mistakes));
        let strength = fields.parse("strength", mistakes);
        let form = fields.get("form").and_then(|node| form(node, mistakes));
        fields.text("note", mistakes);
        let says = Said {
            classes: self.classes,
            catalogue: self.catalogue,
        }
        .read(&fields, mistakes);
        let (chemical, place) = chemical?;
        Some(DataSheet {
            file: Arc::clone(file),
            name: name.to_owned(),
            place,
            chemical,
            supplier: supplier?.trim().to_owned(),
            revised: revised?.0,
            added,
            document,
            sha256,
            strength,
            form,
            says,
        })
    }

    fn chemical(&self, node: &Node, mistakes: &mut Mistakes) -> Option<Arc<Chemical>> {
        let written = node.plain(mistakes)?;
        let found = one_chemical(written, self.catalogue);
        found
            .map_err(|(message, help)| {
                let mut mistake = Mistake::at(node.place.clone(), message, "");
                mistake.help = help;
                mistakes.note(mistake);
            })
            .ok()
    }

    fn date(&self, node: &Node, mistakes: &mut Mistakes) -> Option<NaiveDate> {
        let text = node.plain(mistakes)?.trim();
        let (message, help) = match NaiveDate::parse_from_str(text, "%Y-%m-%d") {
            Ok(day) if day > self.today => (
                format!("{day} has not come yet; today is {}", self.today),
                "write the date that is printed on the sheet",
            ),
            Ok(day) if day < FIRST_SHEETS => (
                format!("{day} is before there were data sheets"),
                "write the year with four digits",
            ),
            Ok(day) => return Some(day),
            Err(_) => (
                format!("`{text}` is not a date"),
                "write year-month-day, like `2024-05-13`",
            ),
        };
        mistakes.note(Mistake::at(node.place.clone(), message, help));
        None
    }
}

/// Data sheets became a duty in the 1980s; an earlier date is a slip of the pen. Common knowledge,
/// no source.
const FIRST_SHEETS: NaiveDate = match NaiveDate::from_ymd_opt(1970, 1, 1) {
    Some(day) => day,
    None => NaiveDate::MIN,
};

/// The one jar a name leads to; otherwise what is wrong, and what to write.
///
/// # Errors
/// When nothing goes by the name, or it leaves the hydrate or strength open.
pub fn one_chemical(
    written: &str,
    catalogue: &Catalogue,
) -> Result<Arc<Chemical>, (String, Vec<String>)> {
    let forms = match catalogue.named(written) {
        Some(Named::Entry(chemical)) => return Ok(chemical),
        Some(Named::Bare(forms) | Named::Several(forms)) => forms,
        None => {
            let near = catalogue.nearest(written);
            let mut help: Vec<String> = near
                .map(|near| format!("did you mean `{near}`?"))
                .into_iter()
                .collect();
            help.push(
                "`wetside catalogue list` prints every chemical known; a workspace can add its own"
                    .to_owned(),
            );
            return Err((format!("`{written}` is not in the catalogue"), help));
        }
    };
    let ids: Vec<&str> = forms.iter().map(|form| form.id.as_str()).collect();
    Err((
        format!("`{written}` leaves open which of several is meant"),
        vec![format!("write one of {}", ids.join(", "))],
    ))
}

fn document(node: &Node, mistakes: &mut Mistakes) -> Option<Written<String>> {
    let path = node.plain(mistakes)?.trim();
    Some(Written {
        value: path.to_owned(),
        place: node.place.clone(),
    })
}

fn fingerprint(node: &Node, named: bool, mistakes: &mut Mistakes) -> Option<String> {
    let text = node.plain(mistakes)?.trim();
    let is_one = text.len() == 64 && text.bytes().all(|byte| byte.is_ascii_hexdigit());
    let (message, help) = match (is_one, named) {
        (true, true) => return Some(text.to_lowercase()),
        (true, false) => (
            "there is a fingerprint, but no `file` it is of".to_owned(),
            "name the document under `file`, or leave `sha256` away",
        ),
        (false, _) => (
            format!("`{text}` is not a SHA-256 fingerprint"),
            "it has 64 digits 0-9 and a-f, as `sha256sum` prints them",
        ),
    };
    mistakes.note(Mistake::at(node.place.clone(), message, help));
    None
}

fn form(node: &Node, mistakes: &mut Mistakes) -> Option<String> {
    let word = node.plain(mistakes)?.trim();
    if FORMS.contains(&word) {
        return Some(word.to_owned());
    }
    let message = format!("`{word}` is no form goods are sold in");
    let help = format!("write one of {}", FORMS.join(", "));
    mistakes.note(Mistake::at(node.place.clone(), message, help));
    None
}

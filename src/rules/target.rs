//! Which chemicals a rule is about: one by name, a hazard family, a reactive group, a class.

use std::sync::Arc;

use crate::catalogue::{Catalogue, Chemical, Named, fold};
use crate::source::yaml::Node;
use crate::source::{Mistake, Mistakes, nearest};

/// What a rule is about, as written and as understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Target {
    /// The words of the file.
    pub written: String,
    which: Which,
}

#[derive(Debug, Clone, PartialEq, Eq)]
enum Which {
    /// All forms of a substance, by root id.
    Substance(String),
    /// One form, by id.
    Form(String),
    /// A hazard family or reactive group.
    Family(String),
    /// A hazard statement as it begins: `H360` is also `H360FD`.
    Statement(String),
    /// A hazard class as it begins: `Carc. 1B`.
    Class(String),
}

/// Whether a chemical is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Meant {
    /// It is not.
    No,
    /// Nobody has classified it: it may be.
    Perhaps,
    /// It is.
    Yes,
}

impl Target {
    /// The target of a name; what it could be is said where it is none.
    pub fn read(node: &Node, catalogue: &Catalogue, mistakes: &mut Mistakes) -> Option<Self> {
        let written = node.plain(mistakes)?.trim().to_owned();
        match which(&written, catalogue) {
            Some(which) => Some(Self { written, which }),
            None => {
                mistakes.note(unknown(node, &written, catalogue));
                None
            }
        }
    }

    /// Whether it means a chemical.
    pub fn means(&self, chemical: &Chemical) -> Meant {
        let yes = match &self.which {
            Which::Substance(root) => chemical.root() == root,
            Which::Form(id) => chemical.id == *id,
            Which::Family(id) => chemical.families.contains(id) || chemical.groups.contains(id),
            Which::Statement(code) => chemical
                .classes()
                .iter()
                .filter_map(|(class, _)| class.rsplit_once(' '))
                .map(|(_, statement)| statement.trim_end_matches('*'))
                .chain(
                    chemical
                        .classification
                        .supplemental
                        .iter()
                        .map(String::as_str),
                )
                .any(|statement| statement.starts_with(code.as_str())),
            Which::Class(name) => chemical
                .classes()
                .iter()
                .any(|(class, _)| class_of(class).starts_with(name.as_str())),
        };
        let by_class = matches!(self.which, Which::Statement(_) | Which::Class(_));
        match (
            yes,
            by_class && chemical.is_unclassified() && chemical.root() != "water",
        ) {
            (true, _) => Meant::Yes,
            (false, true) => Meant::Perhaps,
            (false, false) => Meant::No,
        }
    }

    /// Whether both mean the same, however they are written.
    pub fn is_same(&self, other: &Self) -> bool {
        self.which == other.which
    }

    /// Whether a rule is about one of these; a rule without target is about everything.
    pub fn concerns_any(about: &Option<Self>, chemicals: &[Arc<Chemical>]) -> bool {
        about.as_ref().is_none_or(|target| {
            chemicals
                .iter()
                .any(|chemical| target.means(chemical) > Meant::No)
        })
    }
}

/// `Acute Tox. 4* H302` → `Acute Tox. 4`.
fn class_of(written: &str) -> &str {
    written
        .rsplit_once(' ')
        .map_or(written, |(class, _)| class)
        .trim_end_matches('*')
}

fn which(written: &str, catalogue: &Catalogue) -> Option<Which> {
    if is_statement(written) {
        return Some(Which::Statement(written.to_owned()));
    }
    let folded = fold(written);
    match catalogue.named(written) {
        Some(Named::Entry(chemical)) if chemical.form_of.is_none() => {
            return Some(Which::Substance(chemical.id.clone()));
        }
        Some(Named::Entry(chemical)) => return Some(Which::Form(chemical.id.clone())),
        Some(Named::Bare(forms)) => {
            return forms
                .first()
                .map(|root| Which::Substance(root.root().to_owned()));
        }
        Some(Named::Several(_)) | None => {}
    }
    let known = families(catalogue);
    if let Some(id) = known.iter().find(|id| fold(id) == folded) {
        return Some(Which::Family((*id).to_owned()));
    }
    let class = |chemical: &Arc<Chemical>| {
        let classes = chemical.classes();
        classes
            .iter()
            .any(|(class, _)| class_of(class).starts_with(written))
    };
    // A class that no chemical has is a slip of the pen more often than a rule.
    let looks_so = written.len() >= 4 && written.contains(". ");
    (looks_so && catalogue.chemicals().any(class)).then(|| Which::Class(written.to_owned()))
}

/// `H350`, `H360FD`, `EUH031`.
fn is_statement(text: &str) -> bool {
    let rest = text.strip_prefix("EUH").or_else(|| text.strip_prefix('H'));
    rest.is_some_and(|rest| {
        rest.len() >= 3
            && rest.chars().take(3).all(|c| c.is_ascii_digit())
            && rest.chars().skip(3).all(|c| c.is_ascii_alphabetic())
    })
}

fn families(catalogue: &Catalogue) -> Vec<&str> {
    catalogue
        .family_ids()
        .chain(catalogue.group_ids())
        .collect()
}

fn unknown(node: &Node, written: &str, catalogue: &Catalogue) -> Mistake {
    let message =
        format!("`{written}` is no chemical, family, group, class or statement known here");
    let list = "write a chemical by name or CAS number, a hazard family (`chromate`), a class (`Carc. 1B`) or a statement (`H350`)";
    if let Some(Named::Several(forms)) = catalogue.named(written) {
        let names: Vec<&str> = forms.iter().map(|form| form.name.as_str()).collect();
        let message = format!("`{written}` leaves open which of several is meant");
        return Mistake::at(
            node.place.clone(),
            message,
            format!("write one of {}", names.join("; ")),
        );
    }
    let near = catalogue
        .nearest(written)
        .or_else(|| nearest(written, families(catalogue).into_iter()));
    match near {
        Some(near) => Mistake::at(
            node.place.clone(),
            message,
            format!("did you mean `{near}`?"),
        )
        .or(list),
        None => Mistake::at(node.place.clone(), message, list),
    }
}

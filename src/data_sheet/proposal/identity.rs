//! Section 1: which jar it is, and who sold it.

use super::hazards::in_section;
use super::sections::Line;
use super::terms::{Labels, Terms, after};
use super::{Doubt, Field, Proposal, Why};
use crate::catalogue::{Catalogue, Named, cas_checks};

/// What the catalogue makes of a name or number.
enum Jar {
    One(String),
    Several(Vec<String>),
    None,
}

/// The jar by the product's name, or by its CAS number where the name leads nowhere; the supplier.
pub(super) fn propose(
    lines: &[Line<'_>],
    terms: &Terms,
    catalogue: &Catalogue,
    proposal: &mut Proposal,
) {
    let first = in_section(lines, 1);
    let labels = &terms.labels;
    let mut suppliers = labelled(&first, &labels.supplier).into_iter();
    if let Some((supplier, line)) = suppliers.next() {
        proposal.add(Field::Supplier, supplier.to_owned(), &[line]);
    }
    let names = labelled(&first, &labels.product);
    let by_name = names
        .iter()
        .map(|(name, line)| (jar(name, catalogue), *line));
    let by_name: Vec<(Jar, Line<'_>)> = by_name.collect();
    let number = cas(lines, labels);
    let by_number = number.map(|(cas, line)| (jar(cas, catalogue), line, cas));
    let named = by_name.iter().find_map(|(jar, line)| match jar {
        Jar::One(id) => Some((id, *line)),
        _ => None,
    });
    match (named, by_number) {
        (Some((id, line)), Some((_, at, cas))) => {
            let own = catalogue
                .chemical(id)
                .and_then(|chemical| chemical.cas.clone());
            if own.is_none_or(|own| own == cas) {
                proposal.add(Field::Chemical, id.clone(), &[line, at]);
            } else {
                let doubts = [line, at].map(|line| Doubt::of(line, Why::NameAndNumber));
                proposal.doubts.extend(doubts);
            }
        }
        (Some((id, line)), None) => proposal.add(Field::Chemical, id.clone(), &[line]),
        // By the number alone only where the name leaves its form open, or there is none: a solution
        // has the number of what is dissolved in it.
        (None, Some((Jar::One(id), at, _))) if leads_to(&by_name, &id) => {
            proposal.add(Field::Chemical, id, &[at]);
        }
        (None, Some((Jar::Several(ids), at, _))) if by_name.is_empty() => {
            proposal.doubts.push(Doubt::of(at, Why::JarOpen(ids)));
        }
        (None, _) => {
            let doubts = by_name.into_iter().map(|(jar, line)| match jar {
                Jar::Several(ids) => Doubt::of(line, Why::JarOpen(ids)),
                _ => Doubt::of(line, Why::NotInCatalogue),
            });
            proposal.doubts.extend(doubts);
        }
    }
}

/// Whether every name on the sheet leaves open a form that this is one of.
fn leads_to(names: &[(Jar, Line<'_>)], id: &String) -> bool {
    let open = |jar: &Jar| matches!(jar, Jar::Several(ids) if ids.contains(id));
    names.iter().all(|(jar, _)| open(jar))
}

fn jar(name: &str, catalogue: &Catalogue) -> Jar {
    match catalogue.named(name) {
        Some(Named::Entry(chemical)) => Jar::One(chemical.id.clone()),
        Some(Named::Bare(forms) | Named::Several(forms)) => {
            Jar::Several(forms.iter().map(|form| form.id.clone()).collect())
        }
        None => Jar::None,
    }
}

/// What stands after a label: on its line, or on the next where it stands alone.
fn labelled<'t>(lines: &[Line<'t>], labels: &[String]) -> Vec<(&'t str, Line<'t>)> {
    let mut found = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        match after(line.bare(), labels) {
            Some("") => {
                let next = lines.get(index + 1..).unwrap_or(&[]);
                let next = next.iter().find(|line| !line.text.is_empty());
                // A line with a label of its own is no value.
                let plain = next.filter(|line| !line.text.contains(':'));
                found.extend(plain.map(|line| (line.text, *line)));
            }
            Some(value) => found.push((value, *line)),
            None => {}
        }
    }
    found
}

/// The CAS number of section 1, or the only one of section 3; water beside it does not count.
fn cas<'t>(lines: &[Line<'t>], labels: &Labels) -> Option<(&'t str, Line<'t>)> {
    const WATER: &str = "7732-18-5";
    let of = |section: u8| {
        let mut found: Vec<(&'t str, Line<'t>)> = Vec::new();
        for line in in_section(lines, section) {
            let is_labelled = section == 3 || after(line.bare(), &labels.cas).is_some();
            let words = line.text.split(|c: char| !(c.is_ascii_digit() || c == '-'));
            for word in words.filter(|word| is_labelled && cas_checks(word) && *word != WATER) {
                if !found.iter().any(|(other, _)| *other == word) {
                    found.push((word, line));
                }
            }
        }
        match found.as_slice() {
            [one] => Some(*one),
            _ => None,
        }
    };
    of(1).or_else(|| of(3))
}

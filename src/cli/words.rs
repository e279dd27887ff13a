//! Sources in words, and text in lines for the terminal.

use crate::catalogue::Catalogue;
use crate::provenance::Origin;

use super::report::wrap;

/// Where something is from, in words: the place in the source, then the source's title.
pub fn source(origin: &Origin, catalogue: &Catalogue) -> String {
    let Origin::Published { reference, at } = origin else {
        return origin.to_string();
    };
    let title = catalogue.bibliography().get(reference);
    let title = title.map_or(reference.as_str(), |found| found.title.as_str());
    if at.is_empty() {
        title.to_owned()
    } else {
        format!("{at} ({title})")
    }
}

/// Lines of at most 79 characters, the first after a label, the others indented as far.
pub fn hanging(label: &str, text: &str, indent: usize) -> String {
    let space = " ".repeat(indent);
    let lines = wrap(text, 79 - indent).join(&format!("\n{space}"));
    let width = label.chars().count();
    // A label that is too long has a line to itself.
    if width + 1 > indent {
        format!("{label}\n{space}{lines}")
    } else {
        format!("{label}{}{lines}", " ".repeat(indent - width))
    }
}

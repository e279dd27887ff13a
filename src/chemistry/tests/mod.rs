//! Checks of this room against published values and against laws.

mod baths;
mod laws;
mod ph_reference;
mod physical;

use std::sync::LazyLock;

use crate::catalogue::DataFiles;
use crate::chemistry::Chemistry;

static CHEMISTRY: LazyLock<Chemistry> = LazyLock::new(|| {
    Chemistry::load(&DataFiles::embedded()).unwrap_or_else(|error| panic!("{error}"))
});

/// The data as they come with the program, read once.
pub fn chemistry() -> &'static Chemistry {
    &CHEMISTRY
}

/// The rows of a reference table by column name: lines of `#` and the heading aside.
pub fn rows(text: &str) -> Vec<std::collections::BTreeMap<String, String>> {
    let mut lines = text
        .lines()
        .filter(|line| !line.starts_with('#') && !line.is_empty());
    let heading: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    lines
        .map(|line| {
            let cells = line.split(',').map(str::to_owned);
            heading
                .iter()
                .map(|name| (*name).to_owned())
                .zip(cells)
                .collect()
        })
        .collect()
}

pub fn number(row: &std::collections::BTreeMap<String, String>, column: &str) -> f64 {
    row.get(column)
        .and_then(|cell| cell.parse().ok())
        .unwrap_or_else(|| panic!("{column} in {row:?}"))
}

//! The room against the regulation's own tables and published worked examples.

mod examples;
mod file;
mod label;
mod limits;
mod notation;
mod properties;

use super::{Classes, HazardClass, Ingredient, Labelling, Rules};
use crate::catalogue::DataFiles;
use crate::units::Percent;

fn classes() -> Classes {
    Classes::read(&DataFiles::embedded()).unwrap()
}

fn labelling() -> Labelling {
    Labelling::read(&DataFiles::embedded()).unwrap()
}

fn hazards(texts: &[&str]) -> Vec<HazardClass> {
    let classes = classes();
    texts.iter().map(|t| classes.parse(t).unwrap()).collect()
}

fn rules() -> Rules {
    Rules::read(&DataFiles::embedded()).unwrap()
}

fn no_catalogue(name: &str, _: Percent) -> Result<Ingredient, String> {
    Err(format!("`{name}` is not in the catalogue"))
}

//! The room against the regulation's own tables and published worked examples.

mod label;
mod notation;

use super::{Classes, HazardClass, Labelling};
use crate::catalogue::DataFiles;

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

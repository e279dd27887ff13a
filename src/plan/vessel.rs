//! `amber glass bottle 1 L x 2` → what vessel, how large, how many.

use crate::catalogue::{Catalogue, Vessel, fold};
use crate::units::Volume;

/// A vessel or bottle of the session.
#[derive(Debug, Clone)]
pub struct PlannedVessel {
    /// As written.
    pub written: String,
    /// What it is, when the vessel list knows it.
    pub vessel: Option<Vessel>,
    /// How much one holds, when written.
    pub capacity: Option<Volume>,
    /// How many.
    pub count: u32,
}

impl PlannedVessel {
    /// Reads a vessel; what is not written or not known stays open.
    pub fn read(text: &str, catalogue: &Catalogue) -> Self {
        let mut words: Vec<&str> = text.split_whitespace().collect();
        let count = take_count(&mut words);
        let capacity = take_capacity(&mut words);
        let folded: Vec<String> = words.iter().map(|word| fold(word)).collect();
        let vessel = catalogue.vessel(&folded);
        Self {
            written: text.to_owned(),
            vessel,
            capacity,
            count,
        }
    }

    /// What all of them hold together.
    pub fn total(&self) -> Option<Volume> {
        self.capacity
            .and_then(|one| one.scaled(f64::from(self.count)).ok())
    }
}

/// `x 2`, `2 x`, `×2`: how many; one when nothing is said.
fn take_count(words: &mut Vec<&str>) -> u32 {
    let is_times = |word: &str| matches!(word, "x" | "X" | "×");
    for at in 0..words.len() {
        let glued = words[at]
            .strip_prefix(['x', '×'])
            .and_then(|rest| rest.parse().ok());
        if let Some(count) = glued {
            words.remove(at);
            return count;
        }
        if !is_times(words[at]) {
            continue;
        }
        for beside in [at + 1, at.wrapping_sub(1)] {
            if let Some(count) = words.get(beside).and_then(|word| word.parse().ok()) {
                words.drain(at.min(beside)..=at.max(beside));
                return count;
            }
        }
    }
    1
}

/// The first stretch of one to three words that reads as a volume.
fn take_capacity(words: &mut Vec<&str>) -> Option<Volume> {
    for at in 0..words.len() {
        for length in (1..=3.min(words.len() - at)).rev() {
            if let Ok(volume) = words[at..at + length].join(" ").parse() {
                words.drain(at..at + length);
                return Some(volume);
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn size_and_number_are_taken_from_the_words() {
        for (text, litres, count, left) in [
            ("amber glass bottle 1 L x 2", 1.0, 2, "amber glass bottle"),
            ("3 L beaker", 3.0, 1, "beaker"),
            ("2 x 500mL bottle", 0.5, 2, "bottle"),
            (
                "HDPE bottle 1 US gallon ×3",
                3.785_411_784,
                3,
                "HDPE bottle",
            ),
        ] {
            let mut words: Vec<&str> = text.split_whitespace().collect();
            assert_eq!(take_count(&mut words), count, "{text}");
            let volume = take_capacity(&mut words).unwrap();
            assert!((volume.litres() - litres).abs() < 1e-9, "{text}");
            assert_eq!(words.join(" "), left);
        }
    }
}

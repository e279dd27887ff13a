//! Sizes of labels by capacity: `hazards/label-sizes.yaml`.

use serde::Deserialize;

use crate::catalogue::{DataError, DataFiles};
use crate::classify::{HazardClass, Profile, Signal};
use crate::provenance::Origin;
use crate::units::Volume;

const FILE: &str = "hazards/label-sizes.yaml";

/// What the law says about the measure of labels; see the file for what each figure means.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LabelRules {
    /// From the smallest label on.
    pub sizes: Vec<Size>,
    x_height: Vec<XHeight>,
    line_spacing: Spacing,
    small: Small,
    waste_titles: Vec<WasteTitle>,
    waste_pictograms: Vec<WastePictograms>,
}

/// A label's width, height and pictograms, in millimetres.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Size {
    /// As it is written on the command line: `74x52`.
    pub id: String,
    up_to_l: f64,
    /// Across.
    pub width_mm: u16,
    /// Down.
    pub height_mm: u16,
    /// Side of the square that stands on its point.
    pub pictogram_mm: Side,
    /// Where it was read.
    pub from: Origin,
}

/// The side that is wanted, and the least that will do.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Side {
    /// Where there is room.
    pub wanted: f64,
    /// Never smaller.
    pub least: f64,
}

/// Sides a pictogram may have, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sides {
    /// Where there is room to spare.
    pub largest: f64,
    /// What the law wants where it can be had.
    pub wanted: f64,
    /// Never smaller.
    pub least: f64,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct XHeight {
    up_to_l: f64,
    mm: f64,
    #[serde(rename = "from")]
    _from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Spacing {
    value: f64,
    #[serde(rename = "from")]
    _from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Small {
    up_to_l: f64,
    used_in: Vec<Profile>,
    all: Vec<String>,
    precautions: Vec<String>,
    nothing: Vec<String>,
    #[serde(rename = "from")]
    _from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct WasteTitle {
    rules: String,
    words: String,
    #[serde(rename = "from")]
    _from: Origin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct WastePictograms {
    stream: String,
    signal: Signal,
    pictograms: Vec<String>,
    #[serde(default)]
    gained: Vec<String>,
    #[serde(rename = "from")]
    _from: Origin,
}

/// What a small bottle may leave out.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LeftOut {
    /// H statements.
    pub statements: Vec<String>,
    /// All P statements.
    pub precautions: bool,
}

impl LabelRules {
    /// Reads the file.
    ///
    /// # Errors
    /// When it is missing or misshapen, or names no size.
    pub fn load(files: &DataFiles) -> Result<Self, DataError> {
        let rules: Self = files.read(FILE)?;
        if rules.sizes.is_empty() || rules.x_height.is_empty() {
            return Err(DataError::new(FILE, "no size of label is given"));
        }
        Ok(rules)
    }

    /// The least label for a capacity; the largest known where it holds more.
    pub fn size_for(&self, capacity: Volume) -> Option<&Size> {
        self.sizes
            .iter()
            .find(|size| capacity.litres() <= size.up_to_l)
            .or(self.sizes.last())
    }

    /// The sides of pictograms on a label: as large as it asks for, but no larger than need be for
    /// what the container holds.
    pub fn sides(&self, size: &Size, capacity: Volume) -> Sides {
        let legal = self
            .size_for(capacity)
            .map_or(size.pictogram_mm, |legal| legal.pictogram_mm);
        Sides {
            largest: size.pictogram_mm.wanted.max(legal.wanted),
            wanted: legal.wanted,
            least: legal.least,
        }
    }

    /// Height of a small x in millimetres for a capacity.
    pub fn x_height_mm(&self, capacity: Volume) -> f64 {
        let found = self
            .x_height
            .iter()
            .find(|row| capacity.litres() <= row.up_to_l);
        found.or(self.x_height.last()).map_or(0.0, |row| row.mm)
    }

    /// From one baseline to the next, in type sizes.
    pub fn line_spacing(&self) -> f64 {
        self.line_spacing.value
    }

    /// What the label of a bottle may leave out for its smallness.
    pub fn left_out(
        &self,
        capacity: Volume,
        classes: &[&HazardClass],
        profile: Profile,
    ) -> LeftOut {
        let small = &self.small;
        if capacity.litres() > small.up_to_l || !small.used_in.contains(&profile) {
            return LeftOut::default();
        }
        let named =
            |list: &[String], class: &HazardClass| list.iter().any(|name| name == class.name());
        let free = |class: &HazardClass| named(&small.all, class) || named(&small.nothing, class);
        // A statement stays where any class that has no relief carries it.
        let kept = |statement: &String| {
            classes
                .iter()
                .any(|c| !free(c) && c.statement == *statement)
        };
        let statements = classes
            .iter()
            .filter(|class| free(class))
            .map(|class| class.statement.clone());
        LeftOut {
            statements: statements.filter(|statement| !kept(statement)).collect(),
            precautions: classes
                .iter()
                .all(|class| free(class) || named(&small.precautions, class)),
        }
    }

    /// The name of the words a rule in force demands above waste.
    pub fn waste_title(&self, rules: &[String]) -> &str {
        let demanded = self
            .waste_titles
            .iter()
            .find(|title| rules.contains(&title.rules));
        demanded.map_or("waste", |title| &title.words)
    }

    /// The signal word of a stream at its usual worst.
    pub fn waste_signal(&self, stream: &str) -> Option<Signal> {
        self.waste_pictograms
            .iter()
            .find(|row| row.stream == stream)
            .map(|row| row.signal)
    }

    /// The pictograms that a stream's container shows: where its baths were computed, those that
    /// come of what they gain in use; otherwise those of the stream at its usual worst.
    pub fn waste_pictograms(&self, stream: &str, computed: bool) -> &[String] {
        let row = self
            .waste_pictograms
            .iter()
            .find(|row| row.stream == stream);
        row.map_or(&[], |row| {
            if computed {
                &row.gained
            } else {
                &row.pictograms
            }
        })
    }
}

//! The place: the room, its air, its numbers, who answers for it.

use std::sync::Arc;

use crate::source::yaml::{self, Node};
use crate::source::{Fields, Mistake, Mistakes, SourceFile};
use crate::units::{Duration, Mass, RoomVolume};

use super::Written;
use super::read::{air, one_of, texts};
use super::recipe::written;
use super::written::Air;

/// The place as written in `darkroom.yaml`; what is left out is unknown.
#[derive(Debug, Clone, Default)]
pub struct Darkroom {
    /// What the place is called.
    pub name: Option<String>,
    /// Whose rules apply, as written.
    pub rules: Vec<Written<String>>,
    /// Language of the documents.
    pub language: Option<Written<String>>,
    /// Who answers for the place.
    pub responsible: Responsible,
    /// Volume of the room.
    pub room: Option<Written<RoomVolume>>,
    /// Fresh air.
    pub air: Air,
    /// Readability of the scale.
    pub scale: Option<Written<Mass>>,
    /// The water from the tap or can.
    pub water: Option<Written<String>>,
    /// Where the eyewash is.
    pub eyewash: Option<String>,
    /// Where the spill kit is.
    pub spill_kit: Option<String>,
    /// Where the way out is.
    pub way_out: Option<String>,
    /// Emergency number.
    pub emergency: Option<String>,
    /// Poison advice.
    pub poison: Option<String>,
    /// The address to say on the phone.
    pub address: Option<String>,
    /// How often people are briefed anew.
    pub briefing_every: Option<Written<Duration>>,
    /// How old a supplier's data sheet may be.
    pub data_sheets_every: Option<Written<Duration>>,
    /// Sewer, septic tank or none.
    pub drain: Option<Written<String>>,
    /// Business, school or private.
    pub holder: Option<Written<String>>,
    /// The nation, where the rules of one country differ by it.
    pub nation: Option<Written<String>>,
    /// The jars on the shelf.
    pub jars: Vec<Written<String>>,
}

/// Who answers for the place.
#[derive(Debug, Clone, Default)]
pub struct Responsible {
    /// Name.
    pub name: Option<String>,
    /// Number.
    pub phone: Option<String>,
}

const FIELDS: &[&str] = &[
    "name",
    "rules",
    "language",
    "responsible",
    "room",
    "air",
    "scale",
    "water",
    "eyewash",
    "spill_kit",
    "way_out",
    "emergency",
    "poison",
    "address",
    "briefing_every",
    "data_sheets_every",
    "drain",
    "holder",
    "nation",
    "jars",
];

/// Nations of the United Kingdom, each with rules of its own.
const NATIONS: &[&str] = &["england", "wales", "scotland", "northern-ireland"];

impl Darkroom {
    /// Reads the place.
    ///
    /// # Errors
    /// Everything in the file that cannot be taken as it stands.
    pub fn read(file: &Arc<SourceFile>) -> Result<Self, Vec<Mistake>> {
        let node = yaml::parse(file).map_err(|mistake| vec![mistake])?;
        let mut mistakes = Mistakes::default();
        let place = read(&node, &mut mistakes);
        mistakes.or_value(place)
    }
}

fn read(node: &Node, mistakes: &mut Mistakes) -> Option<Darkroom> {
    let fields = Fields::of(node, "the place", FIELDS, mistakes)?;
    Some(Darkroom {
        name: fields.text("name", mistakes),
        rules: rules(&fields, mistakes),
        language: one_of(
            &fields,
            "language",
            &["en", "de", "fr", "it", "es"],
            mistakes,
        ),
        responsible: fields
            .get("responsible")
            .and_then(|node| responsible(node, mistakes))
            .unwrap_or_default(),
        room: written(&fields, "room", mistakes),
        air: fields
            .get("air")
            .and_then(|node| air(node, mistakes))
            .unwrap_or_default(),
        scale: written(&fields, "scale", mistakes),
        water: written(&fields, "water", mistakes),
        eyewash: fields.text("eyewash", mistakes),
        spill_kit: fields.text("spill_kit", mistakes),
        way_out: fields.text("way_out", mistakes),
        emergency: fields.text("emergency", mistakes),
        poison: fields.text("poison", mistakes),
        address: fields.text("address", mistakes),
        briefing_every: written(&fields, "briefing_every", mistakes),
        data_sheets_every: written(&fields, "data_sheets_every", mistakes),
        drain: one_of(&fields, "drain", &["sewer", "septic", "none"], mistakes),
        holder: one_of(
            &fields,
            "holder",
            &["business", "school", "private"],
            mistakes,
        ),
        nation: one_of(&fields, "nation", NATIONS, mistakes),
        jars: texts(&fields, "jars", mistakes),
    })
}

fn responsible(node: &Node, mistakes: &mut Mistakes) -> Option<Responsible> {
    if let Some(name) = node.text() {
        return Some(Responsible {
            name: Some(name.to_owned()),
            phone: None,
        });
    }
    let fields = Fields::of(node, "who is responsible", &["name", "phone"], mistakes)?;
    Some(Responsible {
        name: fields.text("name", mistakes),
        phone: fields.text("phone", mistakes),
    })
}

/// Rules that nobody reads would be silently in force for nobody.
fn rules(fields: &Fields<'_>, mistakes: &mut Mistakes) -> Vec<Written<String>> {
    let rules = texts(fields, "rules", mistakes);
    for rule in &rules {
        let known = matches!(rule.value.as_str(), "eu" | "uk" | "us");
        if !known && !rule.value.ends_with(".yaml") {
            let message = format!("`{}` are no rules known here", rule.value);
            let help = "write eu, uk or us, or the name of a file in rules/ with its ending .yaml";
            mistakes.note(Mistake::at(rule.place.clone(), message, help));
        }
    }
    rules
}

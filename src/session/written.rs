//! A session: what is planned, by whom, with what.

use std::sync::Arc;

use chrono::NaiveDate;

use crate::source::{Place, SourceFile};
use crate::units::{AirFlow, Mass, Volume};

use super::Written;
use super::bath::{Rolls, Sheets, Tray};

/// A session as written.
#[derive(Debug, Clone)]
pub struct Session {
    /// The file.
    pub file: Arc<SourceFile>,
    /// What the day is called.
    pub title: String,
    /// The day, when stated.
    pub date: Option<NaiveDate>,
    /// Who is there.
    pub people: Vec<Person>,
    /// What is made.
    pub make: Vec<Make>,
    /// Sheets that go through the baths.
    pub sheets: Vec<Written<Sheets>>,
    /// Plates that are coated and go through the baths.
    pub plates: Vec<Written<Sheets>>,
    /// Rolls of film that go through the baths.
    pub rolls: Option<Written<Rolls>>,
    /// What is worn, as written.
    pub wear: Vec<Written<String>>,
    /// The air during the session; overrides the place.
    pub air: Air,
    /// Whether the person will be alone in the building.
    pub alone: Option<Written<bool>>,
    /// The jars used, where they are not what the recipe says.
    pub jars: Vec<Written<String>>,
    /// What else stands on the bench.
    pub bench: Vec<Written<String>>,
    /// The water used.
    pub water: Option<Written<String>>,
    /// The scale's readability.
    pub scale: Option<Written<Mass>>,
    /// A remark printed on the sheet.
    pub note: Option<String>,
}

/// Someone who is there.
#[derive(Debug, Clone)]
pub struct Person {
    /// Name, or what a group is called.
    pub name: String,
    /// Instructor, student, helper …
    pub role: Option<String>,
    /// How many, for a group.
    pub count: u32,
    /// How old; the youngest of a group.
    pub age: Option<u32>,
}

/// One solution to make.
#[derive(Debug, Clone)]
pub struct Make {
    /// The recipe's file name, as written.
    pub recipe: Written<String>,
    /// How much; the recipe's own amount when left out.
    pub volume: Option<Written<Volume>>,
    /// The vessel it is mixed in.
    pub vessel: Option<Written<String>>,
    /// What it is stored in.
    pub into: Option<Written<String>>,
    /// Where it stands while it is used.
    pub tray: Option<Tray>,
}

/// The air of the room.
#[derive(Debug, Clone, Default)]
pub struct Air {
    /// Fresh air as measured: counts as it stands.
    pub fresh_air: Option<Written<AirFlow>>,
    /// The fan's rated flow.
    pub fan: Option<Written<AirFlow>>,
    /// Where the fan blows: outdoors or same room.
    pub blows: Option<Written<String>>,
    /// Whether air can come in where the fan takes it out: open or none.
    pub inlet: Option<Written<String>>,
    /// Open or shut.
    pub window: Option<Written<String>>,
}

impl Session {
    /// The place of the whole file, for findings about what is missing from it.
    pub fn top(&self) -> Place {
        top(&self.file)
    }

    /// A session of which only the title is known, for what is looked at outside of any.
    pub fn without_recipes(file: &Arc<SourceFile>, title: &str) -> Self {
        Self {
            file: Arc::clone(file),
            title: title.to_owned(),
            date: None,
            people: Vec::new(),
            make: Vec::new(),
            sheets: Vec::new(),
            plates: Vec::new(),
            rolls: None,
            wear: Vec::new(),
            air: Air::default(),
            alone: None,
            jars: Vec::new(),
            bench: Vec::new(),
            water: None,
            scale: None,
            note: None,
        }
    }
}

/// The first line of a file.
pub(super) fn top(file: &Arc<SourceFile>) -> Place {
    Place {
        file: Arc::clone(file),
        line: 1,
        column: 1,
        length: 1,
    }
}

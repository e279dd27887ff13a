//! What a session says about its baths in use: the trays, and what goes through them.

use std::str::FromStr;

use crate::source::yaml::Node;
use crate::source::{Fields, Mistake, Mistakes};
use crate::units::{Area, Duration, Temperature};

use super::Written;
use super::read::yes_or_no;
use super::recipe::{each, written};

/// Where a solution stands while it is used.
#[derive(Debug, Clone)]
pub enum Tray {
    /// In no tray: it stays in its bottle or closed tank.
    Shut,
    /// In an open tray, as far as it is described.
    Open(Box<OpenTray>),
}

/// An open tray; what is left out is assumed, and the assumption stated.
#[derive(Debug, Clone, Default)]
pub struct OpenTray {
    /// Its surface.
    pub area: Option<Written<Area>>,
    /// How warm it is kept.
    pub at: Option<Written<Temperature>>,
    /// How long it stands open.
    pub lasts: Option<Written<Duration>>,
    /// Whether a lid lies on it when it is not in use.
    pub lid: Option<Written<bool>>,
}

impl OpenTray {
    /// Whether a lid is stated.
    pub fn has_lid(&self) -> bool {
        self.lid.as_ref().is_some_and(|lid| lid.value)
    }
}

/// Sheets or plates of one size: `20 of 24 x 30 cm`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sheets {
    /// How many.
    pub count: u32,
    /// How large one is, when stated.
    pub size: Option<Area>,
}

/// More than this a day is a slip of the pen.
const MOST_SHEETS: u32 = 100_000;

impl FromStr for Sheets {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (count, size) = match text.split_once(" of ") {
            Some((count, size)) => (count, Some(size)),
            None => (text, None),
        };
        let size = size.map(|size| size.parse::<Area>().map_err(|error| error.to_string()));
        Ok(Self {
            count: counted(count)?,
            size: size.transpose()?,
        })
    }
}

/// A whole number of rolls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rolls(pub u32);

impl FromStr for Rolls {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        counted(text).map(Self)
    }
}

fn counted(text: &str) -> Result<u32, String> {
    let count = text.trim().parse().ok();
    count.filter(|count| *count <= MOST_SHEETS).ok_or_else(|| {
        format!("`{}` is not a number of sheets, plates or rolls: write it like `20 of 24 x 30 cm`, rolls like `3`", text.trim())
    })
}

pub(super) fn sheets(
    fields: &Fields<'_>,
    name: &str,
    mistakes: &mut Mistakes,
) -> Vec<Written<Sheets>> {
    each(fields, name, mistakes, Node::parse)
}

/// `tray: 30 x 40 cm`, `tray: none`, or a group of what is known of it.
pub(super) fn tray(node: &Node, mistakes: &mut Mistakes) -> Option<Tray> {
    let Some(text) = node.text() else {
        return open_tray(node, mistakes);
    };
    if matches!(text, "none" | "no") {
        return Some(Tray::Shut);
    }
    let area = Written {
        value: node.parse(mistakes)?,
        place: node.place.clone(),
    };
    let tray = OpenTray {
        area: Some(area),
        ..OpenTray::default()
    };
    Some(sound(tray, mistakes))
}

fn open_tray(node: &Node, mistakes: &mut Mistakes) -> Option<Tray> {
    let fields = Fields::of(node, "a tray", &["area", "at", "for", "lid"], mistakes)?;
    let tray = OpenTray {
        area: written(&fields, "area", mistakes),
        at: written(&fields, "at", mistakes),
        lasts: written(&fields, "for", mistakes),
        lid: fields.get("lid").and_then(|node| yes_or_no(node, mistakes)),
    };
    Some(sound(tray, mistakes))
}

/// Notes what no tray can be.
fn sound(tray: OpenTray, mistakes: &mut Mistakes) -> Tray {
    let mut refuse = |place: Option<&crate::source::Place>, message: &str, help: &str| {
        mistakes.note_all(place.map(|place| Mistake::at(place.clone(), message, help)));
    };
    let area = tray.area.as_ref().filter(|area| area.value.m2() <= 0.0);
    let help = "write its sides, like `30 x 40 cm`, or `tray: none`";
    refuse(area.map(|a| &a.place), "a tray has a surface", help);
    let warm = |at: &&Written<Temperature>| !(0.0..=100.0).contains(&at.value.celsius());
    let at = tray.at.as_ref().filter(warm);
    let help = "write 0 to 100 °C";
    refuse(at.map(|at| &at.place), "a bath is of liquid water", help);
    let day = |lasts: &&Written<Duration>| !(0.0..=24.0).contains(&lasts.value.hours());
    let lasts = tray.lasts.as_ref().filter(day);
    let help = "write up to 24 h";
    refuse(
        lasts.map(|l| &l.place),
        "a session is no longer than a day",
        help,
    );
    Tray::Open(Box::new(tray))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sheets_as_people_write_them() {
        let read = |text: &str| text.parse::<Sheets>();
        let twenty = read("20 of 24 x 30 cm").unwrap();
        assert_eq!(twenty.count, 20);
        assert!((twenty.size.unwrap().m2() - 0.072).abs() < 1e-12);
        assert_eq!(
            read("7").unwrap(),
            Sheets {
                count: 7,
                size: None
            }
        );
        for wrong in [
            "",
            "many",
            "-3",
            "2.5",
            "20 of 24",
            "20 of big",
            "99999999999",
        ] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }
}

//! A container, bottle or tray of the ledger as one side.

use crate::assessment::Tools;
use crate::catalogue::fold;
use crate::ledger::{Content, Holdings, Ledger, NewPlace, Unit};
use crate::source::nearest;
use crate::waste::RulePack;

use super::litre::litres;
use super::measured::Measured;
use crate::cli::workspace::Workspace;
use crate::cli::{Error, book};

/// The places of the workspace's ledger; none where none is kept.
pub(super) struct Places {
    ledger: Option<Ledger>,
    places: Vec<NewPlace>,
}

impl Places {
    /// Reads them.
    ///
    /// # Errors
    /// When there is a ledger and it cannot be read.
    pub fn of(workspace: &Workspace) -> Result<Self, Error> {
        let ledger = book::open_if_kept(workspace)?;
        let places = match &ledger {
            Some(ledger) => ledger.places()?,
            None => Vec::new(),
        };
        Ok(Self { ledger, places })
    }

    /// The place of this name, however it is spaced or capitalised.
    pub fn exactly(&self, name: &str) -> Option<&str> {
        let key = fold(name);
        let mut named = self.places.iter().filter(|place| fold(&place.name) == key);
        match (named.next(), named.next()) {
            (Some(only), None) => Some(&only.name),
            (Some(_), Some(_)) => self.names().find(|place| *place == name),
            _ => None,
        }
    }

    /// The only place whose name begins so.
    pub fn beginning_with(&self, name: &str) -> Option<String> {
        book::place_named(name, &self.places)
    }

    /// The place that may be meant.
    pub fn nearest(&self, name: &str) -> Option<&str> {
        nearest(name, self.names())
    }

    fn names(&self) -> impl Iterator<Item = &str> {
        self.places.iter().map(|place| place.name.as_str())
    }

    /// A litre or kilogram of what it holds, all of it being usual.
    ///
    /// # Errors
    /// When it holds nothing, or the ledger cannot be read.
    pub fn measured(
        &self,
        place: &str,
        workspace: &Workspace,
        tools: &Tools<'_>,
        assumed: &mut Vec<String>,
    ) -> Result<Measured, Error> {
        let contents = match &self.ledger {
            Some(ledger) => ledger.contents(place)?.unwrap_or_default(),
            None => Vec::new(),
        };
        let whole: i64 = contents.iter().map(|content| content.amount.max(0)).sum();
        if whole <= 0 {
            return Err(Error::other(
                format!("by the book `{place}` holds nothing"),
                "name what was in it last, or what is to go in: an unwashed vessel holds traces",
            ));
        }
        let streams = RulePack::load(workspace.catalogue.files(), "eu")?.streams;
        let holdings = Holdings {
            catalogue: &workspace.catalogue,
            streams: &streams,
            litres: litres(
                workspace,
                tools,
                contents.iter().map(|content| content.name.as_str()),
            ),
        };
        let party = holdings.party(place, &contents);
        assumed.push(said(place, &contents));
        let by_volume = contents
            .iter()
            .any(|content| content.unit == Unit::Microlitre);
        let parts = whole as f64 * if by_volume { 1e-6 } else { 1e-12 };
        let density = party.bath.as_ref().map_or(1.0, |bath| bath.mass_kg / parts);
        let whole = Measured {
            party,
            usual: parts,
            density: by_volume.then_some(density),
        };
        Ok(whole.per(parts))
    }
}

fn said(place: &str, contents: &[Content]) -> String {
    let names: Vec<&str> = contents
        .iter()
        .map(|content| content.name.as_str())
        .collect();
    format!(
        "`{place}` holds by the ledger: {}; a bath counts as its recipe makes it, undiluted, with what such waste takes up",
        names.join(", ")
    )
}

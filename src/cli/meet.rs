//! `meet`: what comes of two things in one vessel.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;

use crate::air::GasFigures;
use crate::assessment::Tools;
use crate::assessment::air::burst;
use crate::document::Wording;
use crate::document::meet::{MeetSheet, Told, meet_json};
use crate::plan::Setting;
use crate::reaction::{Amounts, Meeting, Room, Verdict, meet};
use crate::session::Amount;
use crate::units::RoomVolume;

use super::Error;
use super::medium::{self, Medium};
use super::party::{Ratio, parties};
use super::workspace::{Given, Workspace};
use crate::rules::{Document, Subjects};

/// Where no room is stated: a small darkroom, m³.
const ROOM: f64 = 30.0;

/// Tell what comes of two chemicals or solutions in one vessel: gas at most, heat, pH.
#[derive(Args)]
pub struct Meet {
    /// A recipe (file or name), a container or bottle of the ledger, or a chemical.
    a: String,
    /// Another.
    b: String,
    /// Parts of the one to parts of the other: litres of baths and liquids, kilograms of powders.
    /// Left out, gas is told for the ratio that gives off the most.
    #[arg(long, value_name = "1:1")]
    ratio: Option<Ratio>,
    /// How much of the first: what its recipe makes, what the container holds, or 100 g or 100 mL,
    /// where left out.
    #[arg(long, value_name = "AMOUNT")]
    amount_a: Option<Amount>,
    /// How much of the other: by the ratio where left out.
    #[arg(long, value_name = "AMOUNT", conflicts_with = "ratio")]
    amount_b: Option<Amount>,
    /// The room a gas spreads in; the workspace's where left out.
    #[arg(long, value_name = "30m3")]
    room: Option<RoomVolume>,
    /// Tell how the figures came about.
    #[arg(long)]
    explain: bool,
    /// On the terminal, everything; a file and any `--format` hold everything as it is.
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    medium: Medium,
}

impl Meet {
    /// Runs the command. Exit code 1 where the two are to be kept apart.
    ///
    /// # Errors
    /// When a name leads nowhere, a recipe cannot be read, or the page cannot be written.
    pub fn run(mut self, given: Given<'_>) -> Result<ExitCode, Error> {
        let near = [&self.a, &self.b]
            .map(PathBuf::from)
            .into_iter()
            .find(|path| path.is_file());
        let workspace = Workspace::open(given, near.as_deref())?;
        let (catalogue, rules, chemistry) = (
            &workspace.catalogue,
            workspace.rules()?,
            workspace.chemistry()?,
        );
        let tools = Tools {
            catalogue,
            rules,
            chemistry,
        };
        let (a, b, mut assumed) = parties(
            &workspace,
            &tools,
            (&self.a, self.amount_a),
            (&self.b, self.amount_b),
            self.ratio,
        )?;
        let room = self.room(&workspace, &mut assumed)?;
        let (amounts, gases) = (self.amounts(), &rules.gases);
        let mut meeting = meet(&a, &b, amounts, Room(room), chemistry, catalogue, gases);
        meeting.assumptions.extend(assumed);
        let chemicals: Vec<_> = a.chemicals.iter().chain(&b.chemicals).cloned().collect();
        let subjects = Subjects {
            chemicals: &chemicals,
            streams: &[],
        };
        let house = workspace.in_force.lines(Document::Meet, subjects);
        self.medium = self.medium.with_house(house);
        let language = self.medium.language(workspace.language());
        let wording = Wording::of(catalogue, &language)?;
        let air = in_air(&meeting, room, &workspace, &tools);
        let told = Told {
            a: &a,
            b: &b,
            meeting: &meeting,
            room,
            air: &air,
            wording: &wording,
            bibliography: catalogue.bibliography(),
        };
        let sheet = MeetSheet::of(told, self.explain);
        let bytes = self.medium.bytes(
            catalogue,
            &language,
            &self.medium.page("meet", self.all || self.explain),
            &sheet,
            || meet_json(told),
            None,
        )?;
        medium::write(
            &self.medium,
            &bytes,
            &[Path::new(&self.a), Path::new(&self.b)],
        )?;
        Ok(ExitCode::from(u8::from(
            meeting.verdict == Verdict::KeepApart,
        )))
    }
}

impl Meet {
    /// The room stated here or of the workspace, or one that is taken and said to be.
    fn room(&self, workspace: &Workspace, assumed: &mut Vec<String>) -> Result<RoomVolume, Error> {
        if let Some(room) = self.room {
            return Ok(room);
        }
        let (room, is_stated) = room_of(workspace)?;
        if !is_stated {
            assumed.push(format!("no room is stated: {ROOM} m³ is taken"));
        }
        Ok(room)
    }

    /// Where nobody says how much of each, the worst is looked for.
    fn amounts(&self) -> Amounts {
        if self.ratio.is_some() || self.amount_a.and(self.amount_b).is_some() {
            Amounts::AsGiven
        } else {
            Amounts::Worst
        }
    }
}

/// Each gas that comes of it, let out at once into the air of the place.
fn in_air(
    meeting: &Meeting,
    room: RoomVolume,
    workspace: &Workspace,
    tools: &Tools<'_>,
) -> Vec<GasFigures> {
    let place = workspace.place.clone().unwrap_or_default();
    let setting = Setting {
        room: Some(room),
        ..Setting::of_place(&place)
    };
    let gases = meeting.events.iter().filter_map(|event| event.gas.as_ref());
    gases
        .filter_map(|gas| {
            let grams = gas.greatest_g.filter(|grams| *grams > 0.0)?;
            burst(&gas.name, grams, &setting, tools)
        })
        .collect()
}

/// The workspace's room, or the one that is taken where none is stated; and whether it is stated.
///
/// # Errors
/// Never for the room taken here.
pub fn room_of(workspace: &Workspace) -> Result<(RoomVolume, bool), Error> {
    let place = workspace.place.as_ref();
    if let Some(room) = place.and_then(|place| place.room.as_ref()) {
        return Ok((room.value, true));
    }
    let taken = RoomVolume::from_m3(ROOM);
    let taken = taken.map_err(|error| Error::other(error.to_string(), "state it with `--room`"))?;
    Ok((taken, false))
}

//! What can be booked, as it is written on the command line.

use std::path::Path;

use clap::{Args, Subcommand, ValueEnum};

use crate::ledger::{Action, Amount, How, Ledger, NewPlace, PlaceKind, Solution, Unit};
use crate::units::{Area, Mass, Volume};
use crate::waste::{Form, RulePack};

use super::made::Made;
use crate::cli::workspace::Workspace;
use crate::cli::{Error, book};

#[derive(Subcommand)]
pub enum What {
    /// What a session made, each solution into its bottle.
    Made(Made),
    /// A container for the waste of one stream.
    AddContainer {
        /// Its name.
        name: String,
        /// The stream it collects, as `spent-fixer`; `unknown` where nobody knows.
        #[arg(long)]
        stream: String,
        /// What it holds when full, as 20L or 5kg.
        #[arg(long, value_parser = amount)]
        capacity: Option<Amount>,
    },
    /// A bottle, a tray or the trap under the sink.
    AddPlace {
        /// Its name.
        name: String,
        /// What it is.
        #[arg(long, value_enum, default_value_t = Kind::Bottle)]
        kind: Kind,
        /// What it holds when full, as 2L.
        #[arg(long, value_parser = amount)]
        capacity: Option<Amount>,
    },
    /// A solution that no session makes: rinse water, or with --old what was there before the book.
    Add {
        /// What it is; `unknown` where nobody knows.
        solution: String,
        /// How much.
        #[arg(value_parser = amount)]
        amount: Amount,
        /// The waste stream it belongs to.
        #[arg(long)]
        stream: String,
        /// The place it is in; a bottle of that name is added where there is none.
        #[arg(long)]
        into: String,
        /// It was there before the book began.
        #[arg(long)]
        old: bool,
        /// How many days it keeps.
        #[arg(long, default_value_t = 0, value_parser = clap::value_parser!(i64).range(0..=36500))]
        keeps: i64,
        /// Film or paper that one litre of it can process, as 1m2.
        #[arg(long)]
        processes: Option<Area>,
    },
    /// From one place into another: FROM VOLUME INTO, or FROM INTO with --left or for all of it.
    Pour {
        /// From where.
        from: String,
        /// How much; left out: all of it.
        #[arg(value_name = "VOLUME")]
        second: String,
        /// Into what.
        #[arg(value_name = "INTO")]
        third: Option<String>,
        /// What is left in FROM, instead of what was poured.
        #[arg(long, value_parser = amount)]
        left: Option<Amount>,
        /// Water poured in with it, to dilute it for use.
        #[arg(long)]
        water: Option<Volume>,
    },
    /// Handed to a collector: all of it where no amount is given.
    Collected {
        #[command(flatten)]
        out: Out,
        /// Number of the receipt or manifest.
        #[arg(long)]
        receipt: String,
        /// Who took it.
        #[arg(long)]
        carrier: String,
    },
    /// Spilled.
    Spill(Out),
    /// Gone into the air.
    Evaporated(Out),
    /// Carried into the wash by film and paper.
    CarriedOver(Out),
    /// A measured level; the difference to the book is booked.
    Count {
        /// The place.
        name: String,
        /// What is in it.
        #[arg(value_parser = amount)]
        level: Amount,
    },
    /// Film or paper processed in a bath, as 0.5m2.
    Film {
        /// The place the bath is in.
        bath: String,
        /// How much, by area.
        area: Area,
        /// film, paper or x-ray film.
        #[arg(long, default_value = "paper")]
        material: String,
    },
    /// Someone was briefed on chemicals.
    Trained {
        /// Who.
        person: String,
        /// By whom.
        #[arg(long)]
        by: String,
        /// On what, with commas between.
        #[arg(long, value_delimiter = ',')]
        chemicals: Vec<String>,
    },
    /// Book an entry again with another amount; both stay in the book.
    Correct {
        /// The entry's number.
        number: i64,
        /// The right amount.
        #[arg(value_parser = amount)]
        amount: Amount,
    },
    /// Take an entry back by a reversing entry; both stay in the book.
    Undo {
        /// The entry's number.
        number: i64,
    },
    /// The last entries, with their numbers.
    List {
        /// How many.
        #[arg(long, default_value_t = 20)]
        last: u32,
    },
}

#[derive(Args)]
pub struct Out {
    /// From where.
    name: String,
    /// How much; all of it where left out.
    #[arg(value_parser = amount)]
    amount: Option<Amount>,
    /// What is left, instead of what is gone.
    #[arg(long, value_parser = amount, conflicts_with = "amount")]
    left: Option<Amount>,
}

#[derive(Clone, Copy, ValueEnum)]
pub enum Kind {
    Bottle,
    Tray,
    Trap,
}

impl Out {
    fn how(&self) -> How {
        how(self.amount, self.left)
    }
}

fn how(amount: Option<Amount>, left: Option<Amount>) -> How {
    match (amount, left) {
        (_, Some(left)) => How::Left(left),
        (Some(amount), None) => How::Amount(amount),
        (None, None) => How::All,
    }
}

/// A volume or a mass.
pub fn amount(text: &str) -> Result<Amount, String> {
    let volume = text.parse::<Volume>().map(Amount::volume);
    let either = volume.or_else(|_| text.parse::<Mass>().map(Amount::mass));
    either.map_err(|_| "write a volume or a mass above nothing, as 500mL or 1.2kg".to_owned())
}

impl What {
    /// The session file, by which the workspace is found.
    pub fn session(&self) -> Option<&Path> {
        match self {
            Self::Made(made) => Some(&made.session),
            _ => None,
        }
    }

    /// What to book, names made out.
    ///
    /// # Errors
    /// When a place or stream is not known.
    pub fn actions(&self, ledger: &Ledger, workspace: &Workspace) -> Result<Vec<Action>, Error> {
        let places = ledger.places()?;
        let place = |name: &str| {
            book::place_named(name, &places).ok_or_else(|| book::no_place(name, &places))
        };
        Ok(vec![match self {
            Self::Made(_) | Self::List { .. } => return Ok(Vec::new()),
            Self::AddContainer {
                name,
                stream,
                capacity,
            } => {
                let stream = known_stream(stream, workspace)?;
                let unit = match capacity {
                    Some(capacity) => capacity.unit,
                    None => usual_unit(&stream, workspace)?,
                };
                add_place(name, PlaceKind::Container, Some(stream), (unit, *capacity))
            }
            Self::AddPlace {
                name,
                kind,
                capacity,
            } => {
                let kind = match kind {
                    Kind::Bottle => PlaceKind::Bottle,
                    Kind::Tray => PlaceKind::Tray,
                    Kind::Trap => PlaceKind::Trap,
                };
                let unit = capacity.map_or(Unit::Microlitre, |capacity| capacity.unit);
                add_place(name, kind, None, (unit, *capacity))
            }
            Self::Add { into, amount, .. } => {
                let known = book::place_named(into, &places);
                let name = known.clone().unwrap_or_else(|| into.clone());
                let added = self.added(name, workspace)?;
                let new = add_place(into, PlaceKind::Bottle, None, (amount.unit, None));
                return Ok(known
                    .is_none()
                    .then_some(new)
                    .into_iter()
                    .chain(added)
                    .collect());
            }
            Self::Pour { .. } => return self.poured(ledger, &place),
            Self::Collected {
                out,
                receipt,
                carrier,
            } => Action::Collected {
                from: place(&out.name)?,
                how: out.how(),
                receipt: receipt.clone(),
                carrier: carrier.clone(),
            },
            Self::Spill(out) => Action::Spill {
                from: place(&out.name)?,
                how: out.how(),
            },
            Self::Evaporated(out) => Action::Evaporated {
                from: place(&out.name)?,
                how: out.how(),
            },
            Self::CarriedOver(out) => Action::CarriedOver {
                from: place(&out.name)?,
                how: out.how(),
            },
            Self::Count { name, level } => Action::Count {
                place: place(name)?,
                level: *level,
            },
            Self::Film {
                bath,
                area,
                material,
            } => Action::Film {
                bath: place(bath)?,
                area: *area,
                material: material.clone(),
            },
            Self::Trained {
                person,
                by,
                chemicals,
            } => Action::Trained {
                person: person.clone(),
                by: by.clone(),
                chemicals: chemicals.clone(),
            },
            Self::Correct { number, amount } => Action::Correct {
                number: *number,
                amount: *amount,
            },
            Self::Undo { number } => Action::Undo { number: *number },
        }])
    }

    fn added(&self, into: String, workspace: &Workspace) -> Result<Option<Action>, Error> {
        let Self::Add {
            solution,
            amount,
            stream,
            old,
            keeps,
            processes,
            ..
        } = self
        else {
            return Ok(None);
        };
        let what = Solution {
            keeps_days: *keeps,
            mm2_per_l: processes.map_or(0, |area| libm::round(area.m2() * 1e6) as i64),
            ..Solution::new(solution, known_stream(stream, workspace)?)
        };
        let amount = *amount;
        Ok(Some(match old {
            true => Action::Start { what, amount, into },
            false => Action::Made {
                what,
                amount,
                into: Some(into),
            },
        }))
    }

    fn poured(
        &self,
        ledger: &Ledger,
        place: &dyn Fn(&str) -> Result<String, Error>,
    ) -> Result<Vec<Action>, Error> {
        let Self::Pour {
            from,
            second,
            third,
            left,
            water,
        } = self
        else {
            return Ok(Vec::new());
        };
        let (written, to) = match third {
            Some(to) => (Some(second), to),
            None => (None, second),
        };
        if written.is_some() && left.is_some() {
            return Err(Error::other(
                "the amount is given twice: as VOLUME and with --left",
                "keep one of the two",
            ));
        }
        let written = match written.map(String::as_str) {
            None | Some("all") => None,
            Some(text) => Some(
                amount(text)
                    .map_err(|help| Error::other(format!("`{text}` is not an amount"), help))?,
            ),
        };
        let (from, to) = (place(from)?, place(to)?);
        // Water makes more of the same bath.
        let contents = ledger.contents(&from)?.unwrap_or_default();
        let main = contents.iter().max_by_key(|part| part.amount);
        let diluted = water.zip(main).map(|(water, main)| Action::Made {
            what: Solution::new(&main.name, &main.stream),
            amount: Amount::volume(water),
            into: Some(to.clone()),
        });
        let pour = Action::Pour {
            from,
            to,
            how: how(written, *left),
        };
        Ok(std::iter::once(pour).chain(diluted).collect())
    }
}

fn add_place(
    name: &str,
    kind: PlaceKind,
    stream: Option<String>,
    (unit, capacity): (Unit, Option<Amount>),
) -> Action {
    Action::AddPlace(NewPlace {
        name: name.to_owned(),
        kind,
        stream,
        unit,
        capacity: capacity.map(|capacity| capacity.count),
    })
}

fn known_stream(name: &str, workspace: &Workspace) -> Result<String, Error> {
    if let Some(stream) = workspace.catalogue.stream(name) {
        return Ok(stream.id.clone());
    }
    let ids: Vec<&str> = workspace
        .catalogue
        .streams()
        .map(|stream| stream.id.as_str())
        .collect();
    let help = match crate::source::nearest(name, ids.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("streams are {}", ids.join(", ")),
    };
    Err(Error::other(format!("`{name}` is no waste stream"), help))
}

/// Litres, or kilograms for a stream that is solid.
fn usual_unit(stream: &str, workspace: &Workspace) -> Result<Unit, Error> {
    let streams = RulePack::load(workspace.catalogue.files(), "eu")?.streams;
    let form = streams.get(stream).and_then(|stream| stream.form);
    Ok(if form == Some(Form::Solid) {
        Unit::Nanogram
    } else {
        Unit::Microlitre
    })
}

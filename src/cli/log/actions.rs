//! What is written on the command line as actions of the book, names made out.

use crate::cli::workspace::Workspace;
use crate::cli::{Error, book};
use crate::ledger::{Action, Amount, Ledger, NewPlace, PlaceKind, Solution, Unit};
use crate::waste::{Form, RulePack};

use super::command::{Kind, What, amount, how};

impl What {
    /// What to book, names made out.
    ///
    /// # Errors
    /// When a place or stream is not known.
    pub fn actions(&self, ledger: &Ledger, workspace: &Workspace) -> Result<Vec<Action>, Error> {
        let places = ledger.places()?;
        let place = |name: &str| {
            book::place_meant(name, &places, ledger)?.ok_or_else(|| book::no_place(name, &places))
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

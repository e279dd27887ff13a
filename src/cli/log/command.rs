//! What can be booked, as it is written on the command line.

use std::path::Path;

use clap::{Args, Subcommand, ValueEnum};

use crate::ledger::{Amount, How};
use crate::units::{Area, Mass, Volume};

use super::made::Made;

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
    pub name: String,
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
    /// How much moves.
    pub fn how(&self) -> How {
        how(self.amount, self.left)
    }
}

/// How much moves, as written.
pub fn how(amount: Option<Amount>, left: Option<Amount>) -> How {
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
}

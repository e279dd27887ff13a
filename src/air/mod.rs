//! The air of a room: what a session lets into it, how strong that becomes, and what would help.
//!
//! Takes an [`AirCase`] (room, fresh air, releases, open baths, powders) and gives an
//! [`AirAssessment`]: concentrations over time in the room and in the breathing zone beside every
//! limit on file, fresh air needed, airing afterwards, each with an uncertainty factor, the
//! assumptions and the steps. Exact solutions of published models, no stepping. Figures are
//! predictions: they never say that air is fit to breathe.

mod assess;
mod assessed;
mod case;
mod course;
mod curves;
pub mod dilution;
mod dust;
mod emission;
pub mod evaporation;
mod file;
mod filling;
mod gas_file;
mod gases;
mod json;
mod linear;
mod model;
mod need;
mod options;
mod quantity;
mod release;
mod room;
mod said;
mod surface;
mod trace;
mod ventilation;

#[cfg(test)]
mod tests;

pub use assess::{UnknownGas, assess};
pub use assessed::{AirAssessment, Compared, GasFigures};
pub use case::{
    AirCase, Amount, Filling, FreshAir, GasRelease, Held, Inlet, NearField, OpenBath, Outlet,
    Speciation, Volatile, Weighing,
};
pub use course::{Balance, Course, Zone};
pub use curves::{PictureWords, picture};
pub use dust::{Band, DustFigure};
pub use file::read;
pub use gases::{Antoine, Gas, Gases, Henry, Idlh, Known, Limit, LimitKind, Odour, Region};
pub use json::json;
pub use model::{AirModel, DustBand, Model};
pub use options::{Measure, Outcome};
pub use quantity::{AirSpeed, Length, Mixing, ReleaseRate};
pub use release::{Release, Schedule};
pub use room::{Feed, Levels, Zones};
pub use said::{Said, filled};
pub use trace::{Step, Trace};

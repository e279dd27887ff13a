//! What is asked: the room, its air, what is let out, and how long to look.

use crate::units::{AirFlow, Area, Duration, Mass, RoomVolume, Temperature, Volume};

use super::model::DustBand;
use super::quantity::{AirSpeed, Length, Mixing, ReleaseRate};

/// Where a fan blows to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outlet {
    /// Out of doors.
    Outdoors,
    /// Back into the room, through a filter or not.
    SameRoom,
    /// Nobody said.
    Unknown,
}

/// Whether air can come in where the fan takes it out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Inlet {
    /// There is an inlet.
    Open,
    /// The room is shut and light-tight.
    Shut,
    /// Nobody said.
    Unknown,
}

/// The fresh air of a room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FreshAir {
    /// Nobody said anything: counts as no fan.
    NotStated,
    /// So much fresh air comes in, as stated.
    Stated(AirFlow),
    /// A fan by its rating.
    Fan {
        rated: AirFlow,
        outlet: Outlet,
        inlet: Inlet,
    },
}

/// The breathing zone, where it is stated.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct NearField {
    /// How far the face is from the source.
    pub radius: Option<Length>,
    /// How fast the room's air moves.
    pub air_speed: Option<AirSpeed>,
}

/// Gas let out by something that is not an open bath.
#[derive(Debug, Clone, PartialEq)]
pub struct GasRelease {
    /// The gas, by any of its names.
    pub gas: String,
    /// How it comes.
    pub amount: Amount,
}

/// How a gas comes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// Steadily for a while.
    Rate {
        rate: ReleaseRate,
        from: Duration,
        lasts: Duration,
    },
    /// All at once.
    Burst { mass: Mass, at: Duration },
    /// Within a short time.
    Puff {
        mass: Mass,
        from: Duration,
        lasts: Duration,
    },
}

/// How a volatile is held by a liquid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Held {
    /// Dissolved: the free molecule, mol/L, and what can quickly turn into it (itself included),
    /// where that is known. Without it the liquid is taken not to hold it back.
    Dissolved {
        free_mol_per_l: f64,
        reservoir_mol_per_l: Option<f64>,
    },
    /// A liquid by mole fraction and activity coefficient (1 and 1 for the pure liquid).
    Liquid {
        mole_fraction: f64,
        activity_coefficient: f64,
    },
}

/// One volatile of a solution.
#[derive(Debug, Clone, PartialEq)]
pub struct Volatile {
    /// The gas, by any of its names.
    pub gas: String,
    /// How it is held.
    pub held: Held,
}

/// Says what is volatile in a solution; the chemistry answers this.
pub trait Speciation {
    /// The volatiles of a solution at a temperature.
    ///
    /// # Errors
    /// Why it cannot be said, in one line.
    fn volatiles(&self, solution: &str, at: Temperature) -> Result<Vec<Volatile>, String>;
}

impl<F: Fn(&str, Temperature) -> Result<Vec<Volatile>, String>> Speciation for F {
    fn volatiles(&self, solution: &str, at: Temperature) -> Result<Vec<Volatile>, String> {
        self(solution, at)
    }
}

/// An open tray, tank or beaker.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenBath {
    /// What it is called.
    pub solution: String,
    /// Its surface.
    pub area: Area,
    /// Its temperature.
    pub at: Temperature,
    /// Air speed over it, if stated.
    pub air_speed: Option<AirSpeed>,
    /// Its length along the air's way; otherwise the side of a square of its area.
    pub along: Option<Length>,
    /// A loose lid.
    pub lid: bool,
    /// Open from here.
    pub from: Duration,
    /// For so long.
    pub lasts: Duration,
    /// What is volatile in it.
    pub volatiles: Vec<Volatile>,
}

/// A vessel that is filled.
#[derive(Debug, Clone, PartialEq)]
pub struct Filling {
    /// What it is filled with.
    pub solution: String,
    /// How much is poured in.
    pub volume: Volume,
    /// Its temperature.
    pub at: Temperature,
    /// When it begins.
    pub from: Duration,
    /// How long it takes.
    pub lasts: Duration,
    /// What is volatile in it.
    pub volatiles: Vec<Volatile>,
}

/// Powder weighed or poured.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighing {
    /// What it is called.
    pub powder: String,
    /// How it dusts; unknown is taken as the dustiest.
    pub band: Option<DustBand>,
    /// How much is handled.
    pub mass: Mass,
}

/// One room, one stretch of time.
#[derive(Debug, Clone, PartialEq)]
pub struct AirCase {
    /// The room.
    pub room: RoomVolume,
    /// Its fresh air.
    pub fresh_air: FreshAir,
    /// A window stands open: said, and not counted.
    pub window_open: bool,
    /// Mixing factor, if stated.
    pub mixing: Option<Mixing>,
    /// The breathing zone.
    pub near_field: NearField,
    /// Gas let out.
    pub releases: Vec<GasRelease>,
    /// Open baths.
    pub baths: Vec<OpenBath>,
    /// Vessels filled.
    pub fillings: Vec<Filling>,
    /// Powders handled.
    pub weighings: Vec<Weighing>,
    /// How long to look.
    pub until: Duration,
}

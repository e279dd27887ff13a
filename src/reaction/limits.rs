//! Limits of gases in air: the part of `hazards/gases.yaml` that this room reads.

use serde::Deserialize;

use crate::catalogue::{DataError, DataFiles};
use crate::provenance::Origin;

const FILE: &str = "hazards/gases.yaml";
/// L/mol of a gas at 25 °C and 1 atm: how limits in ppm are printed in mg/m³.
const MOLAR_VOLUME: f64 = 24.465;

/// What a limit is over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LimitKind {
    /// A working day.
    Twa,
    /// A quarter of an hour or less.
    Stel,
    /// No moment.
    Ceiling,
    /// Immediately dangerous to life or health.
    Idlh,
}

impl LimitKind {
    /// As printed.
    pub fn name(self) -> &'static str {
        match self {
            Self::Twa => "TWA",
            Self::Stel => "STEL",
            Self::Ceiling => "ceiling",
            Self::Idlh => "IDLH",
        }
    }
}

/// A limit of a gas in air.
#[derive(Debug, Clone, PartialEq)]
pub struct GasLimit {
    /// Who set it.
    pub body: String,
    /// What it is over.
    pub kind: LimitKind,
    /// mg/m³.
    pub mg_per_m3: f64,
    /// Where it was read.
    pub origin: Origin,
}

/// What is known of a gas.
#[derive(Debug, Clone)]
pub struct GasFacts {
    /// Its formula.
    pub symbol: String,
    /// Its name.
    pub name: String,
    /// Every limit on file, the lowest first.
    pub limits: Vec<GasLimit>,
}

impl GasFacts {
    /// The lowest limit of a kind.
    pub fn lowest(&self, kind: LimitKind) -> Option<&GasLimit> {
        self.limits.iter().find(|limit| limit.kind == kind)
    }
}

/// The gases limits are known of.
#[derive(Debug, Clone, Default)]
pub struct GasLimits {
    gases: Vec<GasFacts>,
}

impl GasLimits {
    /// Reads the limits.
    ///
    /// # Errors
    /// When the file is missing or misshapen.
    pub fn load(files: &DataFiles) -> Result<Self, DataError> {
        let file: GasesFile = files.read(FILE)?;
        Ok(Self { gases: file.gases.into_iter().map(GasFile::facts).collect() })
    }

    /// A gas by its formula or name.
    pub fn of(&self, name: &str) -> Option<&GasFacts> {
        self.gases.iter().find(|gas| gas.symbol == name || gas.name == name)
    }
}

/// More stands in the file than is read here: what drives a gas into the air.
#[derive(Deserialize)]
struct GasesFile {
    gases: Vec<GasFile>,
}

#[derive(Deserialize)]
struct GasFile {
    name: String,
    symbol: String,
    molar_mass: MolarMass,
    limits: Vec<LimitFile>,
    idlh: IdlhFile,
}

#[derive(Deserialize)]
struct MolarMass {
    g_per_mol: f64,
}

#[derive(Deserialize)]
struct LimitFile {
    body: String,
    kind: KindFile,
    mg_per_m3: Option<f64>,
    ppm: Option<f64>,
    from: Origin,
}

#[derive(Deserialize)]
enum KindFile {
    #[serde(rename = "TWA")]
    Twa,
    #[serde(rename = "STEL")]
    Stel,
    #[serde(rename = "ceiling")]
    Ceiling,
}

#[derive(Deserialize)]
struct IdlhFile {
    mg_per_m3: Option<f64>,
    ppm: Option<f64>,
    from: Origin,
}

impl GasFile {
    fn facts(self) -> GasFacts {
        let molar_mass = self.molar_mass.g_per_mol;
        let density = |mg: Option<f64>, ppm: Option<f64>| mg.or(ppm.map(|ppm| ppm * molar_mass / MOLAR_VOLUME));
        let mut limits: Vec<GasLimit> = self
            .limits
            .into_iter()
            .filter_map(|limit| {
                Some(GasLimit {
                    mg_per_m3: density(limit.mg_per_m3, limit.ppm)?,
                    body: limit.body,
                    kind: match limit.kind {
                        KindFile::Twa => LimitKind::Twa,
                        KindFile::Stel => LimitKind::Stel,
                        KindFile::Ceiling => LimitKind::Ceiling,
                    },
                    origin: limit.from,
                })
            })
            .collect();
        limits.extend(density(self.idlh.mg_per_m3, self.idlh.ppm).map(|mg_per_m3| GasLimit {
            body: "NIOSH".to_owned(),
            kind: LimitKind::Idlh,
            mg_per_m3,
            origin: self.idlh.from,
        }));
        limits.sort_by(|a, b| a.mg_per_m3.total_cmp(&b.mg_per_m3));
        GasFacts { symbol: self.symbol, name: self.name, limits }
    }
}

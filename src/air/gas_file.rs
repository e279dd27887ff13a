//! `hazards/gases.yaml` as it is written.

use serde::Deserialize;

use crate::catalogue::{DataError, DataFiles};
use crate::provenance::{Origin, Sourced};

use super::dilution;
use super::gases::{Antoine, Gas, Gases, Henry, Idlh, Known, Limit, LimitKind, Odour, Region};

/// Where the gases stand.
const FILE: &str = "hazards/gases.yaml";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct GasesFile {
    gases: Vec<GasFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct GasFile {
    id: String,
    name: String,
    symbol: String,
    names: Vec<String>,
    cas: String,
    formula: String,
    molar_mass: MolarMassFile,
    limits: Vec<LimitFile>,
    idlh: OrUnknown<IdlhFile>,
    odour: OrUnknown<OdourFile>,
    henry: OrUnknown<HenryFile>,
    vapour_pressure: Option<AntoineFile>,
    diffusion: OrUnknown<DiffusionFile>,
    #[serde(default)]
    also_in: Vec<MixtureFile>,
    #[serde(default)]
    notes: Vec<NoteFile>,
}

/// A datum, or why there is none.
#[derive(Deserialize)]
#[serde(untagged)]
enum OrUnknown<T> {
    Known(T),
    Unknown(UnknownFile),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct UnknownFile {
    unknown: String,
    from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MolarMassFile {
    g_per_mol: f64,
    from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LimitFile {
    body: String,
    region: Region,
    kind: LimitKind,
    mg_per_m3: Option<f64>,
    ppm: Option<f64>,
    minutes: f64,
    #[serde(default)]
    note: String,
    from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct IdlhFile {
    mg_per_m3: Option<f64>,
    ppm: Option<f64>,
    #[serde(default)]
    note: String,
    from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OdourFile {
    low_ppm: f64,
    high_ppm: f64,
    #[serde(default)]
    note: String,
    from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HenryFile {
    mol_per_l_atm: f64,
    b_kelvin: f64,
    of: String,
    #[serde(default)]
    note: String,
    from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AntoineFile {
    a: f64,
    b: f64,
    c: f64,
    low_c: f64,
    high_c: f64,
    from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DiffusionFile {
    cm2_per_s: f64,
    from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MixtureFile {
    chemical: String,
    percent: f64,
    from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct NoteFile {
    text: String,
    from: Origin,
}

impl<T> OrUnknown<T> {
    fn into_known<U>(self, change: impl FnOnce(T) -> Sourced<U>) -> Known<U> {
        match self {
            Self::Known(value) => Known::Known(change(value)),
            Self::Unknown(file) => Known::Unknown {
                why: file.unknown,
                origin: file.from,
            },
        }
    }
}

impl Gases {
    /// Reads the gases.
    ///
    /// # Errors
    /// When the file is missing, misshapen, names a gas twice, or states a value that cannot be.
    pub fn read(files: &DataFiles) -> Result<Self, DataError> {
        let file: GasesFile = files.read(FILE)?;
        let list: Result<Vec<Gas>, DataError> = file.gases.into_iter().map(gas).collect();
        Self::new(list?).map_err(|why| DataError::new(FILE, why))
    }
}

fn gas(file: GasFile) -> Result<Gas, DataError> {
    let mass = positive(&file.id, "molar mass", file.molar_mass.g_per_mol)?;
    let amount = |mg: Option<f64>, ppm: Option<f64>, what: &str| -> Result<f64, DataError> {
        let computed = ppm.map(|ppm| dilution::mg_per_m3(ppm, mass, 25.0));
        let value = mg
            .or(computed)
            .ok_or_else(|| fault(&file.id, &format!("{what} has neither mg_per_m3 nor ppm")))?;
        positive(&file.id, what, value)
    };
    let mut limits = Vec::new();
    for limit in file.limits {
        limits.push(Limit {
            mg_per_m3: amount(limit.mg_per_m3, limit.ppm, "a limit")?,
            converted: limit.mg_per_m3.is_none(),
            body: limit.body,
            region: limit.region,
            kind: limit.kind,
            ppm: limit.ppm,
            minutes: limit.minutes,
            note: limit.note,
            origin: limit.from,
        });
    }
    let idlh = match file.idlh {
        OrUnknown::Known(idlh) => {
            let value = Idlh {
                mg_per_m3: amount(idlh.mg_per_m3, idlh.ppm, "idlh")?,
                note: idlh.note,
            };
            Known::Known(Sourced::new(value, idlh.from))
        }
        OrUnknown::Unknown(why) => Known::Unknown {
            why: why.unknown,
            origin: why.from,
        },
    };
    Ok(Gas {
        id: file.id,
        name: file.name,
        symbol: file.symbol,
        names: file.names,
        cas: file.cas,
        formula: file.formula,
        molar_mass: Sourced::new(mass, file.molar_mass.from),
        limits,
        idlh,
        odour: file.odour.into_known(|odour| {
            let value = Odour {
                low_ppm: odour.low_ppm,
                high_ppm: odour.high_ppm,
                note: odour.note,
            };
            Sourced::new(value, odour.from)
        }),
        henry: file.henry.into_known(|henry| {
            let value = Henry {
                mol_per_l_atm: henry.mol_per_l_atm,
                b_kelvin: henry.b_kelvin,
                of: henry.of,
                note: henry.note,
            };
            Sourced::new(value, henry.from)
        }),
        vapour_pressure: file.vapour_pressure.map(|p| {
            let value = Antoine {
                a: p.a,
                b: p.b,
                c: p.c,
                low_c: p.low_c,
                high_c: p.high_c,
            };
            Sourced::new(value, p.from)
        }),
        diffusion_cm2_per_s: file
            .diffusion
            .into_known(|d| Sourced::new(d.cm2_per_s, d.from)),
        also_in: file
            .also_in
            .into_iter()
            .map(|mixture| {
                let share = Sourced::new(mixture.percent / 100.0, mixture.from);
                (mixture.chemical, share)
            })
            .collect(),
        notes: file
            .notes
            .into_iter()
            .map(|note| Sourced::new(note.text, note.from))
            .collect(),
    })
}

fn positive(id: &str, what: &str, value: f64) -> Result<f64, DataError> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(fault(id, &format!("{what} must be above 0")))
    }
}

fn fault(id: &str, what: &str) -> DataError {
    DataError::new(FILE, format!("{id}: {what}"))
}

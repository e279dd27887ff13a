//! Apparent volumes of solutes in water.

use std::collections::BTreeMap;

use crate::catalogue::DataError;
use crate::chemistry::dissolution::Dissolution;
use crate::chemistry::file::{DensityFile, Kind, VolumeFile, WithinFile};
use crate::chemistry::table::straight;
use crate::chemistry::water;
use crate::provenance::Origin;

const FILE: &str = "hazards/physical/density.yaml";
/// Volumes of tables are off by no more than this, mL/g, away from 20 °C included.
const TABLE_ERROR: f64 = 0.02;
/// Beyond the range a fit was made for, volumes may be off by this much, mL/g.
const BEYOND_FIT: f64 = 0.05;

/// How the apparent volume of a solute is found.
#[derive(Debug, Clone)]
enum Volume {
    Coefficients {
        c: [f64; 5],
        within: WithinFile,
        beyond: Vec<(f64, f64)>,
    },
    Table(Vec<(f64, f64)>),
    SameAs {
        parts: Vec<(String, f64)>,
        uncertainty: f64,
    },
    Bounds {
        value: f64,
        low: f64,
        high: f64,
    },
}

/// Volumes of all solutes.
#[derive(Debug, Clone)]
pub(super) struct Volumes {
    of: BTreeMap<String, (Volume, Origin)>,
    by_kind: BTreeMap<Kind, VolumeFile>,
    pub expected_error: f64,
}

/// An apparent volume, mL/g, and by how much it may be off.
#[derive(Debug, Clone, Copy)]
pub(super) struct Apparent {
    pub volume: f64,
    pub error: f64,
}

impl Volumes {
    pub(super) fn from_file(
        file: DensityFile,
        dissolution: &Dissolution,
    ) -> Result<Self, DataError> {
        let mut of = BTreeMap::new();
        let mut beyond_fit = file.beyond_fit;
        for (name, row) in file.coefficients {
            let beyond = beyond_fit
                .remove(&name)
                .map(|table| table.at)
                .unwrap_or_default();
            of.insert(
                name,
                (
                    Volume::Coefficients {
                        c: row.c,
                        within: row.within,
                        beyond,
                    },
                    row.from,
                ),
            );
        }
        if let Some(name) = beyond_fit.keys().next() {
            return Err(DataError::new(
                FILE,
                format!("`{name}` has no fit to go beyond"),
            ));
        }
        for (name, row) in file.tables {
            of.insert(name, (Volume::Table(row.at), row.from));
        }
        for (name, row) in file.same_as {
            let parts = row.parts.into_iter().collect();
            of.insert(
                name,
                (
                    Volume::SameAs {
                        parts,
                        uncertainty: row.uncertainty,
                    },
                    row.from,
                ),
            );
        }
        for (name, row) in file.volumes {
            of.insert(
                name,
                (
                    Volume::Bounds {
                        value: row.volume,
                        low: row.low,
                        high: row.high,
                    },
                    row.from,
                ),
            );
        }
        for name in of.keys() {
            if dissolution.solute(name).is_none() {
                return Err(DataError::new(FILE, format!("`{name}` is no solute")));
            }
        }
        Ok(Self {
            of,
            by_kind: file.by_kind,
            expected_error: file.expected_error_percent.value / 100.0,
        })
    }

    /// The apparent volume of a solute where all solutes together make up `fraction`.
    pub fn apparent(
        &self,
        solute: &str,
        kind: Kind,
        fraction: f64,
        celsius: f64,
    ) -> Option<(Apparent, Origin)> {
        if let Some((volume, origin)) = self.of.get(solute)
            && let Some(apparent) = self.evaluate(volume, fraction, celsius)
        {
            return Some((apparent, origin.clone()));
        }
        let kind = self.by_kind.get(&kind)?;
        Some((bounded(kind.volume, kind.low, kind.high), kind.from.clone()))
    }

    /// Whether there is more to go by than the sort of the solute.
    pub fn knows(&self, solute: &str) -> bool {
        self.of.contains_key(solute)
    }

    fn evaluate(&self, volume: &Volume, fraction: f64, celsius: f64) -> Option<Apparent> {
        match volume {
            Volume::Coefficients { c, within, beyond } => {
                Some(by_coefficients(c, within, beyond, fraction, celsius))
            }
            Volume::Table(points) => {
                let volume = straight(points, fraction)?;
                Some(Apparent {
                    volume,
                    error: TABLE_ERROR,
                })
            }
            Volume::Bounds { value, low, high } => Some(bounded(*value, *low, *high)),
            Volume::SameAs { parts, uncertainty } => {
                let mut sum = Apparent {
                    volume: 0.0,
                    error: *uncertainty,
                };
                for (name, weight) in parts {
                    let part = self.part(name, fraction, celsius)?;
                    sum.volume += weight * part.volume;
                    sum.error += weight.abs() * part.error;
                }
                Some(sum)
            }
        }
    }

    fn part(&self, name: &str, fraction: f64, celsius: f64) -> Option<Apparent> {
        if name == "water" {
            return Some(Apparent {
                volume: 1000.0 / water::density(celsius),
                error: 0.0,
            });
        }
        match &self.of.get(name)?.0 {
            Volume::Coefficients { c, within, beyond } => {
                Some(by_coefficients(c, within, beyond, fraction, celsius))
            }
            Volume::Table(points) => Some(Apparent {
                volume: straight(points, fraction)?,
                error: TABLE_ERROR,
            }),
            Volume::SameAs { .. } | Volume::Bounds { .. } => None,
        }
    }
}

fn bounded(value: f64, low: f64, high: f64) -> Apparent {
    Apparent {
        volume: value,
        error: (high - value).max(value - low),
    }
}

fn by_coefficients(
    c: &[f64; 5],
    within: &WithinFile,
    beyond: &[(f64, f64)],
    fraction: f64,
    celsius: f64,
) -> Apparent {
    if fraction > within.fraction && !beyond.is_empty() {
        let end = by_coefficients(c, within, &[], within.fraction, celsius);
        let points: Vec<(f64, f64)> = [(within.fraction, end.volume)]
            .into_iter()
            .chain(beyond.iter().copied())
            .collect();
        let volume = straight(&points, fraction).unwrap_or(end.volume);
        return Apparent {
            volume,
            error: TABLE_ERROR,
        };
    }
    let [c0, c1, c2, c3, c4] = *c;
    // Fits run away outside their range: held at its end for the fraction.
    let share = fraction.clamp(0.0, within.fraction);
    let t = celsius.clamp(within.low_c - 25.0, within.high_c + 10.0);
    let warm = libm::exp(1e-6 * (t + c4) * (t + c4));
    let cubic_metres_per_kg = (share + c2 + c3 * t) / ((c0 * share + c1) * warm);
    let volume = cubic_metres_per_kg * 1000.0;
    let beyond =
        fraction > within.fraction || celsius < within.low_c - 6.0 || celsius > within.high_c;
    if volume.is_finite() && (-1.0..2.0).contains(&volume) {
        Apparent {
            volume,
            error: if beyond { BEYOND_FIT } else { 0.0 },
        }
    } else {
        Apparent {
            volume: 0.35,
            error: 0.35,
        }
    }
}

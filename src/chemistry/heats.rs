//! Heats of solution and heat capacities of solutes.

use std::collections::BTreeMap;

use crate::catalogue::DataError;
use crate::chemistry::dissolution::Dissolution;
use crate::chemistry::file::{
    HeatCapacityFile, HeatFile, HeatsFile, OtherHeatCapacityFile, TableFile, WithinFile,
};
use crate::chemistry::table::straight;
use crate::provenance::Origin;

/// mol of water per mol at which integral heats are taken to have ended.
pub const LAST_WATER: f64 = 200.0;

/// Heats of solution and heat capacities.
#[derive(Debug, Clone)]
pub(super) struct Heats {
    of: BTreeMap<String, Vec<HeatFile>>,
    in_water: BTreeMap<String, TableFile>,
    capacities: BTreeMap<String, ([f64; 6], WithinFile, Origin)>,
    pub other: OtherHeatCapacityFile,
}

impl Heats {
    pub(super) fn from_files(
        heats: HeatsFile,
        capacities: HeatCapacityFile,
        dissolution: &Dissolution,
    ) -> Result<Self, DataError> {
        let names = heats.heats.keys().chain(heats.in_water.keys());
        for (name, file) in names
            .map(|name| (name, "hazards/physical/heat-of-solution.yaml"))
            .chain(
                capacities
                    .coefficients
                    .keys()
                    .map(|name| (name, "hazards/physical/heat-capacity.yaml")),
            )
        {
            if dissolution.solute(name).is_none() {
                return Err(DataError::new(file, format!("`{name}` is no solute")));
            }
        }
        let rows = capacities.coefficients.into_iter();
        Ok(Self {
            of: heats.heats,
            in_water: heats.in_water,
            capacities: rows
                .map(|(name, row)| (name, (row.a, row.within, row.from)))
                .collect(),
            other: capacities.other,
        })
    }

    /// The heat of solution of a solute with so much crystal water.
    pub fn of_solute(&self, solute: &str, crystal_water: f64) -> Option<&HeatFile> {
        let close = |heat: &&HeatFile| (heat.crystal_water - crystal_water).abs() < 0.3;
        self.of.get(solute)?.iter().find(close)
    }

    /// Integral heat in so much water less that in [`LAST_WATER`], kJ/mol.
    pub fn held_back(&self, solute: &str, water_per_mole: f64) -> f64 {
        let Some(table) = self.in_water.get(solute) else {
            return 0.0;
        };
        let at = |moles: f64| straight(&table.at, moles).unwrap_or(0.0);
        at(water_per_mole) - at(LAST_WATER)
    }

    /// Integral heat of a bottled solution with so much water, kJ/mol; nothing without a table.
    pub fn given_off(&self, solute: &str, water_per_mole: f64) -> Option<f64> {
        let table = self.in_water.get(solute)?;
        straight(&table.at, water_per_mole)
    }

    /// kJ/(kg K) of a solute. Coefficients are used only where they were fitted: outside they run away.
    pub fn capacity(&self, solute: &str, fraction: f64, celsius: f64) -> Option<f64> {
        let (a, within, _) = self.capacities.get(solute)?;
        if fraction > within.fraction + 0.1 {
            return None;
        }
        let [a1, a2, a3, a4, a5, a6] = *a;
        let t = celsius.clamp(within.low_c, within.high_c);
        let share = fraction.clamp(1e-4, within.fraction);
        let alpha = a2 * t + a3 * libm::exp(0.01 * t) + a4 * share;
        let value = a1 * libm::exp(alpha) + a5 * libm::pow(share, a6);
        value.is_finite().then(|| value.clamp(-6.0, 6.0))
    }
}

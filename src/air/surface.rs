//! An open bath → what it gives off.

use crate::provenance::Sourced;
use crate::units::{Temperature, significant};

use super::case::{Held, OpenBath, Volatile};
use super::dilution::{ATMOSPHERE, GAS_CONSTANT};
use super::evaporation::{self, Surface};
use super::gases::{Antoine, Gas, Henry, Known};
use super::model::AirModel;
use super::release::Release;
use super::said::Said;
use super::trace::Trace;

/// What one bath gives off of one gas.
#[derive(Debug, Clone, PartialEq)]
pub struct Vapour {
    /// As a release for the room.
    pub release: Release,
    /// Into clean air, mg/min.
    pub mg_per_min: f64,
    /// How far off the rate may be, either way.
    pub factor: f64,
}

/// Partial pressure over a liquid, Pa, and equilibrium share in the air where it is dissolved.
pub(super) struct Pressure {
    pub(super) pascal: f64,
    share_in_air: Option<f64>,
}

/// A liquid by name and temperature.
pub(super) struct Over<'a> {
    pub(super) solution: &'a str,
    pub(super) at: Temperature,
}

impl Over<'_> {
    pub(super) fn kelvin(&self) -> f64 {
        self.at.celsius() + 273.15
    }
}

/// What a bath gives off of a gas; `None` when no constant is on file, which is said.
pub fn vapour(
    bath: &OpenBath,
    volatile: &Volatile,
    gas: &Gas,
    model: &AirModel,
    trace: &mut Trace,
    said: &mut Vec<Said>,
) -> Option<Vapour> {
    let over = Over {
        solution: &bath.solution,
        at: bath.at,
    };
    let kelvin = over.kelvin();
    let pressure = pressure(&over, volatile, gas, model, trace, said)?;
    let surface = surface(bath, gas, kelvin, model, trace, said);
    let k = surface.coefficient();
    let film = |gas_side: f64| liquid_film(gas_side, volatile, &pressure, model);
    let (used, lowest, highest) = (film(k.used), film(k.lowest), film(k.highest));
    say_reservoir(bath, volatile, gas, model, said);
    let lid = if bath.lid {
        model.lid_passes().value
    } else {
        1.0
    };
    let conductance = used * bath.area.m2() * 3600.0 * lid;
    let equilibrium =
        evaporation::saturation_mg_per_m3(pressure.pascal, gas.molar_mass.value, kelvin);
    let mg_per_min = conductance * equilibrium / 60.0;
    show(trace, model, bath, &surface);
    if used < k.used {
        let result = format!("{} m/s", significant(used, 3));
        trace.by(model, "liquid-film", &bath.solution, result);
    }
    let result = format!(
        "{} m/s of {} to {}; {} mg/min into clean air",
        significant(used, 3),
        significant(lowest, 3),
        significant(highest, 3),
        significant(mg_per_min, 4)
    );
    trace.by(model, "evaporation", &bath.solution, result);
    Some(Vapour {
        release: Release::Surface {
            conductance_m3_per_h: conductance,
            equilibrium_mg_per_m3: equilibrium,
            from_h: bath.from.hours(),
            to_h: bath.from.hours() + bath.lasts.hours(),
        },
        mg_per_min,
        factor: (highest / used).max(used / lowest) * model.solubility_factor().value,
    })
}

/// What each of the published models says.
fn show(trace: &mut Trace, model: &AirModel, bath: &OpenBath, surface: &Surface) {
    for (id, k) in [
        ("evaporation-mackay-matsugu", surface.mackay_matsugu()),
        ("evaporation-mass-transfer", surface.mass_transfer()),
        ("evaporation-penetration", surface.penetration()),
        ("evaporation-process-safety", surface.process_safety()),
    ] {
        let result = format!("{} m/s", significant(k, 4));
        trace.by(model, id, &bath.solution, result);
    }
}

pub(super) fn pressure(
    over: &Over<'_>,
    volatile: &Volatile,
    gas: &Gas,
    model: &AirModel,
    trace: &mut Trace,
    said: &mut Vec<Said>,
) -> Option<Pressure> {
    let facts = |value: Option<String>| {
        let mut facts = vec![
            ("gas", gas.name.clone()),
            ("solution", over.solution.to_owned()),
        ];
        facts.extend(value.map(|value| ("value", value)));
        facts
    };
    let found = match volatile.held {
        Held::Dissolved { free_mol_per_l, .. } => {
            let henry = gas.henry.known();
            henry.map(|henry| over.of_dissolved(free_mol_per_l, henry, model, trace))
        }
        Held::Liquid {
            mole_fraction,
            activity_coefficient,
        } => gas.vapour_pressure.as_ref().map(|antoine| {
            let celsius = over.at.celsius();
            if !antoine.value.covers(celsius) {
                let facts = facts(Some(significant(celsius, 3)));
                said.push(model.words("antoine-range", &facts));
            }
            let activity = mole_fraction * activity_coefficient;
            over.of_liquid(activity, antoine, model, trace)
        }),
    };
    if found.is_none() {
        said.push(model.words("unknown-henry", &facts(None)));
    }
    found
}

impl Over<'_> {
    /// The pressure of a dissolved gas, by Henry's law.
    fn of_dissolved(
        &self,
        free_mol_per_l: f64,
        henry: &Sourced<Henry>,
        model: &AirModel,
        trace: &mut Trace,
    ) -> Pressure {
        let k = henry.value.at(self.kelvin());
        let pascal = free_mol_per_l / k * ATMOSPHERE;
        trace.datum(
            format!(
                "Henry constant of {} at {} °C",
                henry.value.of,
                significant(self.at.celsius(), 3)
            ),
            format!("{} mol/(L atm)", significant(k, 3)),
            &henry.origin,
        );
        trace.by(
            model,
            "vapour-over-solution",
            self.solution,
            format!("{} Pa", significant(pascal, 3)),
        );
        // mol/L in air over mol/L in the liquid: 1/(k R T) with k in mol/(m³ Pa).
        let share = ATMOSPHERE / (k * 1000.0 * GAS_CONSTANT * self.kelvin());
        Pressure {
            pascal,
            share_in_air: Some(share),
        }
    }

    /// The pressure of a liquid in a mixture, by that of the pure one.
    fn of_liquid(
        &self,
        activity: f64,
        antoine: &Sourced<Antoine>,
        model: &AirModel,
        trace: &mut Trace,
    ) -> Pressure {
        let pure = antoine.value.pascal(self.kelvin());
        let pascal = activity * pure;
        trace.datum(
            "Antoine constants",
            format!("{} Pa pure", significant(pure, 3)),
            &antoine.origin,
        );
        trace.by(
            model,
            "vapour-over-liquid",
            self.solution,
            format!("{} Pa", significant(pascal, 3)),
        );
        Pressure {
            pascal,
            share_in_air: None,
        }
    }
}

fn surface(
    bath: &OpenBath,
    gas: &Gas,
    kelvin: f64,
    model: &AirModel,
    trace: &mut Trace,
    said: &mut Vec<Said>,
) -> Surface {
    let mass = gas.molar_mass.value;
    let at_25 = match &gas.diffusion_cm2_per_s {
        Known::Known(diffusion) => {
            trace.datum(
                format!("diffusion of {} in air, 25 °C", gas.name),
                format!("{} cm2/s", significant(diffusion.value, 3)),
                &diffusion.origin,
            );
            diffusion.value
        }
        Known::Unknown { origin, .. } => {
            let estimate = evaporation::diffusion_from_mass(mass);
            trace.datum(
                format!(
                    "diffusion of {} in air, estimated from its molar mass",
                    gas.name
                ),
                format!("{} cm2/s", significant(estimate, 3)),
                origin,
            );
            estimate
        }
    };
    let speed = bath.air_speed.map_or_else(
        || {
            let value = model.surface_air_speed().value;
            said.push(model.words(
                "air-speed-default",
                &[
                    ("solution", bath.solution.clone()),
                    ("value", significant(value, 2)),
                ],
            ));
            value
        },
        |speed| speed.m_per_s(),
    );
    Surface {
        g_per_mol: mass,
        diffusion_m2_per_s: evaporation::diffusion_at(at_25, kelvin),
        kelvin,
        air_m_per_s: speed,
        along_m: bath
            .along
            .map_or_else(|| libm::sqrt(bath.area.m2()).max(0.01), |along| along.m()),
    }
}

fn liquid_film(gas_side: f64, volatile: &Volatile, pressure: &Pressure, model: &AirModel) -> f64 {
    match (volatile.held, pressure.share_in_air) {
        (
            Held::Dissolved {
                free_mol_per_l,
                reservoir_mol_per_l: Some(reservoir),
            },
            Some(share),
        ) if free_mol_per_l > 0.0 => {
            let feeding = reservoir / free_mol_per_l;
            evaporation::with_liquid_film(gas_side, model.liquid_film().value, share, feeding)
        }
        _ => gas_side,
    }
}

fn say_reservoir(
    bath: &OpenBath,
    volatile: &Volatile,
    gas: &Gas,
    model: &AirModel,
    said: &mut Vec<Said>,
) {
    if let Held::Dissolved {
        reservoir_mol_per_l: None,
        ..
    } = volatile.held
    {
        said.push(model.words(
            "no-reservoir",
            &[
                ("solution", bath.solution.clone()),
                ("gas", gas.name.clone()),
            ],
        ));
    }
}

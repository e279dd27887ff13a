//! One bath carried into another on paper and film, and all the gas that can come of it at once.

use crate::air::{AirAssessment, Amount, GasFigures, GasRelease};
use crate::assessment::{BathChemistry, SolutionFigures, Tools};
use crate::chemistry::{Bath, Gas, Ph};
use crate::plan::Plan;
use crate::units::{Duration, Mass};

use super::Carried;

/// The worst accident with one gas.
#[derive(Debug, Clone)]
pub struct Accident {
    /// What is carried over.
    pub from: String,
    /// Into what.
    pub into: String,
    /// How much of it, and on what.
    pub carried: Carried,
    /// The gas let out at most, g.
    pub grams: f64,
    /// What that does to the air.
    pub figures: GasFigures,
}

/// A spill that sets a gas free.
struct Spill<'a> {
    from: &'a str,
    into: &'a str,
    gas: Gas,
}

/// For each gas the pair of baths that gives most of it. Pairs whose mixture is beyond chemistry
/// are named apart, with the reason: a figure for the worst that can be thought of helps nobody.
pub fn worst(
    plan: &Plan,
    solutions: &[SolutionFigures],
    tools: &Tools<'_>,
    carried: &Carried,
    unknown: &mut Vec<(String, String)>,
    assess: impl Fn(Vec<GasRelease>) -> Option<AirAssessment>,
) -> Vec<Accident> {
    let mut worst: Vec<Spill<'_>> = Vec::new();
    for spill in spills(plan, solutions, tools, carried.ml, unknown) {
        match worst
            .iter_mut()
            .find(|other| other.gas.gas == spill.gas.gas)
        {
            Some(other) if other.gas.greatest_g >= spill.gas.greatest_g => {}
            Some(other) => *other = spill,
            None => worst.push(spill),
        }
    }
    let accident = |spill: Spill<'_>| {
        let burst = GasRelease {
            gas: spill.gas.name.clone(),
            amount: at_once(spill.gas.greatest_g)?,
        };
        let figures = assess(vec![burst])?.gases.into_iter().next()?;
        Some(Accident {
            from: spill.from.to_owned(),
            into: spill.into.to_owned(),
            carried: carried.clone(),
            grams: spill.gas.greatest_g,
            figures,
        })
    };
    worst.into_iter().filter_map(accident).collect()
}

pub(super) fn at_once(grams: f64) -> Option<Amount> {
    Some(Amount::Burst {
        mass: Mass::from_grams(grams).ok()?,
        at: Duration::from_hours(0.0).ok()?,
    })
}

fn spills<'a>(
    plan: &'a Plan,
    solutions: &'a [SolutionFigures],
    tools: &Tools<'_>,
    ml: f64,
    unknown: &mut Vec<(String, String)>,
) -> Vec<Spill<'a>> {
    let baths: Vec<(&str, &BathChemistry)> = plan
        .solutions
        .iter()
        .zip(solutions)
        .filter_map(|(solution, figures)| Some((solution.title.as_str(), in_use(figures)?)))
        .collect();
    let pairs = baths.iter().enumerate().flat_map(|(at, into)| {
        let others = baths
            .iter()
            .enumerate()
            .filter(move |(other, _)| *other != at);
        others.map(move |(_, from)| (from, into))
    });
    let mut spills = Vec::new();
    for (from, into) in pairs {
        match set_free(&into.1.bath, &splash(from.1, ml), tools) {
            Ok(gases) => {
                spills.extend(gases.into_iter().map(|gas| Spill {
                    from: from.0,
                    into: into.0,
                    gas,
                }));
            }
            Err(why) => unknown.push((format!("{} carried into {}", from.0, into.0), why)),
        }
    }
    spills
}

/// The bath as it stands in the tray, if anything is known of it.
fn in_use(figures: &SolutionFigures) -> Option<&BathChemistry> {
    figures
        .working
        .as_ref()
        .unwrap_or(&figures.stock)
        .chemistry
        .as_deref()
        .ok()
}

fn splash(bath: &BathChemistry, ml: f64) -> Bath {
    let litres = bath.composition.volume.value;
    let share = if litres > 0.0 {
        (ml / 1000.0 / litres).min(1.0)
    } else {
        0.0
    };
    bath.bath.scaled(share)
}

/// What the two give off together beyond what each gives off alone; why not, where gas could come
/// and the mixture's pH is not known.
fn set_free(into: &Bath, splash: &Bath, tools: &Tools<'_>) -> Result<Vec<Gas>, String> {
    let chemistry = tools.chemistry;
    let alone = |bath: &Bath| chemistry.gases(bath, &chemistry.equilibrium(bath).ph);
    let before: Vec<Gas> = [alone(into), alone(splash)].concat();
    let meeting = chemistry.combine(into, splash, 1.0, true);
    let mut together = meeting.gases;
    for gas in &mut together {
        let had: f64 = before
            .iter()
            .filter(|other| other.gas == gas.gas)
            .map(|other| other.greatest_g)
            .sum();
        gas.greatest_g -= had;
    }
    // Less than a milligram is lost in the arithmetic.
    together.retain(|gas| gas.greatest_g > 1e-3 && tools.rules.gases.find(&gas.name).is_some());
    match meeting.equilibrium.ph {
        Ph::NotComputed { why } if !together.is_empty() => Err(why),
        _ => Ok(together),
    }
}
